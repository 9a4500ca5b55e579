//! The limits that keep a hostile file from hurting.

/// Bounds on what is read; the defaults are far above any real score and chosen by us so that the largest legal input
/// stays within [`Limits::memory`] and well within [`Limits::seconds`].
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Limits {
    /// Bytes of XML, after unpacking.
    pub xml_bytes: u64,
    /// Entries in an archive.
    pub archive_entries: u64,
    /// Unpacked bytes for each packed byte of an archive, beyond a first megabyte.
    pub archive_ratio: u64,
    /// Depth of nested elements.
    pub depth: u64,
    /// Elements inside one element that is read whole: a note, a direction, the part list.
    pub element_size: u64,
    /// Characters kept of a title, a name, a word.
    pub text_length: u64,
    /// Parts.
    pub parts: u64,
    /// Measures of one part.
    pub measures: u64,
    /// Note heads.
    pub notes: u64,
    /// Other marks: directions, tempi, clefs, keys, slurs.
    pub marks: u64,
    /// Voices of one part.
    pub voices: u64,
    /// Bytes of memory for one score, foreseen from its size and its numbers of notes, measures and marks.
    pub memory: u64,
    /// Seconds for reading and analysing one score. The library has no clock: who calls it sees to this one.
    pub seconds: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            xml_bytes: 256 << 20,
            archive_entries: 1_000,
            archive_ratio: 200,
            depth: 64,
            element_size: 100_000,
            text_length: 1_000,
            parts: 500,
            measures: 100_000,
            notes: 2_000_000,
            marks: 1_000_000,
            voices: 1_000,
            memory: 2 << 30,
            seconds: 120,
        }
    }
}

/// Bytes of memory for each byte of XML: the text, and the archive or the encoding that it came in.
const FOR_EACH_BYTE: u64 = 2;

/// Bytes of memory for each note, from the page to the report.
///
/// Chosen by us: more than twice what ordinary scores take at their peak; docs/speed.md has both.
const FOR_EACH_NOTE: u64 = 1_024;

/// Bytes of memory for each measure, and for each other mark. Chosen by us, as for a note.
const FOR_EACH_MARK: u64 = 512;

/// Bytes of memory that a score is allowed for what was counted in it.
pub(crate) fn foreseen_memory(xml_bytes: usize, notes: usize, marks: usize) -> u64 {
    let each = |count: usize, bytes: u64| (count as u64).saturating_mul(bytes);
    let all = [each(xml_bytes, FOR_EACH_BYTE), each(notes, FOR_EACH_NOTE), each(marks, FOR_EACH_MARK)];
    all.into_iter().fold(0, u64::saturating_add)
}

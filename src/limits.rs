//! The limits that keep a hostile file from hurting.

/// Bounds on what is read; the defaults are far above any real score and chosen by us so that the largest legal input
/// stays within a few hundred megabytes of memory and a few seconds.
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
        }
    }
}

//! The score as plain data: what the page says, with exact times, before anyone asks which hand plays it.
//!
//! In: nothing; [`crate::musicxml::read_score`] fills it. Out: parts, measures, notes and marks in written order.
//! Repeats are marks and are not unfolded. A tied chain is one note with the summed duration.

use crate::error::Place;
use crate::units::{Midi, Pitch, Quarters};

/// Index into [`Score::notes`].
pub type NoteId = usize;

/// Index into [`Score::measures`].
pub type MeasureIndex = usize;

/// Place of a `<note>` among all in the measures of a file, from 0 in document order, rests among them.
pub type NoteElement = u32;

/// A whole score.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// `work-title`, else `movement-title`, else the largest credit of the first page.
    pub title: Option<String>,
    /// `creator` of type composer, else the first creator.
    pub composer: Option<String>,
    /// Other credits, rights, arranger and software lines, `(kind, text)`, for the view of the edition.
    pub credits: Vec<(String, String)>,
    /// Parts in the order of the part list.
    pub parts: Vec<Part>,
    /// Measures in written order; onsets of all parts are aligned at every barline.
    pub measures: Vec<Measure>,
    /// Sounding note heads of all parts after tie merging, sorted by onset, then grace order, then pitch.
    pub notes: Vec<Note>,
    /// Key signatures, in order; the first is at or before the first note unless the file has none.
    pub keys: Vec<KeyMark>,
    /// Time signatures, in order.
    pub times: Vec<TimeMark>,
    /// Clefs, in order of onset.
    pub clefs: Vec<ClefMark>,
    /// Every statement about tempo, in order of onset.
    pub tempos: Vec<TempoMark>,
    /// Dynamics, pedal, words and other directions, in order of onset.
    pub directions: Vec<Direction>,
}

/// One part of the part list.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// The `id` attribute.
    pub id: String,
    /// `part-name`.
    pub name: String,
    /// Instrument name, sound id or abbreviation, when given.
    pub instrument: Option<String>,
    /// General MIDI program, 1 to 128, when given.
    pub midi_program: Option<u8>,
    /// Staves the part was seen to use (at least 1).
    pub staves: u8,
    /// Number of the brace, from 1, that joins its staves to those of its neighbours, as for a keyboard.
    pub brace: Option<u16>,
    /// Words are sung to it.
    pub lyrics: bool,
}

/// One measure, the same for all parts.
#[derive(Clone, Debug)]
pub struct Measure {
    /// Printed number, as text.
    pub number: String,
    /// Quarters from the start of the score.
    pub onset: Quarters,
    /// Length as it sounds (the longest part), in quarters.
    pub duration: Quarters,
    /// A repeat begins here.
    pub repeat_start: bool,
    /// A repeat ends here.
    pub repeat_end: bool,
    /// Number of the ending (volta) that begins here, as printed.
    pub ending: Option<String>,
}

bitflags::bitflags! {
    /// Signs on a note.
    #[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
    pub struct NoteMarks: u32 {
        /// Staccato or staccatissimo.
        const STACCATO = 1;
        /// Tenuto.
        const TENUTO = 1 << 1;
        /// Accent or strong accent.
        const ACCENT = 1 << 2;
        /// Trill, with or without a wavy line.
        const TRILL = 1 << 3;
        /// Mordent or inverted mordent.
        const MORDENT = 1 << 4;
        /// Turn of any kind.
        const TURN = 1 << 5;
        /// Tremolo within the note or between two.
        const TREMOLO = 1 << 6;
        /// Rolled chord.
        const ARPEGGIO = 1 << 7;
        /// Fermata.
        const FERMATA = 1 << 8;
        /// Glissando or slide begins.
        const GLISSANDO = 1 << 9;
        /// A slur begins on the note.
        const SLUR_START = 1 << 10;
        /// A slur ends on the note.
        const SLUR_STOP = 1 << 11;
        /// The note lies under a slur (from its start up to, not including, its last note): it is bound to the next.
        const LEGATO = 1 << 12;
        /// An accidental is printed before it.
        const ACCIDENTAL = 1 << 13;
        /// Breath mark, caesura or any sign that lifts the hand after the note.
        const BREATH = 1 << 14;
        /// `m.d.`, `r.h.` or the like asks for the right hand.
        const ASKS_RIGHT = 1 << 15;
        /// `m.s.`, `m.g.`, `l.h.` or the like asks for the left hand.
        const ASKS_LEFT = 1 << 16;
        /// Another ornament sign.
        const OTHER_ORNAMENT = 1 << 17;
    }
}

/// One sounding note head.
#[derive(Clone, Debug)]
pub struct Note {
    /// Index into [`Score::parts`].
    pub part: u16,
    /// Staff of its part, from 1 at the top.
    pub staff: u8,
    /// Voice of its part, as numbered in the file (0 where it is not a number).
    pub voice: u16,
    /// Its first head in the file.
    pub element: NoteElement,
    /// Measure of its first head.
    pub measure: MeasureIndex,
    /// Onset, in quarters from the start of the score; a grace note has the onset of its main note.
    pub onset: Quarters,
    /// Length with all tied heads, in quarters; zero for grace notes.
    pub duration: Quarters,
    /// Place among the grace notes before one main note, from 1; 0 for notes that are not grace notes.
    pub grace: u16,
    /// Spelled sounding pitch (transposition and octave shifts applied).
    pub pitch: Pitch,
    /// The key it sounds on.
    pub midi: Midi,
    /// Steps of the staff from C0 where the head is printed (before transposition and octave shift).
    pub staff_position: i16,
    /// Cue size.
    pub cue: bool,
    /// Actual and normal notes of the tuplet around it, `(3, 2)` for a triplet; `(1, 1)` outside tuplets.
    pub tuplet: (u16, u16),
    /// Signs.
    pub marks: NoteMarks,
    /// Printed fingering digits, in order; several stand for substitution or alternatives.
    pub written: Vec<WrittenFinger>,
}

impl Score {
    /// Where a note stands, for a remark on it.
    pub fn place_of(&self, note: &Note) -> Place {
        let measure = self.measures.get(note.measure).map(|measure| measure.number.clone());
        Place { measure, staff: Some(note.staff), ..Place::default() }
    }
}

impl Note {
    /// True for grace notes.
    pub fn is_grace(&self) -> bool {
        self.grace > 0
    }

    /// When the note ends, in quarters from the start of the score.
    pub fn end(&self) -> Quarters {
        self.onset + self.duration
    }
}

/// A printed fingering digit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct WrittenFinger {
    /// The finger.
    pub finger: crate::units::Finger,
    /// Replaces the finger before it while the key is held (`4-5`).
    pub substitution: bool,
    /// Another choice beside the first.
    pub alternate: bool,
}

/// Major or minor, as the file says.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Mode {
    /// Major.
    Major,
    /// Minor.
    Minor,
}

/// A key signature.
#[derive(Clone, Debug)]
pub struct KeyMark {
    /// Where it takes effect.
    pub onset: Quarters,
    /// Measure.
    pub measure: MeasureIndex,
    /// Part it is printed in.
    pub part: u16,
    /// Sharps (positive) or flats (negative), -7 to 7.
    pub fifths: i8,
    /// Mode, if the file says.
    pub mode: Option<Mode>,
}

/// A time signature.
#[derive(Clone, Debug)]
pub struct TimeMark {
    /// Where it takes effect.
    pub onset: Quarters,
    /// Measure.
    pub measure: MeasureIndex,
    /// As printed, `3/4`, `C`, `2+3/8`; empty for senza misura.
    pub text: String,
    /// Beats in a measure (the sum, for additive ones).
    pub beats: u16,
    /// Note value of a beat, 4 for a quarter.
    pub beat_type: u16,
}

/// A clef.
#[derive(Clone, Debug)]
pub struct ClefMark {
    /// Where it takes effect.
    pub onset: Quarters,
    /// Measure.
    pub measure: MeasureIndex,
    /// Part.
    pub part: u16,
    /// Staff.
    pub staff: u8,
    /// Staff position (steps from C0) of the middle line under this clef: 34 (B4) for the treble clef.
    pub middle_line: i16,
}

/// Where a statement about tempo comes from, strongest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum TempoOrigin {
    /// A printed metronome mark.
    Metronome,
    /// A playback tempo only.
    Sound,
    /// Words such as `Allegro`.
    Term,
}

/// One statement about tempo.
#[derive(Clone, Debug)]
pub struct TempoMark {
    /// Where it takes effect.
    pub onset: Quarters,
    /// Measure.
    pub measure: MeasureIndex,
    /// Kind of statement.
    pub origin: TempoOrigin,
    /// Quarter notes in a minute; `None` for a term, whose meaning depends on more than the word.
    pub quarter_bpm: Option<f64>,
    /// Words as printed.
    pub text: String,
}

/// What a direction says.
#[derive(Clone, PartialEq, Debug)]
pub enum DirectionKind {
    /// A dynamic mark: `p`, `sfz`.
    Dynamic(String),
    /// Hairpin begins; true for crescendo.
    Hairpin(bool),
    /// Pedal down (true) or up.
    Pedal(bool),
    /// Octave shift in octaves (+1: sounds higher than printed); 0 ends it.
    OctaveShift(i8),
    /// Any words.
    Words(String),
}

/// A direction above or below the staff.
#[derive(Clone, Debug)]
pub struct Direction {
    /// Where.
    pub onset: Quarters,
    /// Measure.
    pub measure: MeasureIndex,
    /// Part.
    pub part: u16,
    /// Staff.
    pub staff: u8,
    /// What.
    pub kind: DirectionKind,
}

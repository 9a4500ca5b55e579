//! What a passage is.

use std::fmt;

use serde::{Serialize, Serializer};

use super::chord::Chord;
use crate::crossing::CrossingKind;
use crate::scales::{Form, Key, Scale};
use crate::score::MeasureIndex;
use crate::units::{Hand, Motion};

/// Two notes at a time, by the interval between them.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Doubling {
    /// Thirds.
    Thirds,
    /// Sixths.
    Sixths,
    /// Other intervals, or several.
    Mixed,
}

/// The kinds of passages.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum PassageKind {
    /// Steps of one scale in one direction.
    ScaleRun,
    /// The notes of a chord one after another over an octave or more.
    Arpeggio,
    /// The notes of chords one after another inside the span of the hand.
    BrokenChord,
    /// The same key again and again.
    RepeatedNotes,
    /// Two notes at a time.
    DoubleNotes(Doubling),
    /// Octaves.
    Octaves,
    /// Octaves, one note after the other.
    BrokenOctaves,
    /// The hand flies.
    Leaps,
    /// More than an octave at once.
    WideStretch,
    /// Two neighbouring keys in turn, or a trill sign.
    Trill,
    /// Mordents, turns and grace notes.
    Ornaments,
    /// A crossing much harder than those of C major.
    AwkwardCrossing(CrossingKind),
}

impl PassageKind {
    /// The names of all kinds.
    pub const NAMES: [&'static str; 12] = [
        "scale run",
        "arpeggio",
        "broken chord",
        "repeated notes",
        "double notes",
        "octaves",
        "broken octaves",
        "leaps",
        "wide stretch",
        "trill",
        "ornaments",
        "awkward crossing",
    ];

    /// Name in reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::ScaleRun => "scale run",
            Self::Arpeggio => "arpeggio",
            Self::BrokenChord => "broken chord",
            Self::RepeatedNotes => "repeated notes",
            Self::DoubleNotes(_) => "double notes",
            Self::Octaves => "octaves",
            Self::BrokenOctaves => "broken octaves",
            Self::Leaps => "leaps",
            Self::WideStretch => "wide stretch",
            Self::Trill => "trill",
            Self::Ornaments => "ornaments",
            Self::AwkwardCrossing(_) => "awkward crossing",
        }
    }
}

impl fmt::Display for PassageKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl Serialize for PassageKind {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// What a passage is made of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Material {
    /// A scale.
    Scale(Scale),
    /// A chord.
    Chord(Chord),
    /// No one scale or chord; the key around it.
    Key(Key),
}

impl Material {
    /// The key, as reports name it: `C minor` for the harmonic scale of C minor, `chromatic` for a chromatic one.
    pub fn key_name(&self) -> String {
        match self {
            Self::Scale(scale) => scale.key().map_or_else(|| Form::Chromatic.to_string(), |key| key.to_string()),
            Self::Chord(chord) => chord.to_string(),
            Self::Key(key) => key.to_string(),
        }
    }

    /// The form, where it is a scale.
    pub fn form(&self) -> Option<Form> {
        match self {
            Self::Scale(scale) => Some(scale.form()),
            _ => None,
        }
    }
}

/// What a detector measured, and the limit that it passed.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct Finding {
    /// What, such as `notes in one direction`.
    pub what: &'static str,
    /// How much.
    pub value: f64,
    /// How much makes a passage.
    pub limit: f64,
}

/// A stretch of one hand that has a name.
#[derive(Clone, PartialEq, Debug)]
pub struct Passage {
    /// Whose.
    pub hand: Hand,
    /// What.
    pub kind: PassageKind,
    /// Of which scale, chord or key.
    pub material: Option<Material>,
    /// Up or down, where it goes one way.
    pub direction: Option<Motion>,
    /// First slice, an index into [`crate::hands::Line::slices`].
    pub first_slice: usize,
    /// Last slice, itself included.
    pub last_slice: usize,
    /// First measure.
    pub first_measure: MeasureIndex,
    /// Last measure, itself included.
    pub last_measure: MeasureIndex,
    /// How many notes.
    pub notes: usize,
    /// How many crossings the hand makes on its way from the first to the last note.
    pub crossings: usize,
    /// Strokes (single notes or chords) a second.
    pub rate: f64,
    /// What was measured.
    pub finding: Finding,
}

impl Passage {
    /// What the name of the kind leaves open: the form of a scale, `thirds`, `finger over`.
    pub fn detail(&self) -> Option<&'static str> {
        match self.kind {
            PassageKind::DoubleNotes(Doubling::Thirds) => Some("thirds"),
            PassageKind::DoubleNotes(Doubling::Sixths) => Some("sixths"),
            PassageKind::DoubleNotes(Doubling::Mixed) => Some("mixed"),
            PassageKind::AwkwardCrossing(crossing) => Some(crossing.name()),
            _ => self.material.as_ref().and_then(Material::form).map(Form::name),
        }
    }
}

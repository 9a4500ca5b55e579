//! Names of chords: a root and a quality.

use std::fmt;

use crate::scales::NoteName;

/// What a chord is built of.
///
/// The major seventh chord is left out on purpose: in most music its notes in a row are a triad with a note of the tune.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[allow(missing_docs)] // the names are those of any harmony book
pub enum Quality {
    Major,
    Minor,
    Diminished,
    Augmented,
    DominantSeventh,
    MinorSeventh,
    HalfDiminishedSeventh,
    DiminishedSeventh,
}

impl Quality {
    /// All, triads first.
    pub const ALL: [Self; 8] = [
        Self::Major,
        Self::Minor,
        Self::Diminished,
        Self::Augmented,
        Self::DominantSeventh,
        Self::MinorSeventh,
        Self::HalfDiminishedSeventh,
        Self::DiminishedSeventh,
    ];

    /// Semitones of its notes above the root.
    pub fn intervals(self) -> &'static [i32] {
        match self {
            Self::Major => &[0, 4, 7],
            Self::Minor => &[0, 3, 7],
            Self::Diminished => &[0, 3, 6],
            Self::Augmented => &[0, 4, 8],
            Self::DominantSeventh => &[0, 4, 7, 10],
            Self::MinorSeventh => &[0, 3, 7, 10],
            Self::HalfDiminishedSeventh => &[0, 3, 6, 10],
            Self::DiminishedSeventh => &[0, 3, 6, 9],
        }
    }

    /// `major`, `dominant seventh`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Major => "major",
            Self::Minor => "minor",
            Self::Diminished => "diminished",
            Self::Augmented => "augmented",
            Self::DominantSeventh => "dominant seventh",
            Self::MinorSeventh => "minor seventh",
            Self::HalfDiminishedSeventh => "half-diminished seventh",
            Self::DiminishedSeventh => "diminished seventh",
        }
    }
}

/// A chord, whatever its lowest note: `E-flat major`, `G dominant seventh`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Chord {
    /// The note it is named after.
    pub root: NoteName,
    /// What it is built of.
    pub quality: Quality,
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.root, self.quality.name())
    }
}

//! The major and minor keys: names, signatures, relatives, enharmonic twins.
//!
//! In: a number of fifths and a mode, or a name. Out: a [`Key`] of the fifteen major and fifteen minor ones that can be
//! signed with at most seven accidentals.

use std::fmt;

use serde::{Serialize, Serializer};

use super::note_name::NoteName;
use crate::score::Mode;
use crate::units::Step;

/// A key: `E-flat major`, `F-sharp minor`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Key {
    fifths: i8,
    mode: Mode,
}

impl Key {
    /// The key of a signature: `fifths` sharps (positive) or flats (negative); `None` beyond seven.
    pub fn from_fifths(fifths: i8, mode: Mode) -> Option<Self> {
        (-7..=7).contains(&fifths).then_some(Self { fifths, mode })
    }

    /// The key on a tonic; `None` where it would need more than seven accidentals (G-sharp major, for instance).
    pub fn of_tonic(tonic: NoteName, mode: Mode) -> Option<Self> {
        Self::all(mode).find(|key| key.tonic() == tonic)
    }

    /// All fifteen keys of a mode, from seven flats to seven sharps.
    pub fn all(mode: Mode) -> impl Iterator<Item = Self> {
        (-7..=7).map(move |fifths| Self { fifths, mode })
    }

    /// The twelve keys of a mode under their main names, from C (or A minor) upwards by semitones.
    pub fn twelve(mode: Mode) -> impl Iterator<Item = Self> {
        (0..12).filter_map(move |class| Self::all(mode).find(|key| key.is_main() && key.tonic().pitch_class() == class))
    }

    /// Sharps (positive) or flats (negative) of the signature.
    pub fn fifths(self) -> i8 {
        self.fifths
    }

    /// Major or minor.
    pub fn mode(self) -> Mode {
        self.mode
    }

    /// The note it is named after.
    pub fn tonic(self) -> NoteName {
        let mut name = match self.mode {
            Mode::Major => NoteName { step: Step::C, alter: 0 },
            Mode::Minor => NoteName { step: Step::A, alter: 0 },
        };
        for _ in 0..self.fifths.unsigned_abs() {
            name = if self.fifths < 0 { name.fifth_down() } else { name.fifth_up() };
        }
        name
    }

    /// The altered notes of the signature in the order they are written: F-sharp, C-sharp, ... or B-flat, E-flat, ...
    pub fn signature(self) -> Vec<NoteName> {
        let mut name = NoteName { step: if self.fifths < 0 { Step::B } else { Step::F }, alter: self.fifths.signum() };
        let mut names = Vec::new();
        for _ in 0..self.fifths.unsigned_abs() {
            names.push(name);
            name = if self.fifths < 0 { name.fifth_down() } else { name.fifth_up() };
        }
        names
    }

    /// What the signature does to a letter: -1, 0 or 1 semitone.
    pub fn alter_of(self, step: Step) -> i8 {
        self.signature().iter().find(|name| name.step == step).map_or(0, |name| name.alter)
    }

    /// The key of the other mode with the same signature: C minor for E-flat major.
    pub fn relative(self) -> Self {
        let mode = match self.mode {
            Mode::Major => Mode::Minor,
            Mode::Minor => Mode::Major,
        };
        Self { fifths: self.fifths, mode }
    }

    /// The same keys of the keyboard under another name, where both names are in use: C-sharp major for D-flat major.
    pub fn twin(self) -> Option<Self> {
        let other = if self.fifths > 0 { self.fifths - 12 } else { self.fifths + 12 };
        Self::from_fifths(other, self.mode)
    }

    /// True for the name used first. Of two enharmonic keys it is the one with fewer accidentals, and of the two with
    /// six the one with flats (G-flat major, E-flat minor), as in Hanon, *The Virtuoso Pianist* (1873), no. 39.
    pub fn is_main(self) -> bool {
        (-6..=5).contains(&self.fifths)
    }

    /// This key under its main name.
    pub fn main(self) -> Self {
        if self.is_main() { self } else { self.twin().unwrap_or(self) }
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mode = match self.mode {
            Mode::Major => "major",
            Mode::Minor => "minor",
        };
        write!(f, "{} {mode}", self.tonic())
    }
}

impl Serialize for Key {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_circle_of_fifths_is_named_as_in_any_primer() {
        let names = |mode| Key::all(mode).map(|key| key.tonic().short()).collect::<Vec<_>>().join(" ");
        assert_eq!(names(Mode::Major), "Cb Gb Db Ab Eb Bb F C G D A E B F# C#");
        assert_eq!(names(Mode::Minor), "Ab Eb Bb F C G D A E B F# C# G# D# A#");
    }

    #[test]
    fn twelve_keys_of_each_mode_have_main_names() {
        let names = |mode| Key::twelve(mode).map(|key| key.tonic().short()).collect::<Vec<_>>().join(" ");
        assert_eq!(names(Mode::Major), "C Db D Eb E F Gb G Ab A Bb B");
        assert_eq!(names(Mode::Minor), "C C# D Eb E F F# G G# A Bb B");
    }

    #[test]
    fn twins_sound_on_the_same_keys_and_only_six_pairs_exist() {
        for mode in [Mode::Major, Mode::Minor] {
            let twins: Vec<_> = Key::all(mode).filter_map(|key| key.twin().map(|twin| (key, twin))).collect();
            assert_eq!(twins.len(), 6, "three pairs, each seen from both sides");
            for (key, twin) in twins {
                assert_eq!(key.tonic().pitch_class(), twin.tonic().pitch_class());
                assert_eq!(twin.twin(), Some(key));
                assert!(key.is_main() != twin.is_main(), "{key} and {twin}: one main name");
                assert_eq!(key.main(), twin.main());
            }
        }
    }

    // Common practice, no source: the two share B-flat, E-flat and A-flat.
    #[test]
    fn e_flat_major_and_c_minor_share_their_signature() {
        let key = Key::from_fifths(-3, Mode::Major).unwrap();
        assert_eq!(key.to_string(), "E-flat major");
        assert_eq!(key.relative().to_string(), "C minor");
        let signature: Vec<_> = key.signature().into_iter().map(|name| name.to_string()).collect();
        assert_eq!(signature, ["B-flat", "E-flat", "A-flat"]);
        assert_eq!(key.alter_of(Step::A), -1);
        assert_eq!(key.alter_of(Step::D), 0);
    }
}

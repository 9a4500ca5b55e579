//! Spelled note names without an octave: `E-flat`, `F-sharp`.

use std::fmt;

use crate::units::{KeyColour, Midi, Pitch, Step};

/// A letter with its accidental.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct NoteName {
    /// Letter.
    pub step: Step,
    /// Sharps (positive) or flats (negative), in semitones; at most double.
    pub alter: i8,
}

impl NoteName {
    /// The key within the octave, 0 for C to 11 for B.
    pub fn pitch_class(self) -> u8 {
        (self.step.semitones() + i32::from(self.alter)).rem_euclid(12) as u8
    }

    /// White or black.
    pub fn colour(self) -> KeyColour {
        Midi::new(i32::from(self.pitch_class())).map_or(KeyColour::White, Midi::colour)
    }

    /// This name on the key `midi`: the octave follows from the spelling, so that `Cb` on B4 is `Cb5`.
    ///
    /// A key that does not bear the name gives the nearest octave below.
    pub fn on_key(self, midi: i32) -> Pitch {
        let octave = (midi - i32::from(self.alter) - self.step.semitones()).div_euclid(12) - 1;
        Pitch { octave: octave.clamp(-128, 127) as i8, step: self.step, alter: self.alter }
    }

    /// The name a fifth above: G for C, F-sharp for B.
    pub(super) fn fifth_up(self) -> Self {
        let alter = self.alter + i8::from(self.step == Step::B);
        Self { step: Step::ALL[(self.step as usize + 4) % 7], alter }
    }

    /// The name a fifth below: F for C, B-flat for F.
    pub(super) fn fifth_down(self) -> Self {
        let alter = self.alter - i8::from(self.step == Step::F);
        Self { step: Step::ALL[(self.step as usize + 3) % 7], alter }
    }

    /// Short, as in tables: `Eb`, `F#`, `F##`.
    pub fn short(self) -> String {
        let sign = if self.alter < 0 { "b" } else { "#" };
        format!("{}{}", self.step.letter(), sign.repeat(usize::from(self.alter.unsigned_abs())))
    }
}

impl From<Pitch> for NoteName {
    fn from(pitch: Pitch) -> Self {
        Self { step: pitch.step, alter: pitch.alter }
    }
}

/// Long, as in sentences: `E-flat`, `F-sharp`, `F-double-sharp`.
impl fmt::Display for NoteName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let accidental = match self.alter {
            i8::MIN..=-2 => "-double-flat",
            -1 => "-flat",
            0 => "",
            1 => "-sharp",
            2..=i8::MAX => "-double-sharp",
        };
        write!(f, "{}{accidental}", self.step.letter())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_octave_follows_from_the_spelling() {
        let c_flat = NoteName { step: Step::C, alter: -1 };
        assert_eq!(c_flat.on_key(71).to_string(), "Cb5");
        let b_sharp = NoteName { step: Step::B, alter: 1 };
        assert_eq!(b_sharp.on_key(60).to_string(), "B#3");
        assert_eq!(b_sharp.pitch_class(), 0);
        assert_eq!(c_flat.pitch_class(), 11);
    }

    #[test]
    fn names_read_as_musicians_say_them() {
        let f_double_sharp = NoteName { step: Step::F, alter: 2 };
        assert_eq!(f_double_sharp.to_string(), "F-double-sharp");
        assert_eq!(f_double_sharp.short(), "F##");
        assert_eq!(NoteName { step: Step::E, alter: -1 }.to_string(), "E-flat");
    }
}

//! Where the keys lie, in millimetres of a real keyboard, as one hand sees them.
//!
//! In: a key by MIDI number and a hand. Out: the place of its centre and its colour. The left hand sees the keyboard
//! mirrored, so that for both hands a higher place is further towards the little finger, and every rule is written
//! once.

use crate::units::{Hand, KeyColour, Midi};

/// A length on the keyboard, in tenths of a millimetre.
pub type TenthMillimetres = i32;

/// Seven white keys of 23.5 mm: an octave is 164.5 mm, within the 164 to 165 mm of today's makers (common practice, no
/// source; Jacobs 2001, p. 507, argues for real distances in place of semitones).
pub const OCTAVE: TenthMillimetres = 7 * WHITE_KEY;

/// Width of a white key.
pub const WHITE_KEY: TenthMillimetres = 235;

/// Centres of the twelve keys above the left edge of C.
///
/// White keys at (n + 1/2) x 23.5 mm. Between C and E five narrow parts share 70.5 mm, between F and B seven share
/// 94 mm, which places the black keys; so C-sharp lies a little left of the border between C and D, and so on.
const CENTRES: [TenthMillimetres; 12] = [118, 212, 353, 494, 588, 823, 906, 1058, 1175, 1293, 1444, 1528];

/// A length that is so many semitones on average.
pub const fn semitones(count: i32) -> TenthMillimetres {
    count * OCTAVE / 12
}

/// One key as a hand sees it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Key {
    /// Semitones in the direction of the little finger, from a point that does not matter.
    pub number: i32,
    /// Centre, in the same direction.
    pub place: TenthMillimetres,
    /// True for a black key.
    pub black: bool,
}

impl Key {
    /// The key `midi` as seen by `hand`.
    pub fn seen_by(hand: Hand, midi: Midi) -> Self {
        let number = i32::from(midi.number());
        let place = number / 12 * OCTAVE + CENTRES[(number % 12) as usize];
        let outward = hand.outward();
        Self { number: outward * number, place: outward * place, black: midi.colour() == KeyColour::Black }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(number: i32) -> Key {
        Key::seen_by(Hand::Right, Midi::new(number).unwrap())
    }

    #[test]
    fn white_keys_are_one_width_apart_and_black_keys_lie_between() {
        let whites: Vec<i32> = (0..128).filter(|n| !key(*n).black).map(|n| key(n).place).collect();
        assert!(whites.windows(2).all(|w| (w[1] - w[0] - 235).abs() <= 1));
        assert!((0..127).all(|n| key(n).place < key(n + 1).place));
    }

    #[test]
    fn the_left_hand_sees_the_mirror_of_the_keyboard() {
        let low = Key::seen_by(Hand::Left, Midi::new(48).unwrap());
        let high = Key::seen_by(Hand::Left, Midi::new(55).unwrap());
        assert!(high.place < low.place && high.number == low.number - 7);
    }
}

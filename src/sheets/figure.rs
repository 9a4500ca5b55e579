//! What a drill is made of, and how one hand plays it.
//!
//! In: a scale or a key. Out: keys and fingers in playing order.

use crate::scales::{Form, Key, Scale, accepted_fingerings, arpeggio_fingerings};
use crate::score::Mode;
use crate::units::{Finger, Hand, Motion, Pitch};

/// What a drill is made of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Figure {
    /// A scale.
    Scale(Scale),
    /// The triad of a key from its root, through the octaves.
    Arpeggio(Key),
    /// The triad of a key and its inversions, note after note under one hand position each.
    BrokenChord(Key),
}

impl Figure {
    /// `E-flat major scale`, `C minor arpeggio`, `C minor broken chord`.
    pub fn name(self) -> String {
        match self {
            Self::Scale(scale) => format!("{scale} scale"),
            Self::Arpeggio(key) => format!("{key} arpeggio"),
            Self::BrokenChord(key) => format!("{key} broken chord"),
        }
    }

    /// The key it is written in; none for the chromatic scale.
    pub fn key(self) -> Option<Key> {
        match self {
            Self::Scale(scale) => scale.key(),
            Self::Arpeggio(key) | Self::BrokenChord(key) => Some(key),
        }
    }

    /// Keys and fingers of one hand in one direction.
    pub fn run(self, hand: Hand, motion: Motion, octaves: u8) -> Vec<(Pitch, Finger)> {
        match self {
            Self::Scale(scale) => {
                let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
                pitches.into_iter().zip(accepted_fingerings(scale, hand, motion, octaves).swap_remove(0)).collect()
            }
            Self::Arpeggio(key) => {
                let fingers = arpeggio_fingerings(key, hand, motion, octaves).swap_remove(0);
                let mut pitches = chord_tones(key, hand, octaves);
                if motion == Motion::Down {
                    pitches.reverse();
                }
                pitches.into_iter().zip(fingers).collect()
            }
            Self::BrokenChord(key) => broken_chord(key, hand, motion, octaves),
        }
    }
}

/// The scale of a key that its chords are taken from.
fn scale_of(key: Key) -> Option<Scale> {
    let form = match key.mode() {
        Mode::Major => Form::Major,
        Mode::Minor => Form::NaturalMinor,
    };
    Scale::new(key, form)
}

/// Root, third and fifth through the octaves, and the root on top, from the lowest.
fn chord_tones(key: Key, hand: Hand, octaves: u8) -> Vec<Pitch> {
    let Some(scale) = scale_of(key) else { return Vec::new() };
    let run = scale.run(Motion::Up, octaves, scale.lowest_key(hand, octaves));
    run.into_iter().enumerate().filter(|(index, _)| matches!(index % 7, 0 | 2 | 4)).map(|(_, pitch)| pitch).collect()
}

/// The chord and its inversions, one after the other, each from its lowest note (coming down from its highest).
///
/// Fingers are those of close triads in any primer (common practice, no source): 1 3 5 in the right hand and 5 3 1 in the
/// left, but the second finger in the middle of the right hand's first and the left hand's second inversion.
fn broken_chord(key: Key, hand: Hand, motion: Motion, octaves: u8) -> Vec<(Pitch, Finger)> {
    // The last inversion reaches beyond the run by two chord tones.
    let tones = chord_tones(key, hand, octaves.saturating_add(1));
    let positions = 3 * usize::from(octaves) + 1;
    let mut notes = Vec::new();
    for (position, chord) in tones.windows(3).take(positions).enumerate() {
        let middle = match (hand, position % 3) {
            (Hand::Right, 1) | (Hand::Left, 2) => 2,
            _ => 3,
        };
        let digits = if hand == Hand::Right { [1, middle, 5] } else { [5, middle, 1] };
        notes.extend(chord.iter().copied().zip(digits.into_iter().filter_map(Finger::new)));
    }
    if motion == Motion::Down {
        notes.reverse();
    }
    notes
}

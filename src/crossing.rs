//! The crossing: the thumb passing under a finger, or a finger over the thumb, as one hand meets it in a piece or in a
//! scale.
//!
//! In: two keys in a row with their fingers. Out: a [`Crossing`] if they cross. That a scale *practises* a crossing of a
//! piece is decided here, from these few facts alone.

use serde::{Deserialize, Serialize};

use crate::units::{Finger, Hand, KeyColour, Midi};

/// How a finger passes the thumb.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub enum CrossingKind {
    /// The thumb passes beneath a finger.
    #[serde(rename = "thumb under")]
    ThumbUnder,
    /// 2, 3, 4 or 5 passes over the thumb.
    #[serde(rename = "finger over")]
    FingerOver,
}

impl CrossingKind {
    /// `thumb under` or `finger over`.
    pub fn name(self) -> &'static str {
        match self {
            Self::ThumbUnder => "thumb under",
            Self::FingerOver => "finger over",
        }
    }
}

/// What one crossing asks of the hand.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub struct Crossing {
    /// Whose.
    pub hand: Hand,
    /// Thumb under or finger over.
    pub kind: CrossingKind,
    /// Finger on the key left.
    pub from_finger: Finger,
    /// Finger on the key reached.
    pub to_finger: Finger,
    /// Semitones, positive upwards.
    pub interval: i32,
    /// Colour of the key left.
    pub from_colour: KeyColour,
    /// Colour of the key reached.
    pub to_colour: KeyColour,
}

/// How well practising one crossing prepares another.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Practice {
    /// The interval is off by a semitone, or one key has the other colour.
    Nearly,
    /// The same hand, kind, fingers, interval and key colours.
    Exact,
}

impl Crossing {
    /// The crossing between two keys played in a row by one hand, if it is one.
    ///
    /// Going outward (up in the right hand, down in the left), a thumb after another finger passed under it; going
    /// inward, another finger after the thumb passed over it.
    pub fn between(hand: Hand, from: (Midi, Finger), to: (Midi, Finger)) -> Option<Self> {
        let interval = from.0.semitones_to(to.0);
        let kind = match (from.1.is_thumb(), to.1.is_thumb(), interval * hand.outward()) {
            (false, true, 1..) => CrossingKind::ThumbUnder,
            (true, false, ..=-1) => CrossingKind::FingerOver,
            _ => return None,
        };
        Some(Self {
            hand,
            kind,
            from_finger: from.1,
            to_finger: to.1,
            interval,
            from_colour: from.0.colour(),
            to_colour: to.0.colour(),
        })
    }

    /// `right hand, thumb under from 3 to 1, a semitone, white to black`: what a list of crossings calls it.
    pub fn name(&self) -> String {
        let colour = |colour| if colour == KeyColour::White { "white" } else { "black" };
        let interval = match self.interval.unsigned_abs() {
            1 => "a semitone".to_owned(),
            2 => "a tone".to_owned(),
            semitones => format!("{semitones} semitones"),
        };
        format!(
            "{}, {} from {} to {}, {interval}, {} to {}",
            self.hand.name(),
            self.kind.name(),
            self.from_finger,
            self.to_finger,
            colour(self.from_colour),
            colour(self.to_colour)
        )
    }

    /// How far practising `self` also practises `other`, if at all.
    pub fn practises(&self, other: &Self) -> Option<Practice> {
        let same_fingers = (self.hand, self.kind, self.from_finger, self.to_finger)
            == (other.hand, other.kind, other.from_finger, other.to_finger);
        if !same_fingers {
            return None;
        }
        let colours = u8::from(self.from_colour != other.from_colour) + u8::from(self.to_colour != other.to_colour);
        match (self.interval.abs_diff(other.interval), colours) {
            (0, 0) => Some(Practice::Exact),
            (1, 0) | (0, 1) => Some(Practice::Nearly),
            _ => None,
        }
    }

    /// The finger that passes the thumb or is passed by it.
    pub fn finger(&self) -> Finger {
        match self.kind {
            CrossingKind::ThumbUnder => self.from_finger,
            CrossingKind::FingerOver => self.to_finger,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crossing(hand: Hand, from: (i32, u8), to: (i32, u8)) -> Option<Crossing> {
        let key = |(midi, finger)| (Midi::new(midi).unwrap(), Finger::new(finger).unwrap());
        Crossing::between(hand, key(from), key(to))
    }

    #[test]
    fn the_thumb_passes_under_outward_and_fingers_pass_over_inward() {
        let kind = |hand, from, to| crossing(hand, from, to).map(|crossing| crossing.kind);
        assert_eq!(kind(Hand::Right, (64, 3), (65, 1)), Some(CrossingKind::ThumbUnder));
        assert_eq!(kind(Hand::Right, (65, 1), (64, 3)), Some(CrossingKind::FingerOver));
        assert_eq!(kind(Hand::Left, (60, 3), (59, 1)), Some(CrossingKind::ThumbUnder));
        assert_eq!(kind(Hand::Left, (59, 1), (60, 3)), Some(CrossingKind::FingerOver));
        assert_eq!(kind(Hand::Right, (60, 1), (62, 2)), None, "a step outward from the thumb");
        assert_eq!(kind(Hand::Left, (60, 1), (59, 2)), None, "a step outward from the thumb");
        assert_eq!(kind(Hand::Right, (60, 1), (59, 1)), None, "the thumb alone");
        assert_eq!(kind(Hand::Right, (60, 2), (60, 1)), None, "the same key");
        assert_eq!(kind(Hand::Right, (60, 2), (62, 4)), None, "no thumb");
    }

    #[test]
    fn practising_needs_the_same_fingers_and_nearly_the_same_keys() {
        let c_to_b_flat = crossing(Hand::Right, (72, 1), (70, 4)).unwrap();
        let f_to_e_flat = crossing(Hand::Right, (65, 1), (63, 4)).unwrap();
        assert_eq!(c_to_b_flat.practises(&f_to_e_flat), Some(Practice::Exact));
        let e_to_d = crossing(Hand::Right, (64, 1), (62, 4)).unwrap();
        assert_eq!(c_to_b_flat.practises(&e_to_d), Some(Practice::Nearly), "one colour differs");
        let c_to_b = crossing(Hand::Right, (72, 1), (71, 4)).unwrap();
        assert_eq!(e_to_d.practises(&c_to_b), Some(Practice::Nearly), "a semitone less");
        assert_eq!(c_to_b_flat.practises(&c_to_b), None, "both differ");
        let with_the_third = crossing(Hand::Right, (72, 1), (70, 3)).unwrap();
        assert_eq!(c_to_b_flat.practises(&with_the_third), None);
    }
}

//! How awkward a crossing is, in points, and why.
//!
//! In: the two keys of a crossing with their fingers, and how far the neighbouring finger has to open just before or
//! after it. Out: an [`Awkwardness`]: named terms whose sum ranks the crossings. Points have no unit; only their order
//! and rough proportion mean anything. The left hand is measured as the mirror of the right.
//!
//! What the terms rest on:
//! - Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), *Music Perception* 14(4), 341-382 (from memory): passing
//!   the thumb costs more between keys of one level, and most where the thumb lands on a black key below a finger on a
//!   white one; the fourth and fifth fingers are weak.
//! - Common practice, no source: the fourth finger over the thumb, a whole tone away and onto a black key, is the hardest
//!   moment of a major scale (E-flat major, right hand, from C down to B-flat); the same keys going outward, thumb
//!   under, are easier; the augmented second of the harmonic minor is a reach for neighbouring fingers.

use serde::Serialize;

use crate::crossing::{Crossing, CrossingKind};
use crate::units::KeyColour;

/// Points of one crossing, by cause.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default, Serialize)]
pub struct Awkwardness {
    /// Passing at all: the thumb can travel under ahead of time, but a finger goes over while the thumb holds its key.
    pub passing: i32,
    /// Keys further apart than neighbours.
    pub interval: i32,
    /// The weaker, shorter finger.
    pub finger: i32,
    /// Where white and black keys leave the thumb no room.
    pub level: i32,
    /// A weak finger that must swing up onto a black key.
    pub landing: i32,
    /// The neighbouring fingers open wide right at the crossing.
    pub reach: i32,
}

impl Awkwardness {
    /// All points together.
    pub fn total(&self) -> i32 {
        self.terms().iter().map(|(_, points)| points).sum()
    }

    /// The terms by name.
    pub fn terms(&self) -> [(&'static str, i32); 6] {
        [
            ("passing", self.passing),
            ("interval", self.interval),
            ("finger", self.finger),
            ("level", self.level),
            ("landing", self.landing),
            ("reach", self.reach),
        ]
    }
}

/// Points for the thumb passing under.
/// Chosen by us: below [`FINGER_OVER`], since the hand is already moving the way the thumb goes.
const THUMB_UNDER: i32 = 4;

/// Points for a finger passing over.
/// Chosen by us: with the other terms it makes C to D in the left hand clearly harder than D to C.
const FINGER_OVER: i32 = 6;

/// How far the thumb passes each finger, 2 to 5, at no extra cost, in semitones.
/// Source: Parncutt et al. (1997), table 1: 3 for the second finger, 2 for the third, 1 for the fourth (comfortable
/// minima). We use: 3 for the second, and 1 for the others, so that a whole tone with the third finger counts a little.
const EASY_INTERVAL: [i32; 4] = [3, 1, 1, 1];

/// Points for each semitone beyond that, thumb under.
/// Chosen by us: half of [`OVER_SEMITONE`].
const UNDER_SEMITONE: i32 = 2;

/// The same, finger over.
/// Chosen by us: the finger spans the whole distance while the thumb holds.
const OVER_SEMITONE: i32 = 4;

/// Points by finger passed or passing, 2 to 5.
/// Chosen by us after the weak-finger rule of Parncutt et al.: the third is the longest and easiest, the fourth weak, and
/// the fifth next to the thumb is hardly used.
const UNDER_FINGER: [i32; 4] = [1, 0, 2, 6];
/// The same for a finger going over.
const OVER_FINGER: [i32; 4] = [1, 0, 3, 8];

/// Points where both keys are of one level, so that the thumb passes without the room a black key gives.
/// Source: thumb-passing rule of Parncutt et al. (1997): 1 point. We use the same.
const SAME_LEVEL: i32 = 1;

/// Points where the thumb is on a black key and the finger on a white one.
/// Source: thumb-passing rule of Parncutt et al. (1997): 3 points, on their scale where a weak finger costs 1. We use 6,
/// twice that, to stand in the same proportion to [`OVER_FINGER`].
const THUMB_ON_BLACK: i32 = 6;

/// Points a semitone for landing on a black key over the thumb, by finger 2 to 5.
/// Chosen by us: the third finger lands there without trouble, the fourth does not.
const LANDING: [i32; 4] = [0, 1, 3, 4];

/// Points a semitone beyond a whole tone between neighbouring fingers, right after a finger went over.
/// Chosen by us: as much as a semitone under the passing finger itself.
const REACH_AFTER_OVER: i32 = 4;

/// The same right before the thumb goes under: the hand is open when it should close.
/// Chosen by us: half, as for the interval.
const REACH_BEFORE_UNDER: i32 = 2;

/// Points of a crossing. `neighbour` is the step between neighbouring fingers next to it on the outer side, in semitones
/// (0 where there is none): after a finger over, before a thumb under.
pub fn awkwardness(crossing: &Crossing, neighbour: i32) -> Awkwardness {
    let finger = crossing.finger().index().saturating_sub(1).min(3);
    let beyond_easy = (crossing.interval.abs() - EASY_INTERVAL[finger]).max(0);
    let beyond_tone = (neighbour.abs() - 2).max(0);
    let (thumb, other) = match crossing.kind {
        CrossingKind::ThumbUnder => (crossing.to_colour, crossing.from_colour),
        CrossingKind::FingerOver => (crossing.from_colour, crossing.to_colour),
    };
    let level = match (thumb, other) {
        (KeyColour::Black, KeyColour::White) => THUMB_ON_BLACK,
        (KeyColour::White, KeyColour::Black) => 0,
        _ => SAME_LEVEL,
    };
    match crossing.kind {
        CrossingKind::ThumbUnder => Awkwardness {
            passing: THUMB_UNDER,
            interval: UNDER_SEMITONE * beyond_easy,
            finger: UNDER_FINGER[finger],
            level,
            landing: 0,
            reach: REACH_BEFORE_UNDER * beyond_tone,
        },
        CrossingKind::FingerOver => Awkwardness {
            passing: FINGER_OVER,
            interval: OVER_SEMITONE * beyond_easy,
            finger: OVER_FINGER[finger],
            level,
            landing: if other == KeyColour::Black { LANDING[finger] * crossing.interval.abs() } else { 0 },
            reach: REACH_AFTER_OVER * beyond_tone,
        },
    }
}

//! The crossings of a run, and of every scale.
//!
//! In: a scale, a hand, up or down. Out: its [`ScaleCrossing`]s in playing order with what makes each awkward; and the
//! lines of all scales, computed once.

use std::sync::LazyLock;

use super::awkwardness::{Awkwardness, awkwardness};
use super::scale::Scale;
use super::textbook::textbook_fingering;
use crate::crossing::{Crossing, CrossingKind, Practice};
use crate::units::{Finger, Hand, Motion, Pitch};

/// A crossing of a run, and how awkward it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ScaleCrossing {
    /// Fingers, interval and colours.
    pub crossing: Crossing,
    /// Up or down.
    pub motion: Motion,
    /// Key left, as spelled in the scale.
    pub from: Pitch,
    /// Key reached.
    pub to: Pitch,
    /// Place of the key left among the notes of the run, from 0.
    pub place: usize,
    /// The key next to it on the outer side, with its finger: before a thumb under, after a finger over.
    pub outer: Option<(Pitch, Finger)>,
    /// Points by cause.
    pub awkwardness: Awkwardness,
}

/// One hand's way through a scale in one direction.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ScaleLine {
    /// Which scale.
    pub scale: Scale,
    /// Whose line.
    pub hand: Hand,
    /// Up or down.
    pub motion: Motion,
    /// Its crossings over two octaves, each kind of place once, in playing order.
    pub crossings: Vec<ScaleCrossing>,
    /// Notes under the hand before it first has to cross.
    pub opening: usize,
}

/// Points for each note that the first position lacks to a full five.
/// Chosen by us: enough that C minor, which begins on the thumb or the fifth, is a little easier than E-flat major, its
/// equal in notes, which begins on the third finger right before the thumb (common practice, no source).
const SHORT_OPENING: i32 = 1;

impl ScaleLine {
    /// The line of a hand, over two octaves so that every crossing comes, also those of the ends.
    pub fn new(scale: Scale, hand: Hand, motion: Motion) -> Self {
        let all = run_crossings(scale, hand, motion, 2);
        let opening = all.first().map_or(2 * scale.form().size() + 1, |first| first.place + 1);
        let mut crossings: Vec<ScaleCrossing> = Vec::new();
        for crossing in all {
            let same =
                |other: &ScaleCrossing| other.crossing == crossing.crossing && other.from.step == crossing.from.step;
            if !crossings.iter().any(same) {
                crossings.push(crossing);
            }
        }
        Self { scale, hand, motion, crossings, opening }
    }

    /// How well playing this line practises a crossing of a piece: the best of its crossings.
    pub fn practises(&self, crossing: &Crossing) -> Option<Practice> {
        self.crossings.iter().filter_map(|own| own.crossing.practises(crossing)).max()
    }

    /// The crossing to isolate: the most awkward one, the first of equals.
    pub fn hardest(&self) -> Option<&ScaleCrossing> {
        // Of equals `max_by_key` gives the last, hence the reversal.
        self.crossings.iter().rev().max_by_key(|crossing| crossing.awkwardness.total())
    }

    /// The whole line in points: the crossings of one octave in the middle of a run, and how soon the first one comes.
    pub fn awkwardness(&self) -> i32 {
        let size = self.scale.form().size();
        let octave = run_crossings(self.scale, self.hand, self.motion, 3);
        let middle = octave.iter().filter(|crossing| (size..2 * size).contains(&crossing.place));
        let crossings: i32 = middle.map(|crossing| crossing.awkwardness.total()).sum();
        crossings + SHORT_OPENING * (5 - self.opening.min(5) as i32)
    }
}

/// The crossings of a run over some octaves in its textbook fingering, in playing order.
fn run_crossings(scale: Scale, hand: Hand, motion: Motion, octaves: u8) -> Vec<ScaleCrossing> {
    let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
    crossings_of(hand, motion, &pitches, &textbook_fingering(scale, hand, motion, octaves))
}

/// The crossings of a run with its fingers, in playing order.
pub fn crossings_of(hand: Hand, motion: Motion, pitches: &[Pitch], fingers: &[Finger]) -> Vec<ScaleCrossing> {
    let keys: Vec<_> = pitches.iter().zip(fingers).map(|(pitch, finger)| (pitch.midi(), *finger)).collect();
    // The step from note `place` to the next, where two neighbouring fingers take it.
    let step = |place: Option<usize>| {
        let [(Some(from), a), (Some(to), b)] = *keys.get(place?..)?.first_chunk()? else { return None };
        (a.number().abs_diff(b.number()) == 1).then(|| from.semitones_to(to))
    };
    let mut found = Vec::new();
    for (place, (pair, named)) in keys.windows(2).zip(pitches.windows(2)).enumerate() {
        let ([(Some(from_key), from_finger), (Some(to_key), to_finger)], [from, to]) = (pair, named) else { continue };
        let Some(crossing) = Crossing::between(hand, (*from_key, *from_finger), (*to_key, *to_finger)) else {
            continue;
        };
        // On the outer side of the crossing fingers other than the thumb play in a row.
        let outer = match crossing.kind {
            CrossingKind::ThumbUnder => place.checked_sub(1),
            CrossingKind::FingerOver => Some(place + 1),
        };
        let awkwardness = awkwardness(&crossing, step(outer).unwrap_or(0));
        let outer = match crossing.kind {
            CrossingKind::ThumbUnder => outer,
            CrossingKind::FingerOver => Some(place + 2),
        };
        let outer = outer.and_then(|at| pitches.get(at).copied().zip(fingers.get(at).copied()));
        found.push(ScaleCrossing { crossing, motion, from: *from, to: *to, place, outer, awkwardness });
    }
    found
}

/// The lines of both hands, up and down, of every scale of [`Scale::all`].
pub fn scale_lines() -> &'static [ScaleLine] {
    static LINES: LazyLock<Vec<ScaleLine>> = LazyLock::new(|| {
        let ways = Hand::BOTH.into_iter().flat_map(|hand| Motion::BOTH.map(|motion| (hand, motion)));
        let ways: Vec<_> = ways.collect();
        let lines = |scale| ways.iter().map(move |(hand, motion)| ScaleLine::new(scale, *hand, *motion));
        Scale::all().into_iter().flat_map(lines).collect()
    });
    &LINES
}

//! Of what kind a movement is, from the fingers that are on the keys and those that arrive.
//!
//! In: the fingers on the keys ([`Fingers`]) and those that strike. Out: the kind, and the pair of notes that leads.
//!
//! A crossing needs the thumb and one of the fingers 2 to 4, the hand must be on the keys, and both must be free to
//! pass: a finger that strikes before and after moves with the hand, which is a shift. Into and out of chords of three
//! notes and more there are only shifts.

use super::MovementKind;
use crate::crossing::Crossing;
use crate::fingering::keyboard::{Key, TenthMillimetres, semitones};
use crate::fingering::spans::Spans;
use crate::score::NoteId;
use crate::units::{Finger, Hand, Midi};

/// Widest interval that the thumb passes under or a finger goes over, in semitones; beyond it the hand leaves the keys.
///
/// Source: Parncutt et al. (1997), Music Perception 14(4), table 1: the thumb passes the second finger by 5 semitones
/// at most, the third by 4, the fourth by 3 (practical minima, legato). We use: 5 for all three, since the arpeggios of
/// every scale manual take a fourth with the third or fourth finger, and are taught as crossings.
const WIDEST_CROSSING: u32 = 5;

/// Most notes struck on either side of a crossing.
const MOST_STRUCK: usize = 2;

/// How far below its resting span a pair of fingers may close before the hand has moved.
/// Chosen by us: a whole tone, so that 1 and 3 on neighbouring keys are still in position, and 1 and 5 are not.
const CLOSING: TenthMillimetres = semitones(2);

/// A finger on a key.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Placed {
    pub note: NoteId,
    pub key: Midi,
    pub finger: Finger,
}

/// What each finger has, by index. A thumb on two keys counts with the outer one.
pub(super) type Fingers = [Option<Placed>; 5];

/// The kind of the movement from `struck` (the slice before) and `held` (other fingers still down) to `arriving`, and
/// the notes that lead it: those that cross, else the outermost. `None` where a side has no finger at all.
pub(super) fn classify(
    hand: Hand,
    spans: &Spans,
    struck: &Fingers,
    held: &Fingers,
    arriving: &Fingers,
    lifted: bool,
) -> Option<(MovementKind, Placed, Placed)> {
    let outermost = |fingers: &Fingers| fingers.iter().flatten().copied().max_by_key(|p| outward(hand, p.key));
    let (from, to) = (outermost(struck)?, outermost(arriving)?);
    if same_keys(struck, arriving) {
        return Some((MovementKind::Repeat, from, to));
    }
    if !lifted && let Some((crossing, from, to)) = crossing(hand, struck, held, arriving) {
        return Some((MovementKind::Crossing(crossing.kind), from, to));
    }
    let present = struck.iter().flatten().chain(held.iter().flatten());
    let pairs = present.flat_map(|from| arriving.iter().flatten().map(move |to| (from, to)));
    let openings = pairs.map(|(from, to)| opening(hand, spans, from, to));
    let kind = match openings.max().unwrap_or(Opening::Resting) {
        Opening::Resting => MovementKind::Step,
        Opening::Stretched if !lifted => MovementKind::Stretch,
        _ => MovementKind::Shift,
    };
    Some((kind, from, to))
}

fn crossing(hand: Hand, struck: &Fingers, held: &Fingers, arriving: &Fingers) -> Option<(Crossing, Placed, Placed)> {
    let count = |fingers: &Fingers| fingers.iter().flatten().count();
    if count(struck) > MOST_STRUCK || count(arriving) > MOST_STRUCK {
        return None;
    }
    let is_free = |fingers: &Fingers, placed: &Placed| fingers[placed.finger.index()].is_none();
    let passes = |crossing: &Crossing| {
        crossing.interval.unsigned_abs() <= WIDEST_CROSSING && (1..=3).contains(&crossing.finger().index())
    };
    let present = struck.iter().flatten().chain(held.iter().flatten()).filter(|from| is_free(arriving, from));
    let pairs = present.flat_map(|from| {
        let arriving = arriving.iter().flatten().filter(|to| is_free(struck, to) && is_free(held, to));
        arriving.filter_map(move |to| {
            let crossing = Crossing::between(hand, (from.key, from.finger), (to.key, to.finger))?;
            Some((crossing, *from, *to))
        })
    });
    // The nearest pair; of equals the one nearest to the thumb, which comes first.
    pairs.filter(|(crossing, ..)| passes(crossing)).min_by_key(|(crossing, ..)| crossing.interval.abs())
}

/// How two fingers are to each other, from no trouble to not at all under one hand.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Opening {
    Resting,
    Stretched,
    Moved,
}

fn opening(hand: Hand, spans: &Spans, from: &Placed, to: &Placed) -> Opening {
    if from.finger == to.finger {
        return if from.key == to.key { Opening::Resting } else { Opening::Moved };
    }
    let (inner, outer) = if from.finger < to.finger { (from, to) } else { (to, from) };
    let span = spans.between(inner.finger.index(), outer.finger.index());
    let place = |placed: &Placed| Key::seen_by(hand, placed.key).place;
    let opened = place(outer) - place(inner);
    if opened < span.min_relaxed - CLOSING || opened > span.max_practical {
        Opening::Moved
    } else if opened > span.max_relaxed {
        Opening::Stretched
    } else {
        Opening::Resting
    }
}

fn outward(hand: Hand, key: Midi) -> i32 {
    hand.outward() * i32::from(key.number())
}

/// True when the same keys are struck, by whatever fingers.
fn same_keys(a: &Fingers, b: &Fingers) -> bool {
    let all_in =
        |a: &Fingers, b: &Fingers| a.iter().flatten().all(|one| b.iter().flatten().any(|other| other.key == one.key));
    all_in(a, b) && all_in(b, a)
}

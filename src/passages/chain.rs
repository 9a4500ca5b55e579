//! Chains of notes that go one way, each step of them inside one member of a family: a scale, a chord.
//!
//! In: the strokes of a line and a [`Family`]. Out: the longest [`Chain`]s. A chain follows one note through the strokes,
//! so that a chord under its first note or a second voice held below it does not break it. One pass; every step back
//! is bounded by [`MOST_STEPS_BACK`].

use super::View;
use crate::units::Motion;

/// Strokes of more notes than this end a chain. Chosen by us: no hand strikes more keys than this, and it bounds the
/// work on a hostile file.
const MOST_NOTES: usize = 8;

/// How far a chain is taken back when its next note leaves the family and another member takes over. Chosen by us: two
/// octaves of a scale; what reaches further is long enough to be found on its own.
const MOST_STEPS_BACK: usize = 15;

/// Longest time from one note of a chain to the next, in seconds. Chosen by us: slower notes are a tune, not a passage.
const LONGEST_STEP: f64 = 1.0;

/// How much longer one step may be than the one before it, and shorter. Chosen by us: dotted rhythms (3 to 1) are one
/// movement of the hand, a long note before a run is not part of it; a little more, for rounded durations.
const UNEVEN: f64 = 3.2;

/// Which steps belong to which members.
pub(super) struct Family {
    /// Fewest notes of a chain.
    pub least: usize,
    /// Members (one bit each) that have a note of pitch class `.0` and one `.1` semitones from it as neighbours.
    pub step: fn(u8, i32) -> u128,
}

/// Notes that go one way inside one member of a family.
pub(super) struct Chain {
    /// Which way.
    pub motion: Motion,
    /// Indices into the notes of the line, in playing order; one in each stroke from the first to the last.
    pub notes: Vec<usize>,
    /// Index of the first stroke.
    pub first_stroke: usize,
    /// Members of the family that have all its steps.
    pub members: u128,
}

impl Chain {
    /// Index of the last stroke.
    pub fn last_stroke(&self) -> usize {
        self.first_stroke + self.notes.len() - 1
    }

    /// True when hardly any other notes are struck with its own. A chain inside thirds, octaves or chords in parallel is
    /// no passage of its own; those have names too.
    pub fn is_of_single_notes(&self, view: &View) -> bool {
        let strokes = &view.strokes[self.first_stroke..=self.last_stroke()];
        2 * strokes.iter().filter(|stroke| stroke.count > 1).count() <= strokes.len()
    }
}

/// The longest chain that ends on a note, while the strokes pass by.
#[derive(Clone, Copy)]
struct End {
    note: usize,
    length: usize,
    /// Notes that are not already in a chain given out.
    fresh: usize,
    members: u128,
    continued: bool,
}

/// All chains of a line in one direction that cannot be made longer, in the order of their ends.
pub(super) fn find_chains(view: &View, motion: Motion, family: &Family) -> Vec<Chain> {
    let mut chains = Vec::new();
    let mut before = vec![usize::MAX; view.line.notes.len()];
    let mut ends: Vec<End> = Vec::new();
    let mut next: Vec<End> = Vec::new();
    for (index, stroke) in view.strokes.iter().enumerate() {
        let connected = index > 0 && stroke.count <= MOST_NOTES && follows(view, index);
        let even = index < 2 || is_even(view, index);
        for note in stroke.range().take(MOST_NOTES) {
            let start = End { note, length: 1, fresh: 1, members: u128::MAX, continued: false };
            let mut best = start;
            for end in ends.iter_mut().filter(|_| connected) {
                let Some(members) = step(view, family, motion, end.note, note) else { continue };
                let longer = if end.length > 1 && !even {
                    End { length: 2, fresh: 2, members, ..start }
                } else if end.members & members != 0 {
                    end.continued = true;
                    End { length: end.length + 1, fresh: end.fresh + 1, members: end.members & members, ..start }
                } else {
                    taken_over(view, family, motion, end, note, &before)
                };
                if longer.length > best.length {
                    best = longer;
                    before[note] = end.note;
                }
            }
            next.push(best);
        }
        give_out(&ends, index, motion, family, &before, &mut chains);
        std::mem::swap(&mut ends, &mut next);
        next.clear();
    }
    give_out(&ends, view.strokes.len(), motion, family, &before, &mut chains);
    chains
}

/// Gives out the chains that end in the stroke before `stroke`.
fn give_out(ends: &[End], stroke: usize, motion: Motion, family: &Family, before: &[usize], chains: &mut Vec<Chain>) {
    // Half a new passage at least, or it says the same thing twice.
    let is_new = |end: &&End| !end.continued && end.length >= family.least && 2 * end.fresh >= family.least;
    for end in ends.iter().filter(is_new) {
        let mut notes = Vec::with_capacity(end.length);
        let mut note = end.note;
        for _ in 0..end.length {
            notes.push(note);
            note = before[note];
        }
        notes.reverse();
        chains.push(Chain { motion, first_stroke: stroke - end.length, notes, members: end.members });
    }
}

/// The longest chain that ends with `end` and `note` when no member has all the steps so far.
fn taken_over(view: &View, family: &Family, motion: Motion, end: &End, note: usize, before: &[usize]) -> End {
    let mut members = step(view, family, motion, end.note, note).unwrap_or(0);
    let mut length = 2;
    let mut later = end.note;
    while length <= end.length.min(MOST_STEPS_BACK) {
        let earlier = before[later];
        let Some(both) = step(view, family, motion, earlier, later).map(|more| more & members) else { break };
        if both == 0 {
            break;
        }
        (members, later, length) = (both, earlier, length + 1);
    }
    let fresh = if end.length >= family.least { 1 } else { length };
    End { note, length, fresh, members, continued: false }
}

/// The members that have the step, if it goes the right way and there are any.
fn step(view: &View, family: &Family, motion: Motion, from: usize, to: usize) -> Option<u128> {
    let (from, to) = (view.key(from), view.key(to));
    let interval = to - from;
    (interval.signum() == motion.sign()).then(|| (family.step)(from.rem_euclid(12) as u8, interval)).filter(|m| *m != 0)
}

/// True when the hand goes on from the stroke before without stopping.
fn follows(view: &View, index: usize) -> bool {
    let time = view.strokes[index].seconds - view.strokes[index - 1].seconds;
    time <= LONGEST_STEP && view.is_connected(index)
}

/// True when the time to the stroke before is like the one before that.
fn is_even(view: &View, index: usize) -> bool {
    let [a, b, c] = [index - 2, index - 1, index].map(|index| view.strokes[index]);
    let (earlier, later) = (b.seconds - a.seconds, c.seconds - b.seconds);
    a.grace || b.grace || (later <= earlier * UNEVEN && earlier <= later * UNEVEN)
}

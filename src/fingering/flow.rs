//! Single notes that flow one into the next, and where such a flow ends.
//!
//! In: the moments of a line. Out: which moments belong together as a run may, and which ends of a run are ends for the
//! hand too.

use super::moments::Moment;

/// Longest time between two notes of a run, in milliseconds. Chosen by us.
const SLOWEST: i32 = 1000;

/// The only key down at a moment, in semitones towards the little finger.
pub fn number(moments: &[Moment], at: usize) -> Option<i32> {
    match moments.get(at)?.active.as_slice() {
        [only] => Some(only.key.number),
        _ => None,
    }
}

/// Whether a moment follows the one before without a rest or a wait.
pub fn flows(moments: &[Moment], at: usize) -> bool {
    at > 0 && moments.get(at).is_some_and(|moment| moment.since <= SLOWEST && moment.rest == 0)
}

/// Whether the hand begins, or turns back by the way it came, at the first and at the last note of a run: only there
/// the fingers of the ends are the run's own business, for elsewhere the hand looks to what comes before and after.
pub fn own_ends(moments: &[Moment], start: usize, end: usize) -> [bool; 2] {
    let turns = |outside: Option<usize>, inside: usize| {
        outside.and_then(|at| number(moments, at)).is_some_and(|key| Some(key) == number(moments, inside))
    };
    [
        !flows(moments, start) || turns(start.checked_sub(1), start + 1),
        !flows(moments, end) || turns(Some(end), end - 2),
    ]
}

//! Leaps.
//!
//! # What it finds
//! The hand leaves its place and lands far away, with little time to do so.
//!
//! # Why it matters
//! What the fingers cannot reach the arm must aim for, and aiming takes the longer the further it goes; a missed leap is
//! a wrong note.
//!
//! # How it is measured
//! How far the hand travels, in semitones: for each stroke the place of the hand is where its resting fingers would lie,
//! averaged over the fingers that play. The two strokes together must not lie under a hand open to an octave. Speed is
//! distance over the time from onset to onset.
//!
//! # Limit
//! Nine semitones of travel, seven between keys beyond the span of an average hand, at sixteen semitones a second or
//! faster and within a second; and in one measure and its neighbours at least two such leaps, or one of two octaves.
//!
//! # Example
//! `C2 [G3 C4 E4] G2 [G3 B3 F4]` in quarters at 120, left hand: leaps of 15 to 19 semitones in half a second.
//!
//! # Sources
//! Fitts (1954), Journal of Experimental Psychology 47(6), 381-391: aimed movements take the longer the further they go;
//! the numbers are chosen by us.

use super::{Finding, Passage, PassageKind, View};

/// Least travel, in semitones.
const LEAST_TRAVEL: f64 = 9.0;
/// A single leap of this size is told even when it stands alone.
const ALONE: f64 = 24.0;
/// What a hand holds without leaving, in semitones.
const OPEN_HAND: i32 = 12;
/// What an average hand spans at most, in semitones; see [`crate::player::HandShape::default`].
const SPAN: i32 = 14;
/// Least travel between keys further apart than that, in semitones: what the span leaves beside a resting hand, so that
/// such keys are leapt whichever fingers take them.
const LEAST_BEYOND_SPAN: f64 = 7.0;
/// Least speed, in semitones a second.
const LEAST_SPEED: f64 = 16.0;
/// Longest time for it, in seconds.
const LONGEST_STEP: f64 = 1.0;

/// Where the fingers of a resting hand lie, in semitones from the thumb: five fingers on five white keys.
const RESTING: [f64; 5] = [0.0, 2.0, 4.0, 5.0, 7.0];

/// Finds the leaps of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let mut leaps = Vec::new();
    let mut before = place(view, 0);
    for stroke in 1..view.strokes.len() {
        let now = place(view, stroke);
        let (Some(from), Some(to)) = (before, now) else {
            before = now.or(before);
            continue;
        };
        before = now;
        let [a, b] = [stroke - 1, stroke].map(|stroke| &view.strokes[stroke]);
        let travel = (to - from).abs();
        let spread = a.high.max(b.high) - a.low.min(b.low);
        let seconds = view.step_seconds(stroke);
        let least = if spread > SPAN { LEAST_BEYOND_SPAN } else { LEAST_TRAVEL };
        if travel >= least && spread > OPEN_HAND && seconds <= LONGEST_STEP && travel >= LEAST_SPEED * seconds {
            let finding = Finding { what: "semitones of travel", value: travel, limit: least };
            leaps.push(view.passage(PassageKind::Leaps, stroke - 1, stroke, finding));
        }
    }
    // Leaps come in rows: there and back again. Joining counts notes twice where one leap begins as another ends.
    let joined = view.join_near(leaps).into_iter().map(|leaps| {
        let notes = view.strokes[leaps.first_slice..=leaps.last_slice].iter().map(|stroke| stroke.count).sum();
        Passage { notes, ..leaps }
    });
    found.extend(joined.filter(|leaps| leaps.last_slice > leaps.first_slice + 1 || leaps.finding.value >= ALONE));
}

/// Where the thumb of the resting hand would lie, in semitones outward.
fn place(view: &View, stroke: usize) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0.0);
    for note in view.strokes.get(stroke)?.range() {
        let Some(finger) = view.fingering.fingers.get(note).copied().flatten() else { continue };
        sum += f64::from(view.line.hand.outward() * view.key(note)) - RESTING[finger.index()];
        count += 1.0;
    }
    (count > 0.0).then(|| sum / count)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{passages, told};

    #[test]
    fn a_bass_far_below_its_chords_is_leapt() {
        let stride = "L: C2-5/4 [E3 G3 C4] G2-5 [F3 G3 B3]";
        assert_eq!(told(stride), ["leaps, 1-1, 8 notes"]);
        let travel = passages(stride)[0].finding.value;
        assert!((15.0..=20.0).contains(&travel), "{travel}");
    }

    #[test]
    fn what_lies_under_the_open_hand_is_no_leap() {
        assert!(told("L: C3-5/4 [E3-3 G3-2 C4-1] G2-5 [D3-3 G3-1]").is_empty());
        assert!(told("R: C4-1/4 C5-5 C4-1 C5-5").is_empty());
    }

    #[test]
    fn what_no_average_hand_spans_is_leapt_whichever_fingers_take_it() {
        assert_eq!(told("R: F5-1/8 Ab6-5 F5-1 Ab6-5"), ["leaps, 1-1, 4 notes"]);
    }

    #[test]
    fn with_time_to_move_it_is_no_leap() {
        assert!(told("L: C2-5/1 [E3 G3 C4] C2-5 [E3 G3 C4]").is_empty());
    }

    #[test]
    fn a_single_leap_is_told_only_when_it_is_very_wide() {
        assert!(told("R: C4-1/4 D4-2 C6-5 B5-4").is_empty());
        assert_eq!(told("R: C4-1/4 D4-1 C7-5 B6-4"), ["leaps, 1-1, 2 notes"]);
    }
}

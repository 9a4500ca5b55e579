//! Double notes: thirds, sixths and other intervals.
//!
//! # What it finds
//! Two notes at a time, stroke after stroke, on changing keys.
//!
//! # Why it matters
//! Two pairs of fingers take turns, and a run of them has to be taken over the hand without the freedom of the thumb.
//!
//! # How it is measured
//! Strokes of exactly two notes, less than an octave apart, in a row, each on other keys than before, not further than a
//! fourth from there, and at least three different ones. Three quarters of one interval, and not only two of them, give thirds (3 or 4
//! semitones) or sixths (8 or 9); otherwise mixed.
//!
//! # Limit
//! Four strokes at a stroke and a half a second or faster.
//!
//! # Example
//! `[C4 E4] [D4 F4] [E4 G4] [F4 A4]` in eighths: thirds, 4 strokes.
//!
//! # Sources
//! Common practice, no source; the numbers are chosen by us.

use super::{Doubling, Finding, Passage, PassageKind, View};
use crate::movements::Stroke;

/// Fewest strokes.
const LEAST_STROKES: usize = 4;
/// Slowest, in seconds from stroke to stroke.
const LONGEST_STEP: f64 = 0.667;

/// Furthest from one double note to the next, in semitones. Chosen by us: a fourth; what leaps further is a bass and a
/// chord by turns.
const WIDEST_STEP: i32 = 5;

/// Finds the double notes of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let goes_on = |stroke: usize| {
        let [before, now] = [stroke - 1, stroke].map(|stroke| view.strokes[stroke]);
        let is_double = |stroke: &Stroke| stroke.count == 2 && (1..12).contains(&stroke.span());
        is_double(&before)
            && is_double(&now)
            && (before.low, before.high) != (now.low, now.high)
            && (now.low - before.low).abs() <= WIDEST_STEP
            && (now.high - before.high).abs() <= WIDEST_STEP
            && view.is_connected(stroke)
            && view.step_seconds(stroke) <= LONGEST_STEP
    };
    let rows = view.rows(LEAST_STROKES, goes_on).into_iter().filter(|row| has_three(view, *row));
    let passage = |(first, last)| {
        let value = (last + 1 - first) as f64;
        let finding = Finding { what: "double notes in a row", value, limit: LEAST_STROKES as f64 };
        let kind = PassageKind::DoubleNotes(doubling(view, first, last));
        Passage { material: view.key_around(first, last), ..view.passage(kind, first, last, finding) }
    };
    found.append(&mut view.join_near(rows.map(passage).collect()));
}

/// True when there are at least three different double notes; two by turns are an accompaniment.
fn has_three(view: &View, (first, last): (usize, usize)) -> bool {
    let keys = |stroke: &Stroke| (stroke.low, stroke.high);
    let mut others = view.strokes[first..=last].iter().map(keys).filter(|other| *other != keys(&view.strokes[first]));
    let second = others.next();
    others.any(|other| Some(other) != second)
}

fn doubling(view: &View, first: usize, last: usize) -> Doubling {
    let strokes = &view.strokes[first..=last];
    let most = |spans: std::ops::RangeInclusive<i32>| {
        4 * strokes.iter().filter(|stroke| spans.contains(&stroke.span())).count() >= 3 * strokes.len()
    };
    if most(3..=4) {
        Doubling::Thirds
    } else if most(8..=9) {
        Doubling::Sixths
    } else {
        Doubling::Mixed
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn thirds_sixths_and_others_are_told_apart() {
        let only = |text: &str| told(text).concat();
        assert!(only("R: key=0 [C4 E4]/8 [D4 F4] [E4 G4] [F4 A4] [E4 G4]/2").contains("(thirds), 1-1, 10 notes"));
        assert!(only("R: key=0 [E4 C5]/8 [F4 D5] [G4 E5] [A4 F5] [G4 E5]/2").contains("(sixths), 1-1, 10 notes"));
        assert!(only("R: key=0 [E4 C5]/8 [G4 D5] [C5 E5] [G4 D5] [E4 C5]/2").contains("(mixed), 1-1, 10 notes"));
    }

    #[test]
    fn a_repeated_third_slow_thirds_and_a_stride_are_none() {
        assert!(told("R: [C4 E4]/8. [C4 E4] [C4 E4] [C4 E4] [C4 E4]").is_empty());
        assert!(told("L: [C2 G2]/4 [E3 G3] [G2 D3] [F3 G3] [C2 G2]").iter().all(|told| told.starts_with("leaps")));
        assert!(told("R: [C4 E4]/2 [D4 F4] [E4 G4] [F4 A4]").is_empty());
    }
}

//! Repeated notes and chords.
//!
//! # What it finds
//! The same key, or the same chord, struck again and again.
//!
//! # Why it matters
//! Fast repetition tires one finger, so pianists change fingers on the key, or play from the wrist in chords.
//!
//! # How it is measured
//! Strokes of the same keys in a row, and how many of them a second.
//!
//! # Limit
//! Four strokes at four a second or faster.
//!
//! # Example
//! `G4 G4 G4 G4` in sixteenths at 80 quarters a minute: 4 strokes, 5.3 a second.
//!
//! # Sources
//! Common practice, no source; the speed is chosen by us: four a second is still easy for one finger.

use super::{Finding, Passage, PassageKind, View};

/// Fewest strokes.
const LEAST_STROKES: usize = 4;
/// Slowest, in seconds from stroke to stroke.
const LONGEST_STEP: f64 = 0.25;

/// Finds the repetitions of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let repeats = |stroke: usize| {
        let [before, now] = [stroke - 1, stroke].map(|stroke| view.strokes[stroke]);
        (before.low, before.high, before.count) == (now.low, now.high, now.count)
            && view.is_connected(stroke)
            && view.step_seconds(stroke) <= LONGEST_STEP
            && !before.grace
    };
    let rows = view.rows(LEAST_STROKES, repeats);
    let passage = |(first, last)| {
        let value = (last + 1 - first) as f64;
        let finding = Finding { what: "strokes of the same keys", value, limit: LEAST_STROKES as f64 };
        view.passage(PassageKind::RepeatedNotes, first, last, finding)
    };
    found.append(&mut view.join_near(rows.into_iter().map(passage).collect()));
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn quick_repetitions_of_a_note_or_a_chord_are_told() {
        assert_eq!(told("R: C5/8 G4/16 G4 G4 G4 r/4 r/2"), ["repeated notes, 1-1, 4 notes"]);
        assert_eq!(told("R: [C4 E4 G4]/8 [C4 E4 G4] [C4 E4 G4] [C4 E4 G4] r/2"), ["repeated notes, 1-1, 12 notes"]);
        assert!(told("R: G4/4 G4 G4 G4").is_empty(), "slow");
        assert!(told("R: G4/16 G4 G4 A4 A4 A4 G4 G4").is_empty(), "three at a time");
    }
}

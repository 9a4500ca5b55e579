//! Octaves, struck together or broken.
//!
//! # What it finds
//! Octaves one after another on changing keys, bare or filled with a chord; and octaves broken into lower and upper note.
//!
//! # Why it matters
//! The hand is open to its span and plays from the wrist and the arm, which tires; small hands meet their limit.
//!
//! # How it is measured
//! Strokes whose lowest and highest note are an octave apart, in a row. Broken: single notes in a row in which at least
//! every other step is an octave.
//!
//! # Limit
//! Three octaves, at least one a second; broken, eight notes, at least two a second.
//!
//! # Example
//! `[C3 C4] [D3 D4] [E3 E4]` in quarters at 90: octaves, 3 strokes, 1.5 a second.
//!
//! # Sources
//! Common practice, no source; the numbers are chosen by us.

use super::{Finding, Passage, PassageKind, View};

const OCTAVE: i32 = 12;
/// Fewest strokes, struck together and broken.
const LEAST_STROKES: usize = 3;
const LEAST_BROKEN: usize = 8;
/// Slowest, in seconds from stroke to stroke, struck together and broken.
const LONGEST_STEP: f64 = 1.0;
const LONGEST_BROKEN_STEP: f64 = 0.5;

/// Finds the octaves of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let is_octave = |stroke: usize| view.strokes[stroke].span() == OCTAVE;
    let goes_on =
        |stroke: usize| is_octave(stroke - 1) && is_octave(stroke) && view.step_seconds(stroke) <= LONGEST_STEP;
    // One octave repeated is a repeated chord.
    let moves = |&(first, last): &(usize, usize)| {
        let low = view.strokes[first].low;
        view.strokes[first..=last].iter().any(|stroke| stroke.low != low)
    };
    let rows = view.rows(LEAST_STROKES, goes_on).into_iter().filter(moves);
    let together = rows.map(|(first, last)| passage(view, PassageKind::Octaves, first, last, LEAST_STROKES));
    found.append(&mut view.join_near(together.collect()));

    let single = |stroke: usize| view.strokes[stroke].count == 1;
    let step = |stroke: usize| (view.strokes[stroke].low - view.strokes[stroke - 1].low).abs();
    let goes_on = |stroke: usize| {
        let earlier = stroke >= 2 && single(stroke - 2) && step(stroke - 1) == OCTAVE;
        single(stroke - 1)
            && single(stroke)
            && (step(stroke) == OCTAVE || earlier)
            && view.is_connected(stroke)
            && view.step_seconds(stroke) <= LONGEST_BROKEN_STEP
    };
    let rows = view.rows(LEAST_BROKEN, goes_on).into_iter();
    let broken = rows.map(|(first, last)| passage(view, PassageKind::BrokenOctaves, first, last, LEAST_BROKEN));
    found.append(&mut view.join_near(broken.collect()));
}

fn passage(view: &View, kind: PassageKind, first: usize, last: usize, limit: usize) -> Passage {
    let value = (last + 1 - first) as f64;
    let finding = Finding { what: "strokes in a row", value, limit: limit as f64 };
    Passage { material: view.key_around(first, last), ..view.passage(kind, first, last, finding) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn octaves_on_changing_keys_are_told_bare_or_filled() {
        let bare = "L: key=0 [C3 C2] [D3 D2] [E3 E2] [F3 F2]";
        assert_eq!(told(bare), ["octaves, C major, 1-1, 8 notes"]);
        assert_eq!(told("R: key=0 [C4 G4 C5] [D4 A4 D5] [E4 G4 E5] r"), ["octaves, C major, 1-1, 9 notes"]);
        assert!(told("R: [C4 C5]/2 [C4 C5] [C4 C5] [C4 C5]").is_empty(), "one octave repeated");
    }

    #[test]
    fn broken_octaves_are_told_even_on_one_key() {
        let murky = "L: key=0 C2/8 C3 C2 C3 C2 C3 C2 C3";
        assert_eq!(told(murky), ["broken octaves, C major, 1-1, 8 notes"]);
        let moving = "R: key=0 C4/8 C5 D4 D5 E4 E5 F4 F5";
        assert_eq!(told(moving), ["broken octaves, C major, 1-1, 8 notes"]);
    }
}

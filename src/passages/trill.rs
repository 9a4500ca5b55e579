//! Trills, written out or signed.
//!
//! # What it finds
//! Two neighbouring keys in quick turns, note by note or under a trill sign.
//!
//! # Why it matters
//! Speed and evenness of two neighbouring fingers, often the weak ones, often while others hold a note.
//!
//! # How it is measured
//! Written out: single notes in a row that go to and fro between two keys one or two semitones apart. Signed: every note
//! with a trill sign; its speed is not known, and the rate is that of the strokes written. Those of one measure and the next are told together.
//!
//! # Limit
//! Written out: six notes at five a second or faster. Signed: one sign.
//!
//! # Example
//! `C5 B4 C5 B4 C5 B4` in thirty-seconds at 60 quarters a minute: 6 notes, 8 a second.
//!
//! # Sources
//! Common practice, no source; the numbers are chosen by us.

use super::{Finding, PassageKind, View};
use crate::score::NoteMarks;

/// Fewest notes of a trill that is written out.
const LEAST_NOTES: usize = 6;
/// Slowest, in seconds from note to note.
const LONGEST_STEP: f64 = 0.2;

/// Finds the trills of a line.
pub(super) fn detect(view: &View, found: &mut Vec<super::Passage>) {
    let single = |stroke: usize| view.strokes[stroke].count == 1;
    let to_and_fro = |stroke: usize| {
        let key = |stroke: usize| view.strokes[stroke].low;
        let step = (key(stroke) - key(stroke - 1)).abs();
        single(stroke - 1)
            && single(stroke)
            && (1..=2).contains(&step)
            && (stroke < 2 || !single(stroke - 2) || key(stroke - 2) == key(stroke) || !fast(view, stroke - 1))
            && fast(view, stroke)
    };
    let mut trills: Vec<_> = view
        .rows(LEAST_NOTES, to_and_fro)
        .into_iter()
        .map(|(first, last)| {
            let value = (last + 1 - first) as f64;
            let finding = Finding { what: "notes to and fro", value, limit: LEAST_NOTES as f64 };
            view.passage(PassageKind::Trill, first, last, finding)
        })
        .collect();
    for (index, stroke) in view.strokes.iter().enumerate() {
        if view.marks(stroke).contains(NoteMarks::TRILL) {
            let finding = Finding { what: "trill signs", value: 1.0, limit: 1.0 };
            trills.push(view.passage(PassageKind::Trill, index, index, finding));
        }
    }
    trills.sort_by_key(|trill| trill.first_slice);
    found.append(&mut view.join_near(trills));
}

fn fast(view: &View, stroke: usize) -> bool {
    view.step_seconds(stroke) <= LONGEST_STEP && view.is_connected(stroke)
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn trills_are_told_written_out_and_signed() {
        assert_eq!(told("R: C5/16 B4 C5 B4 C5 B4 A4/8 r/2"), ["trill, 1-1, 6 notes"]);
        assert_eq!(told("R: C5/4 D5!trill C5 r"), ["trill, 1-1, 1 notes"]);
    }

    #[test]
    fn a_slow_or_short_wavering_is_no_trill() {
        assert!(told("R: C5/8 B4 C5 B4 C5 B4 A4 G4").is_empty());
        assert!(told("R: C5/16 B4 C5 B4 G4/4 C5/2").is_empty());
    }
}

//! Wide stretches.
//!
//! # What it finds
//! More than an octave in one chord of one hand, struck or rolled.
//!
//! # Why it matters
//! Many hands cannot, and no hand should force it: such a chord is rolled or shared with the other hand. Rolled as
//! printed, the hand still has to open that far.
//!
//! # How it is measured
//! Semitones between the lowest and the highest note of a stroke.
//!
//! # Limit
//! Thirteen semitones, one more than an octave.
//!
//! # Example
//! `[C3 G3 E4]`, left hand: a tenth, 16 semitones.
//!
//! # Sources
//! Common practice, no source: the octave is what a piece may ask of every adult hand.

use super::{Finding, PassageKind, View};

/// Least span, in semitones.
const LEAST_SPAN: i32 = 13;

/// Finds the wide stretches of a line.
pub(super) fn detect(view: &View, found: &mut Vec<super::Passage>) {
    let wide = view.strokes.iter().enumerate().filter(|(_, stroke)| stroke.span() >= LEAST_SPAN);
    let passage = |(index, stroke): (usize, &crate::movements::Stroke)| {
        let finding = Finding { what: "semitones at once", value: stroke.span().into(), limit: LEAST_SPAN.into() };
        view.passage(PassageKind::WideStretch, index, index, finding)
    };
    found.append(&mut view.join_near(wide.map(passage).collect()));
}

#[cfg(test)]
mod tests {
    use super::super::tests::{passages, told};

    #[test]
    fn more_than_an_octave_at_once_is_wide_rolled_or_not() {
        assert_eq!(told("L: [C3 G3 E4]/1"), ["wide stretch, 1-1, 3 notes"]);
        assert!((passages("L: [C3 G3 E4]/1")[0].finding.value - 16.0).abs() < 1e-9);
        assert_eq!(told("L: [C3 G3 E4]/1!roll"), ["wide stretch, 1-1, 3 notes"]);
        assert!(told("R: [C4 E4 C5]/1").is_empty(), "an octave");
    }
}

//! Ornaments other than trills.
//!
//! # What it finds
//! Mordents, turns, grace notes and other ornament signs.
//!
//! # Why it matters
//! Small notes want quick, light fingers, and a choice of fingering that the main notes alone would not ask for.
//!
//! # How it is measured
//! Strokes with a sign, and groups of grace notes. Those of one measure and the next are told together.
//!
//! # Limit
//! One.
//!
//! # Example
//! A mordent on `C5`: ornaments, 1 note.
//!
//! # Sources
//! None needed: the page says so.

use super::{Finding, Passage, PassageKind, View};
use crate::score::NoteMarks;

const SIGNS: NoteMarks = NoteMarks::MORDENT.union(NoteMarks::TURN).union(NoteMarks::OTHER_ORNAMENT);

/// Finds the ornaments of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let finding = Finding { what: "ornaments", value: 1.0, limit: 1.0 };
    let mut ornaments = Vec::new();
    let mut graces: Option<usize> = None;
    for (index, stroke) in view.strokes.iter().enumerate() {
        if stroke.grace {
            graces.get_or_insert(index);
        } else if let Some(first) = graces.take() {
            ornaments.push(view.passage(PassageKind::Ornaments, first, index, finding));
        }
        if view.marks(stroke).intersects(SIGNS) {
            ornaments.push(view.passage(PassageKind::Ornaments, index, index, finding));
        }
    }
    found.append(&mut view.join_near(ornaments));
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn signs_and_grace_notes_are_told_those_nearby_together() {
        assert_eq!(told("R: C5/4!mordent D5 C5 D5 g:E5 C5/4 D5 C5 D5"), ["ornaments, 1-2, 3 notes"]);
        assert_eq!(told("R: C5/4!turn D5 C5 D5 C5/4 D5 C5 D5 C5/4 D5 C5!mordent D5").len(), 2);
        assert!(told("R: C5/4 D5 C5 D5").is_empty());
    }
}

//! Ornaments.
//!
//! # What it finds
//! Grace notes, trills, mordents, turns and tremolos.
//!
//! # Why it matters
//! They ask for quick fingers at a place where the hand has something else to do; first ornaments mark the middle levels
//! (common practice, no source).
//!
//! # How it is measured
//! Signs and grace notes a second; a written-out ornament is measured as the notes it is.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::score::NoteMarks;
use crate::units::Hand;

const SIGNS: NoteMarks = NoteMarks::TRILL
    .union(NoteMarks::MORDENT)
    .union(NoteMarks::TURN)
    .union(NoteMarks::TREMOLO)
    .union(NoteMarks::OTHER_ORNAMENT);

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for id in &piece.hands.line(hand).notes {
            let Some(note) = piece.score.notes.get(*id) else { continue };
            if note.is_grace() || note.marks.intersects(SIGNS) {
                table.add(note.measure, hand, Demand::Ornaments, 1.0);
            }
        }
    }
}

//! Crossings.
//!
//! # What it finds
//! How awkward the passings of thumb and fingers are.
//!
//! # Why it matters
//! The scales and arpeggios of a grade are what its pieces ask for, and the crossings are what is hard in them (Scanlan
//! 1988, from memory: scale passages of an octave, of two octaves, of more).
//!
//! # How it is measured
//! The awkwardness of every crossing from one single note to another, in points of the fingering, a second; how fingers
//! change places between chords is for the chords to say. This is the one demand that stands on the fingers found. The effort of the whole fingering (Ramoneda et al. 2022, ICASSP) was a demand of its own once; it says
//! nothing that the others do not say, and every change of a finger moved it.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::movements::MovementKind;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    let mut alone = vec![false; piece.score.notes.len()];
    for hand in Hand::BOTH {
        let line = piece.hands.line(hand);
        for slice in line.slices.iter().filter(|slice| slice.count == 1) {
            alone[line.notes[slice.first]] = true;
        }
        for movement in piece.movements[hand as usize] {
            if let MovementKind::Crossing(_) = movement.kind
                && let Some(note) = piece.score.notes.get(movement.to)
                && alone[movement.from]
                && alone[movement.to]
            {
                let points = f64::from(movement.awkwardness.max(0));
                table.add(note.measure, hand, Demand::Crossings, points);
            }
        }
    }
}

//! Crossings, and the fingering as a whole.
//!
//! # What it finds
//! How awkward the passings of thumb and fingers are, and how much the fingering of least effort still costs.
//!
//! # Why it matters
//! The scales and arpeggios of a grade are what its pieces ask for, and the crossings are what is hard in them. The
//! effort of the fingering as a measure of difficulty: Ramoneda et al. (2022, ICASSP), after Sébastien,
//! Ralambondrainy, Sébastien and Conruyt (2012, ISMIR).
//!
//! # How it is measured
//! The awkwardness of every crossing, and the cost of every stroke, in points of the fingering, a second.

use crate::fingering::POINT;
use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::movements::MovementKind;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for movement in piece.movements[hand as usize] {
            if let MovementKind::Crossing(_) = movement.kind
                && let Some(note) = piece.score.notes.get(movement.to)
            {
                let points = f64::from(movement.awkwardness.max(0));
                table.add(note.measure, hand, Demand::Crossings, points);
            }
        }
        let costs = &piece.fingerings[hand as usize].slice_costs;
        for stroke in piece.strokes(hand) {
            let cost = costs.get(stroke.slice).copied().unwrap_or(0).max(0);
            table.add(stroke.row, hand, Demand::Fingering, f64::from(cost) / f64::from(POINT));
        }
    }
}

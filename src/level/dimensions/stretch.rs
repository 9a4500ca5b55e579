//! Stretch.
//!
//! # What it finds
//! How wide the hand has to open to strike together.
//!
//! # Why it matters
//! The span of the hand is the one limit that practice hardly moves; teachers grade skips and chords by it: up to a
//! fifth for early, up to an octave for mid, beyond for late intermediate music (Scanlan 1988, from memory).
//!
//! # How it is measured
//! Each stroke counts the square of its span in octaves: an octave 1, a fifth a third, a tenth one and a half. The
//! square, because a hand that is open anyway opens each further key at more cost. A second.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for stroke in piece.strokes(hand) {
            let octaves = f64::from(stroke.high - stroke.low) / 12.0;
            table.add(stroke.row, hand, Demand::Stretch, octaves * octaves);
        }
    }
}

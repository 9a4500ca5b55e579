//! Voices in one hand.
//!
//! # What it finds
//! Keys that the hand has to hold down while it strikes others.
//!
//! # Why it matters
//! A held key ties a finger and bars the hand from moving; two voices in a hand mark the step to the sonata movements
//! and the fugue (common practice, no source; polyphony is a feature of Sébastien, Ralambondrainy, Sébastien and
//! Conruyt 2012, ISMIR, and of Ramoneda et al. 2022, ICASSP).
//!
//! # How it is measured
//! Keys held besides those struck, summed over the strokes, a second; at most three for a stroke, since more are
//! pedal tones that the file writes out.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::units::Hand;

/// Most keys held besides a stroke that count. Chosen by us: two fingers must be left to play.
const MOST: usize = 3;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for stroke in piece.strokes(hand) {
            table.add(stroke.row, hand, Demand::Voices, stroke.held.min(MOST) as f64);
        }
    }
}

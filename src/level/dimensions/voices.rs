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
//! Notes that are held while the same hand strikes another, each counted once, a second. Once, and not for every stroke
//! above it: a drone under a tune is one thing to hold, and pieces for beginners have it; voices that move are many.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for stroke in piece.strokes(hand) {
            table.add(stroke.row, hand, Demand::Voices, stroke.newly_held as f64);
        }
    }
}

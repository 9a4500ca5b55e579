//! Speed, chords and double notes.
//!
//! # What it finds
//! How fast each hand strikes, and how many keys it strikes at once.
//!
//! # Why it matters
//! Playing speed is the first thing that sets pieces apart (Chiu and Chen 2012, ISM, use it as their first feature;
//! Sébastien, Ralambondrainy, Sébastien and Conruyt 2012, ISMIR, section 3.1). Thirds and chords ask for two, three
//! fingers as even as one.
//!
//! # How it is measured
//! Speed is the root mean square, over time, of the strokes a second (distinct onsets, grace notes apart): every second
//! counts by the square of its rate, so that one quick run counts more than its notes spread evenly. A stroke more
//! cannot make it smaller. Chords are the notes beyond the first of each stroke, a second.

use crate::level::demand::Demand;
use crate::level::strokes::{Piece, SHORTEST};
use crate::level::table::Table;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for (index, stroke) in piece.strokes(hand).iter().enumerate() {
            if index > 0 {
                // The square of one stroke in the gap, for as long as the gap lasts.
                table.add(stroke.row, hand, Demand::Speed, 1.0 / stroke.gap.max(SHORTEST));
            }
            table.add(stroke.row, hand, Demand::Chords, stroke.count as f64 - 1.0);
        }
    }
}

//! The hand that plays: its span, and what it avoids. A different hand is normal here, never an error.

use crate::units::{Finger, Hand};

/// What the fingering needs to know of one player.
#[derive(Clone, PartialEq, Debug)]
pub struct Player {
    /// Largest interval between thumb and fifth finger that is comfortable, in semitones.
    pub comfortable_span: i32,
    /// Largest interval possible at all, in semitones.
    pub largest_span: i32,
    /// Fingers not to use.
    pub avoid: Vec<(Hand, Finger)>,
}

impl Default for Player {
    /// An average adult hand.
    ///
    /// Boyle, Boyle and Booker (2015, Australasian Piano Pedagogy Conference; 473 pianists) report mean thumb-to-fifth
    /// spans of about 8.5 in for men and 7.6 in for women (from memory), an octave being 6.5 in: a tenth and a ninth.
    /// We use an octave as comfortable and a ninth as the largest, so that most adults are within it.
    fn default() -> Self {
        Self { comfortable_span: 12, largest_span: 14, avoid: Vec::new() }
    }
}

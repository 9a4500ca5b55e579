//! The hands that play: their spans, and what they avoid. A different hand is normal here, never an error, and the two
//! hands of one player need not be alike.

use crate::units::{Finger, Hand};

/// What the fingering needs to know of one player.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Player {
    /// The right hand.
    pub right: HandShape,
    /// The left hand.
    pub left: HandShape,
}

impl Player {
    /// The shape of one hand.
    pub fn hand(&self, hand: Hand) -> &HandShape {
        match hand {
            Hand::Right => &self.right,
            Hand::Left => &self.left,
        }
    }
}

/// One hand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HandShape {
    /// Largest interval between thumb and fifth finger that is comfortable, in semitones.
    pub comfortable_span: i32,
    /// Largest interval possible at all, in semitones.
    pub largest_span: i32,
    /// Fingers not to use.
    pub avoid: Vec<Finger>,
    /// Pairs of fingers not to open further than so much.
    pub pair_limits: Vec<PairLimit>,
}

/// Two fingers of one hand and how far they may open.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct PairLimit {
    /// The finger nearer the thumb.
    pub inner: Finger,
    /// The finger nearer the little finger.
    pub outer: Finger,
    /// Largest interval between them, in semitones.
    pub semitones: i32,
}

impl Default for HandShape {
    /// An average adult hand.
    ///
    /// Boyle, Boyle and Booker (2015, Australasian Piano Pedagogy Conference; 473 pianists) report mean thumb-to-fifth
    /// spans of about 8.5 in for men and 7.6 in for women (from memory), an octave being 6.5 in: a tenth and a ninth.
    /// We use an octave as comfortable and a ninth as the largest, so that most adults are within it.
    fn default() -> Self {
        Self { comfortable_span: 12, largest_span: 14, avoid: Vec::new(), pair_limits: Vec::new() }
    }
}

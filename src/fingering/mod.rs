//! Which finger plays which note.
//!
//! In: a [`Line`] of one hand with its [`Score`], [`Tempo`] and the [`Player`]. Out: a [`Fingering`]: a finger for
//! every note, whether it was written or inferred, and what each slice costs.

use crate::units::Finger;

/// Where a finger comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FingerSource {
    /// Printed in the score.
    Written,
    /// Found by the search.
    Inferred,
}

/// The fingers of one hand's line; both vectors run parallel to [`crate::hands::Line::notes`].
#[derive(Clone, Debug, Default)]
pub struct Fingering {
    /// Finger that strikes each note; `None` only where no finger is left (a sixth note of one hand).
    pub fingers: Vec<Option<Finger>>,
    /// Where each comes from.
    pub sources: Vec<FingerSource>,
    /// Effort of reaching each slice of [`crate::hands::Line::slices`] from the one before, in cost units.
    pub slice_costs: Vec<i32>,
}

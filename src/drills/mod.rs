//! The scales to drill before a piece is opened.

mod candidates;
pub(crate) mod metronome;

pub use candidates::{Practising, ScaleMask, candidate, candidates, scales_practising};
pub use metronome::{Mark, mark_for};

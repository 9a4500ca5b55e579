//! Reads a piano score, works out what each hand has to do, and prescribes the scales to drill before the piece.
//!
//! The flow has one direction, and a module uses only what stands before it:
//! bytes -> [`score`] -> [`hands`] -> [`fingering`] -> [`movements`] -> passages -> level -> drills -> report.
//!
//! Everything here is pure: bytes in, data out. There is no file, clock, randomness, environment or printing in the
//! library; the command line is a thin face over it.

pub mod analysis;
pub mod cautions;
pub mod crossing;
pub mod drills;
pub mod edition;
pub mod error;
pub mod excerpt;
pub mod fingering;
pub mod hands;
pub mod keys;
pub mod learner;
pub mod level;
pub mod limits;
pub mod loads;
pub mod movements;
pub mod musicxml;
pub mod options;
pub mod passages;
pub mod plan;
pub mod player;
pub mod readiness;
pub mod report;
pub mod scales;
pub mod score;
pub mod sheets;
pub mod shelf;
pub mod summary;
pub mod tempo;
pub mod terms;
#[cfg(test)]
mod testing;
pub mod units;

pub use error::{Error, Remark};
pub use limits::Limits;
pub use options::Options;

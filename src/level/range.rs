//! How sure the level is.
//!
//! In: a value, whether it is of an excerpt, and what an uncertain tempo may change. Out: the whole levels that are
//! likely. The width comes from the errors on pieces that the fit had not seen, four in five of which it holds.

use super::model::{Model, SCALE};
use crate::tempo::TempoSource;

impl Model {
    /// Lowest and highest likely level; `tempo` is how far the level may move for the tempo, in levels.
    ///
    /// An excerpt is graded by what it holds. Its range is that of the piece it was taken from, which is usually harder
    /// than its first page, so it reaches further up than down.
    pub fn likely_levels(&self, value: f64, is_part: bool, tempo: f64) -> (u8, u8) {
        let (below, above) = if is_part { self.likely_part } else { (self.likely, self.likely) };
        // Independent errors add as squares.
        let both = |error: f64| (error * error + tempo * tempo).sqrt();
        (whole_level(value - both(below)), whole_level(value + both(above)))
    }
}

/// The level that a value rounds to, 1 to 9.
pub(super) fn whole_level(value: f64) -> u8 {
    value.round().clamp(SCALE.0, SCALE.1) as u8
}

/// How much slower or faster the piece may be meant, as a factor; `None` where the file or the caller says.
///
/// Chosen by us: handbooks differ by about a fifth on what a term means, and by half where nothing is printed.
pub(super) fn tempo_doubt(source: TempoSource) -> Option<f64> {
    match source {
        TempoSource::Written | TempoSource::Option => None,
        TempoSource::Term => Some(1.2),
        TempoSource::Assumed => Some(1.5),
    }
}

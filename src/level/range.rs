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

/// A level with one decimal, as people read it beside the whole level: the nearest tenth that is nearest to the same whole
/// level. So 3.46, which is level 3, is `3.4`, and 3.5, which is level 4, is `3.5`.
pub fn level_in_tenths(level: f64) -> String {
    let nearest = (level * 10.0).round() / 10.0;
    let shown = if nearest.round() > level.round() { nearest - 0.1 } else { nearest };
    format!("{shown:.1}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_in_tenths_is_the_nearest_that_rounds_to_the_same_whole_level() {
        for (level, shown) in [
            (3.44, "3.4"),
            (3.45, "3.4"),
            (3.46, "3.4"),
            (3.499_999, "3.4"),
            (3.5, "3.5"),
            (3.54, "3.5"),
            (3.55, "3.6"),
            (3.96, "4.0"),
            (8.46, "8.4"),
            (9.0, "9.0"),
        ] {
            assert_eq!(level_in_tenths(level), shown, "{level}");
        }
        for thousandths in 1_000..=9_000 {
            let level = f64::from(thousandths) / 1000.0;
            let shown: f64 = level_in_tenths(level).parse().unwrap();
            assert!(shown.round().total_cmp(&level.round()).is_eq() && (shown - level).abs() < 0.1, "{level} {shown}");
        }
    }
}

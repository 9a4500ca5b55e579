//! The white box: a level is a base, plus points for every demand, plus or minus a little for length.
//!
//! In: [`Measurements`]. Out: the points of each demand and the value on the scale. Every weight is non-negative and
//! every demand enters through its square root (twice as many strokes a second are not twice as many levels), bounded
//! at [`Model::caps`] so that one misread tempo cannot carry a piece to the top of the scale.
//! The numbers in [`Model::SHIPPED`] come from the table of measurements by `cargo run --example fit_level`.

use super::demand::{Demand, Pool};
use super::pooling::Pooled;

/// Lowest and highest value of the scale: three levels each of elementary, intermediate and advanced.
pub(super) const SCALE: (f64, f64) = (1.0, 9.0);

/// Distance from the ends of the scale at which values begin to be drawn together, in levels. Chosen by us: half a
/// level, so that no rounded level moves, yet two pieces beyond the end keep their order.
const SOFT_END: f64 = 0.5;

/// Share of the hard windows in the strength of a demand; the mean of all windows has the rest. Chosen by us: any share
/// orders the table alike, but the larger it is the more a first page falls behind its piece (`docs/level.md`).
const HARD_SHARE: f64 = 1.0 / 3.0;

/// Most that length adds or takes away, in levels. Chosen by us: length must not decide.
const MOST_ENDURANCE: f64 = 1.0;

/// Part that a note of a measure that was met before counts towards length. Chosen by us: it needs no learning, but
/// it needs playing.
pub(super) const REPEATED_NOTE: f64 = 0.25;

/// What is measured of a piece.
#[derive(Clone, PartialEq, Debug)]
pub struct Measurements {
    /// Value of each demand, in the order of [`Demand::ALL`].
    pub demands: [Pooled; Demand::COUNT],
    /// Notes to learn: those of measures that come back count a quarter.
    pub notes_to_learn: f64,
    /// True for an excerpt, whose length says nothing about the piece.
    pub is_part: bool,
}

/// The weights.
#[derive(Clone, PartialEq, Debug)]
pub struct Model {
    /// Level of a piece that asks no more of anything than [`Model::least`].
    pub base: f64,
    /// Levels for one square root of the unit of each demand.
    pub weights: [f64; Demand::COUNT],
    /// Square root of each demand that every piece of the table has; what is below adds nothing.
    pub least: [f64; Demand::COUNT],
    /// Largest square root that counts.
    pub caps: [f64; Demand::COUNT],
    /// Usual length (fourth root of the notes to learn) at content 0, and its rise for each level of content.
    pub usual_length: (f64, f64),
    /// Levels for one fourth root of notes beyond the usual length.
    pub endurance: f64,
    /// Points of each demand usual at level 0, and their rise for each level.
    pub usual_points: [(f64, f64); Demand::COUNT],
    /// How far the level of a piece lies from its value, four times in five.
    pub likely: f64,
    /// How far the level of a piece lies below and above the value of its first page, four times in five.
    pub likely_part: (f64, f64),
}

impl Model {
    /// Square root of what is asked beyond the least, as it enters the sum; the hard value counts `HARD_SHARE`.
    pub fn strength(&self, demand: Demand, pooled: Pooled) -> f64 {
        let (mean, hard) = (pooled.mean.max(0.0).sqrt(), pooled.hard.max(0.0).sqrt());
        let bounded = (mean + HARD_SHARE * (hard - mean)).min(self.caps[demand as usize]);
        (bounded - self.least[demand as usize]).max(0.0)
    }

    /// Levels that a demand adds.
    pub fn points(&self, demand: Demand, pooled: Pooled) -> f64 {
        self.weights[demand as usize] * self.strength(demand, pooled)
    }

    /// Level of what is asked at any moment, without length.
    pub fn content(&self, demands: &[Pooled; Demand::COUNT]) -> f64 {
        Demand::ALL.iter().fold(self.base, |sum, demand| sum + self.points(*demand, demands[*demand as usize]))
    }

    /// Levels for being longer than pieces of this content usually are, negative when shorter; none for an excerpt.
    pub fn endurance_points(&self, measured: &Measurements, content: f64) -> f64 {
        if measured.is_part {
            return 0.0;
        }
        let usual = self.usual_length.0 + self.usual_length.1 * content;
        (self.endurance * (length(measured.notes_to_learn) - usual)).clamp(-MOST_ENDURANCE, MOST_ENDURANCE)
    }

    /// Content and endurance, before the ends of the scale draw it in.
    pub fn sum(&self, measured: &Measurements) -> f64 {
        let content = self.content(&measured.demands);
        content + self.endurance_points(measured, content)
    }

    /// The level, 1 to 9.
    pub fn value(&self, measured: &Measurements) -> f64 {
        on_scale(self.sum(measured))
    }
}

/// Fourth root of a number of notes: length grows as learning does, fast at first. Square roots are exact on every
/// machine, logarithms are not.
pub fn length(notes: f64) -> f64 {
    notes.max(0.0).sqrt().sqrt()
}

/// Draws values near the ends of the scale together so that none leaves it and none changes places.
pub fn on_scale(sum: f64) -> f64 {
    let (low, high) = (SCALE.0 + SOFT_END, SCALE.1 - SOFT_END);
    let beyond = |distance: f64| SOFT_END * distance / (SOFT_END + distance);
    if sum < low {
        low - beyond(low - sum)
    } else if sum > high {
        high + beyond(sum - high)
    } else {
        sum
    }
}

impl Demand {
    /// A value of a window as a metronome and a ruler would find it: rates in seconds as played.
    pub(super) fn shown(self, value: f64, haste: f64) -> f64 {
        match self.pool() {
            Pool::Keys | Pool::Palette => value,
            Pool::Busier | Pool::Power | Pool::Joint | Pool::Sum => value * haste,
        }
    }
}

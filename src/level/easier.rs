//! Why the piece is not one level easier: which reasons would have to go.
//!
//! In: what was measured and the model. Out: the demands that most exceed what is usual one level below, as few of them
//! as would bring the piece down.

use super::model::{Measurements, Model};
use super::reasons::Reason;

/// One thing that would have to become easier.
#[derive(Clone, PartialEq, Debug)]
pub struct Excess {
    /// What is asked now, and where.
    pub reason: Reason,
    /// How much is usual one level below, in the unit of the reason.
    pub usual: f64,
    /// Levels between them.
    pub points: f64,
}

/// The fewest excesses that lead to the level below, largest first; empty at level 1.
pub(super) fn excesses(model: &Model, measured: &Measurements, level: u8, reasons: &[Reason]) -> Vec<Excess> {
    let below = f64::from(level) - 1.0;
    if below < 1.0 {
        return Vec::new();
    }
    let mut all: Vec<Excess> = reasons
        .iter()
        .map(|reason| {
            let (at_zero, rise) = model.usual_points[reason.demand as usize];
            let usual = (at_zero + rise * below).clamp(0.0, reason.points);
            // Points go with the square root of what is asked beyond the least.
            let d = reason.demand as usize;
            let root = |points: f64| points / model.weights[d] + model.least[d];
            let share = (root(usual) / root(reason.points)).powi(2);
            Excess { usual: reason.value * share, points: reason.points - usual, reason: reason.clone() }
        })
        .filter(|excess| excess.points > 0.0)
        .collect();
    all.sort_by(|a, b| b.points.total_cmp(&a.points));
    let mut left = model.sum(measured) - (below + 0.5);
    let mut enough = 0;
    while enough < all.len() && left > 0.0 {
        left -= all[enough].points;
        enough += 1;
    }
    all.truncate(enough);
    all
}

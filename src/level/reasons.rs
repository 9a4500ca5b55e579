//! The reasons of a level, in a teacher's words, and where to look for them.
//!
//! In: the windows and the model. Out: [`Reason`]s, strongest first, each with the place that shows it best.

use serde::Serialize;

use super::demand::{Demand, Pool};
use super::model::Model;
use super::pooling::Pooled;
use super::windows::Window;
use crate::units::Hand;

/// Share of the busier hand from which the other one is named with it. Chosen by us.
const BOTH_HANDS: f64 = 0.75;

/// Whose demand it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
pub enum Whose {
    /// The right hand's.
    R,
    /// The left hand's.
    L,
    /// Of both hands, or of the two together.
    #[serde(rename = "both")]
    Both,
}

impl Whose {
    /// `right hand`, `left hand` or `both hands`.
    pub fn name(self) -> &'static str {
        match self {
            Self::R => Hand::Right.name(),
            Self::L => Hand::Left.name(),
            Self::Both => "both hands",
        }
    }
}

/// Why the level is what it is.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Reason {
    /// Which demand.
    #[serde(skip)]
    pub demand: Demand,
    /// What the trade calls it.
    pub name: &'static str,
    /// Whose.
    pub hand: Whose,
    /// How much is asked where it is asked most, in `unit`.
    pub value: f64,
    /// Unit of the value.
    pub unit: &'static str,
    /// Levels that it adds.
    pub points: f64,
    /// Where it is asked most, as indices into the measures of the score.
    #[serde(skip)]
    pub rows: (usize, usize),
}

/// The reasons of a piece, strongest first: every demand that adds anything.
pub(super) fn reasons(model: &Model, demands: &[Pooled; Demand::COUNT], windows: &[Window]) -> Vec<Reason> {
    let mut found: Vec<Reason> = Demand::ALL
        .iter()
        .filter_map(|demand| {
            let points = model.points(*demand, demands[*demand as usize]);
            (points > 0.0).then(|| reason(*demand, points, windows))?
        })
        .collect();
    strongest_first(&mut found);
    found
}

/// Ties keep the order of [`Demand::ALL`].
pub(super) fn strongest_first(reasons: &mut [Reason]) {
    reasons.sort_by(|a, b| b.points.total_cmp(&a.points));
}

/// A demand shown at the window that asks most of it; the first of equals.
fn reason(demand: Demand, points: f64, windows: &[Window]) -> Option<Reason> {
    let d = demand as usize;
    let mut hottest = windows.first()?;
    for window in windows {
        if window.both[d] > hottest.both[d] {
            hottest = window;
        }
    }
    Some(at_window(demand, points, hottest))
}

/// A demand as one window shows it.
pub(super) fn at_window(demand: Demand, points: f64, window: &Window) -> Reason {
    let d = demand as usize;
    let (right, left) = (window.hands[0][d], window.hands[1][d]);
    let (hand, value) = match demand.pool() {
        Pool::Joint | Pool::Palette => (Whose::Both, window.both[d]),
        Pool::Sum if right.min(left) >= BOTH_HANDS * right.max(left) => (Whose::Both, window.both[d]),
        _ if right.min(left) >= BOTH_HANDS * right.max(left) => (Whose::Both, right.max(left)),
        _ if right > left => (Whose::R, right),
        _ => (Whose::L, left),
    };
    Reason {
        demand,
        name: demand.name(),
        hand,
        value: demand.shown(value, window.haste),
        unit: demand.unit(),
        points,
        rows: window.rows,
    }
}

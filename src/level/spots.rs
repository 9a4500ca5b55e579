//! The hardest spots: where the piece asks most, why, and what it would be without them.
//!
//! In: windows and model. Out: up to three [`Spot`]s that do not touch.

use super::demand::Demand;
use super::model::{Measurements, Model, on_scale};
use super::pooling::{Pooled, pool};
use super::range::whole_level;
use super::reasons::{Reason, at_window, strongest_first};
use super::windows::Window;

/// Spots named. A teacher marks three places, not ten (common practice, no source).
const SPOTS: usize = 3;

/// Demands named for one spot. Chosen by us.
const REASONS: usize = 3;

/// Least levels that a place must make to be named as the exception. Chosen by us: less is a matter of rounding.
const WORTH_NAMING: f64 = 0.3;

/// A hard place.
#[derive(Clone, PartialEq, Debug)]
pub struct Spot {
    /// First and last measure, from the first measure looked at.
    pub rows: (usize, usize),
    /// Level of music that went on like this.
    pub value: f64,
    /// Levels above the average window.
    pub above: f64,
    /// Level of the piece without this place.
    pub without: f64,
    /// What stands out here against the rest of the piece; the points are levels above the rest.
    pub reasons: Vec<Reason>,
}

/// A piece that would be easier but for one place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Exception {
    /// The level without the place.
    pub level: u8,
    /// First and last measure of the place.
    pub rows: (usize, usize),
}

impl Exception {
    /// The hardest spot, when the piece without it is of a lower level, and by more than rounding.
    pub(super) fn find(value: f64, spots: &[Spot]) -> Option<Self> {
        let spot = spots.first()?;
        let without = whole_level(spot.without);
        let lower = without < whole_level(value) && value - spot.without >= WORTH_NAMING;
        lower.then_some(Self { level: without, rows: spot.rows })
    }
}

/// The hardest spots, hardest first.
pub(super) fn hardest(model: &Model, measured: &Measurements, windows: &[Window]) -> Vec<Spot> {
    let mut order: Vec<(f64, usize)> = windows
        .iter()
        .enumerate()
        .map(|(index, window)| (model.content(&window.both.map(|rate| Pooled { mean: rate, hard: rate })), index))
        .collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let average = order.iter().map(|(content, _)| content).sum::<f64>() / order.len().max(1) as f64;
    let mut spots: Vec<Spot> = Vec::new();
    for (content, index) in order {
        if spots.len() == SPOTS {
            break;
        }
        let rows = windows[index].rows;
        if spots.iter().any(|spot| touches(spot.rows, rows)) {
            continue;
        }
        spots.push(Spot {
            rows,
            value: on_scale(content),
            above: content - average,
            without: without(model, measured, windows, &[rows]),
            reasons: stands_out(model, measured, &windows[index]),
        });
    }
    spots
}

/// Level of the piece without the windows that touch any of the places.
fn without(model: &Model, measured: &Measurements, windows: &[Window], places: &[(usize, usize)]) -> f64 {
    let keep = |index: usize| !places.iter().any(|place| touches(*place, windows[index].rows));
    if !(0..windows.len()).any(keep) {
        return model.value(measured);
    }
    let demands = pool(windows, keep, |window, demand| window.both[demand as usize]);
    model.value(&Measurements { demands, ..measured.clone() })
}

fn stands_out(model: &Model, measured: &Measurements, window: &Window) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Demand::ALL
        .iter()
        .map(|demand| {
            let rate = window.both[*demand as usize];
            let here = model.points(*demand, Pooled { mean: rate, hard: rate });
            at_window(*demand, here - model.points(*demand, measured.demands[*demand as usize]), window)
        })
        .filter(|reason| reason.points > 0.0)
        .collect();
    strongest_first(&mut reasons);
    reasons.truncate(REASONS);
    reasons
}

fn touches(a: (usize, usize), b: (usize, usize)) -> bool {
    a.0 <= b.1 && b.0 <= a.1
}

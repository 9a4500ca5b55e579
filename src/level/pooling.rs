//! From windows to one value for each demand: what is sustained, and what the hardest place asks.
//!
//! In: the windows of a piece. Out: [`Pooled`] for each demand: the mean of all windows, and the value that one window
//! in ten reaches. With the mean alone a quiet piece with one hard page looks easy, with the hardest place
//! alone a longer piece looks harder for being long. `docs/level.md` compares the three.

use super::demand::Demand;
use super::windows::Window;

/// Share of windows that lie below the hard value. Chosen by us.
const HARD: f64 = 0.9;

/// What a piece asks of one demand, in the unit of the demand.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Pooled {
    /// Mean over all windows.
    pub mean: f64,
    /// Reached by one window in ten.
    pub hard: f64,
}

/// Pools the windows that `keep` accepts; without any, nothing is asked.
pub(super) fn pool(
    windows: &[Window],
    mut keep: impl FnMut(usize) -> bool,
    value: impl Fn(&Window, Demand) -> f64,
) -> [Pooled; Demand::COUNT] {
    let kept: Vec<&Window> = windows.iter().enumerate().filter(|(i, _)| keep(*i)).map(|(_, w)| w).collect();
    let mut pooled = [Pooled::default(); Demand::COUNT];
    if kept.is_empty() {
        return pooled;
    }
    let mut values: Vec<f64> = Vec::with_capacity(kept.len());
    for demand in Demand::ALL {
        values.clear();
        values.extend(kept.iter().map(|w| value(w, *demand)));
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        pooled[*demand as usize] = Pooled { mean, hard: quantile(&mut values, HARD) };
    }
    pooled
}

/// The value below which `share` of the values lie, straight between neighbours.
fn quantile(values: &mut [f64], share: f64) -> f64 {
    let place = share * (values.len() - 1) as f64;
    let index = place as usize;
    let (_, at, above) = values.select_nth_unstable_by(index, f64::total_cmp);
    let next = above.iter().copied().fold(f64::INFINITY, f64::min);
    if next.is_finite() { *at + (place - index as f64) * (next - *at) } else { *at }
}

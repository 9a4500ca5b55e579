//! How demanding each measure is for a hand: its load.
//!
//! In: the line of a hand, its fingering and the tempo. Out: a [`Load`] for every measure. The level
//! does not come from here; the curve shows where in the piece the work lies.

use crate::fingering::Fingering;
use crate::hands::Line;
use crate::score::Score;
use crate::tempo::Tempo;

/// What one measure asks of one hand.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Load {
    /// Effort a second: that of striking the notes of the measure and of reaching them, over the seconds it lasts. The
    /// unit is the point of Parncutt et al. (1997), in which the fingering is priced.
    pub effort_per_second: f64,
    /// Notes struck a second.
    pub notes_per_second: f64,
    /// Notes struck.
    pub notes: u32,
}

/// Seconds that a measure counts for at least. Chosen by us: a pickup of one short note would otherwise look like the
/// busiest place of the piece, and half a second is shorter than any whole measure of ordinary music.
const SHORTEST_MEASURE_SECONDS: f64 = 0.5;

/// Effort of striking one note, in points. Chosen by us: as much as one rule of the fingering broken, so that notes that
/// lie well under the hand still count by their number, and a measure with twice the notes is about twice the work.
const STRIKE: f64 = 1.0;

/// Cost units of the fingering in a point.
const COST_UNITS_A_POINT: f64 = 100.0;

/// The load of every measure, in order.
pub fn measure_loads(score: &Score, line: &Line, fingering: &Fingering, tempo: &Tempo) -> Vec<Load> {
    let mut loads = vec![Load::default(); score.measures.len()];
    for (slice, cost) in line.slices.iter().zip(&fingering.slice_costs) {
        let measure = line.notes.get(slice.first).map(|id| score.notes[*id].measure);
        let load = measure.and_then(|m| loads.get_mut(m));
        if let Some(load) = load {
            let count = u32::try_from(slice.count).unwrap_or(u32::MAX);
            load.effort_per_second += f64::from((*cost).max(0)) / COST_UNITS_A_POINT + f64::from(count) * STRIKE;
            load.notes = load.notes.saturating_add(count);
        }
    }
    for (load, measure) in loads.iter_mut().zip(&score.measures) {
        let seconds = tempo.seconds(measure.onset + measure.duration) - tempo.seconds(measure.onset);
        let seconds = seconds.max(SHORTEST_MEASURE_SECONDS);
        load.effort_per_second /= seconds;
        load.notes_per_second = f64::from(load.notes) / seconds;
    }
    loads
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    #[test]
    fn a_load_is_effort_over_time_and_a_rest_is_none() {
        let (score, line) = testing::line("R: C4-1 D4-2 E4-3 F4-4 r r r r C4-1/8 D4-2 C4-1 D4-2 C4-1 D4-2 C4-1 D4-2");
        let mut fingering = testing::printed(&score, &line);
        fingering.slice_costs[1] = 200;
        let loads = measure_loads(&score, &line, &fingering, &testing::steady(120.0));
        let efforts: Vec<f64> = loads.iter().map(|load| load.effort_per_second).collect();
        assert_eq!(efforts, [3.0, 0.0, 4.0]); // two seconds a measure: 4 strikes and 2 points, nothing, 8 strikes
        assert_eq!(loads.iter().map(|load| load.notes).collect::<Vec<_>>(), [4, 0, 8]);
    }
}

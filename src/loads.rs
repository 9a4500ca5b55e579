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
    /// Cost of the fingering a second: effort of reaching the slices of the measure over the seconds it lasts.
    pub effort_per_second: f64,
    /// Notes struck a second.
    pub notes_per_second: f64,
    /// Notes struck.
    pub notes: u32,
}

/// Seconds that a measure counts for at least. Chosen by us: a pickup of one short note would otherwise look like the
/// busiest place of the piece, and half a second is shorter than any whole measure of ordinary music.
const SHORTEST_MEASURE_SECONDS: f64 = 0.5;

/// The load of every measure, in order.
pub fn measure_loads(score: &Score, line: &Line, fingering: &Fingering, tempo: &Tempo) -> Vec<Load> {
    let mut loads = vec![Load::default(); score.measures.len()];
    for (slice, cost) in line.slices.iter().zip(&fingering.slice_costs) {
        let measure = line.notes.get(slice.first).map(|id| score.notes[*id].measure);
        let load = measure.and_then(|m| loads.get_mut(m));
        if let Some(load) = load {
            load.effort_per_second += f64::from(*cost);
            load.notes += slice.count as u32;
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

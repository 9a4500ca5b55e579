//! How the level falls when the piece is practised slower.
//!
//! In: the table of a piece. Out: the level at some shares of its tempo. Practice starts below tempo (common practice,
//! no source); the level says how far below to start.

use super::model::{Measurements, Model};
use super::pooling::pool;
use super::table::Table;
use super::windows::windows;

/// Shares of the tempo shown, in percent. Chosen by us: metronome steps of a tenth down to half speed.
const PERCENT: [u32; 5] = [90, 80, 70, 60, 50];

/// The level at another speed.
#[derive(Clone, Copy, PartialEq, Debug, serde::Serialize)]
pub struct Practice {
    /// Share of the tempo of the piece.
    pub percent: u32,
    /// Quarter notes a minute.
    pub quarter_bpm: f64,
    /// Level.
    pub value: f64,
}

/// The level at a share of the tempo; length counts as before.
pub(super) fn at_speed(model: &Model, table: &Table, measured: &Measurements, speed: f64) -> f64 {
    let slower = windows(table, speed);
    let demands = pool(&slower, |_| true, |window, demand| window.both[demand as usize]);
    model.value(&Measurements { demands, ..measured.clone() })
}

/// The levels at slower tempos, fastest first.
pub(super) fn slower(model: &Model, table: &Table, measured: &Measurements, quarter_bpm: f64) -> Vec<Practice> {
    PERCENT
        .iter()
        .map(|percent| {
            let speed = f64::from(*percent) / 100.0;
            Practice {
                percent: *percent,
                quarter_bpm: quarter_bpm * speed,
                value: at_speed(model, table, measured, speed),
            }
        })
        .collect()
}

//! How hard a piece is, on levels 1 to 9, and why.
//!
//! In: the score, the hands, their fingers and movements, the tempo. Out: a [`Level`]: a value with a likely range, the
//! reasons in a teacher's words with their measures, the hardest spots, what slower tempos are worth, and what would
//! have to go for the piece to be one level easier.
//!
//! The flow: what is struck, in seconds (`strokes`) -> what each measure asks of each hand (`table`, filled by one file
//! of `dimensions` for each kind of difficulty) -> windows of eight seconds (`windows`) -> one value for each demand
//! (`pooling`) -> points (`model`, `weights`) -> reasons, spots, practice (`reasons`, `spots`, `easier`, `practice`).
//! Everything is a sum of non-negative entries, so that more notes, more speed or wider chords never make a piece
//! easier. `docs/level.md` says how the weights were found and how far they can be trusted.

mod demand;
mod dimensions;
mod easier;
mod model;
mod pooling;
mod practice;
mod range;
mod reasons;
mod spots;
mod strokes;
mod table;
#[cfg(test)]
mod tests;
mod weights;
mod windows;

pub use demand::Demand;
pub(crate) use dimensions::most_ledger_lines;
pub use easier::Excess;
pub use model::{Measurements, Model, length, on_scale};
pub use pooling::Pooled;
pub use practice::Practice;
pub use range::level_in_tenths;
pub use reasons::{Reason, Whose};
pub use spots::{Exception, Spot};

use serde::Serialize;

use crate::hands::Hands;
use crate::movements::Movement;
use crate::score::Score;
use crate::tempo::Tempo;
use strokes::Piece;
use table::Table;
use windows::{Window, windows};

/// What is to be graded.
#[derive(Clone, Copy, Debug)]
pub struct Playing<'a> {
    /// The score, or the excerpt of it.
    pub score: &'a Score,
    /// Which hand plays what.
    pub hands: &'a Hands,
    /// Movements of the right and of the left hand.
    pub movements: [&'a [Movement]; 2],
    /// How fast.
    pub tempo: &'a Tempo,
    /// True for an excerpt, whose length says nothing about the piece.
    pub is_part: bool,
}

/// Three levels each.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Band {
    /// Levels 1 to 3.
    Elementary,
    /// Levels 4 to 6.
    Intermediate,
    /// Levels 7 to 9.
    Advanced,
}

impl Band {
    /// The band of a level.
    pub fn of(level: u8) -> Self {
        match level {
            0..=3 => Self::Elementary,
            4..=6 => Self::Intermediate,
            _ => Self::Advanced,
        }
    }

    /// `elementary`, `intermediate` or `advanced`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Elementary => "elementary",
            Self::Intermediate => "intermediate",
            Self::Advanced => "advanced",
        }
    }
}

/// How hard a piece is, and why.
#[derive(Clone, PartialEq, Debug)]
pub struct Level {
    /// Position on the scale from 1 to 9.
    pub value: f64,
    /// The nearest level.
    pub level: u8,
    /// Lowest likely level.
    pub low: u8,
    /// Highest likely level.
    pub high: u8,
    /// Its band.
    pub band: Band,
    /// Level of a piece that asks no more of anything than the easiest published ones; the points of all demands and of
    /// length are counted from here.
    pub base: f64,
    /// What adds to it, strongest first.
    pub reasons: Vec<Reason>,
    /// Levels for being longer than pieces that ask as much usually are; negative for shorter ones, zero for excerpts.
    pub length_points: f64,
    /// The hardest spots, hardest first.
    pub spots: Vec<Spot>,
    /// What the piece would be without its hardest spot, when that makes a level.
    pub exception: Option<Exception>,
    /// The level at slower tempos, fastest first.
    pub practice: Vec<Practice>,
    /// What would have to go for the piece to be one level easier, largest first.
    pub easier: Vec<Excess>,
}

/// Levels that a demand, by its name, usually adds to pieces of a level; nothing for what is no demand.
pub fn usual_points(name: &str, level: f64) -> f64 {
    let demand = Demand::ALL.iter().find(|demand| demand.name() == name);
    let (at_zero, rise) = demand.map_or((0.0, 0.0), |demand| Model::SHIPPED.usual_points[*demand as usize]);
    (at_zero + rise * level).max(0.0)
}

/// Grades a piece or an excerpt.
pub fn grade_level(playing: &Playing<'_>) -> Level {
    let model = &Model::SHIPPED;
    let (table, windows) = look(playing);
    let measured = measured(playing, &table, &windows);
    let value = model.value(&measured);
    let level = range::whole_level(value);
    let doubt = range::tempo_doubt(playing.tempo.source).map_or(0.0, |factor| {
        let at = |speed: f64| practice::at_speed(model, &table, &measured, speed);
        (at(factor) - at(1.0 / factor)) / 2.0
    });
    let (low, high) = model.likely_levels(value, playing.is_part, doubt);
    let reasons = reasons::reasons(model, &measured.demands, &windows);
    let spots = spots::hardest(model, &measured, &windows);
    Level {
        value,
        level,
        low,
        high,
        band: Band::of(level),
        base: model.base,
        length_points: model.endurance_points(&measured, model.content(&measured.demands)),
        exception: Exception::find(value, &spots),
        easier: easier::excesses(model, &measured, level, &reasons),
        practice: practice::slower(model, &table, &measured, playing.tempo.quarter_bpm),
        reasons,
        spots,
    }
}

/// Measures a piece or an excerpt, for the table that the weights are fitted to.
pub fn measure(playing: &Playing<'_>) -> Measurements {
    let (table, windows) = look(playing);
    measured(playing, &table, &windows)
}

fn look(playing: &Playing<'_>) -> (Table, Vec<Window>) {
    let piece = Piece::new(playing);
    let table = Table::measure(&piece);
    let windows = windows(&table, 1.0);
    (table, windows)
}

fn measured(playing: &Playing<'_>, table: &Table, windows: &[Window]) -> Measurements {
    Measurements {
        demands: pooling::pool(windows, |_| true, |window, demand| window.both[demand as usize]),
        notes_to_learn: table.notes_to_learn(),
        is_part: playing.is_part,
    }
}

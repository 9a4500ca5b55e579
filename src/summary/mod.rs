//! One piece in a few kilobytes: what a shelf keeps of it once the notes have been read.
//!
//! In: an analysis. Out: a [`PieceSummary`], small enough to hold ten thousand, with all that readiness, the shelf
//! and the plan ask for. It is measured for an average hand at the tempo of the file, so that it is the same for every
//! learner; what the learner's own hand makes of it is judged from it.
//!
//! Numbers that decisions are made on are whole: levels and points in thousandths, speeds in thousandths of a note a
//! second. So every machine decides alike.

pub mod era;
mod summarise;

use serde::{Deserialize, Serialize};

use crate::crossing::Crossing;
use crate::edition::Edition;
use crate::level::usual_points;
use crate::tempo::TempoSource;
use crate::units::Hand;

pub use era::Era;
pub use summarise::summarise;

/// Thousandths of a level, of a point, of a note a second.
pub type Milli = i64;

/// A number as thousandths; not-a-number is zero.
pub fn milli(value: f64) -> Milli {
    // A cast of a float saturates.
    (value * 1000.0).round() as Milli
}

/// What a shelf keeps of one piece.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct PieceSummary {
    /// Title, if the file has one.
    pub title: Option<String>,
    /// Composer, if the file tells.
    pub composer: Option<String>,
    /// Era, if the file tells.
    pub era: Option<Era>,
    /// Measures.
    pub measures: usize,
    /// Notes of the right and the left hand.
    pub notes: [usize; 2],
    /// Seconds at the tempo of the file, repeats not played.
    pub seconds: f64,
    /// Quarter notes a minute.
    pub quarter_bpm: f64,
    /// Where the tempo comes from.
    pub tempo_source: TempoSource,
    /// Name of the key at the beginning: `E-flat major`; `None` where the file has no signature.
    pub key: Option<String>,
    /// Names of the keys of later signatures.
    pub later_keys: Vec<String>,
    /// Estimated level.
    pub level: LevelRange,
    /// What makes it so, the weightiest first.
    pub demands: Vec<Demand>,
    /// Share of all effort that falls on the right hand, in thousandths.
    pub right_share: Milli,
    /// Crossings by what they ask of the hand.
    pub crossings: Vec<CrossingDemand>,
    /// Passages by hand, kind and key.
    pub passages: Vec<PassageGroup>,
    /// Drills, the most useful first.
    pub drills: Vec<DrillNeed>,
    /// Wide chords of the right and the left hand.
    pub reaches: [Vec<Reach>; 2],
    /// How well the print is prepared.
    pub edition: Edition,
    /// Number of remarks about the file.
    pub remarks: usize,
}

/// A level with its likely range, in thousandths.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct LevelRange {
    /// Best estimate.
    pub value: Milli,
    /// Likely at least.
    pub low: Milli,
    /// Likely at most.
    pub high: Milli,
}

/// One dimension of what a piece asks for.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Demand {
    /// Name of the dimension.
    pub name: String,
    /// Whose; `None` for what concerns both together.
    pub hand: Option<Hand>,
    /// How much, in `unit`.
    pub value: f64,
    /// Unit of `value`.
    pub unit: String,
    /// What it adds to the level, in thousandths.
    pub points: Milli,
    /// Where most, printed numbers.
    pub measures: Vec<String>,
}

/// All crossings of a piece that ask the same of a hand.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct CrossingDemand {
    /// What it asks.
    pub crossing: Crossing,
    /// How often.
    pub count: usize,
    /// Effort of all of them, in thousandths of a cost unit of the fingering.
    pub effort: u64,
    /// Printed number of the measure of the hardest one.
    pub measure: String,
}

/// Passages of one hand, kind and key.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct PassageGroup {
    /// Whose.
    pub hand: Hand,
    /// Name of the kind: `scale run`.
    pub kind: String,
    /// Name of the scale or key, where it has one.
    pub key: Option<String>,
    /// How many.
    pub count: usize,
    /// Notes of all of them.
    pub notes: usize,
    /// Fastest, in thousandths of a note a second.
    pub rate: Milli,
    /// Printed numbers of the measures of the fastest one: first and last.
    pub measures: [String; 2],
}

/// A scale to drill for the piece.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct DrillNeed {
    /// Name of the scale: `E-flat major`, `C harmonic minor`.
    pub scale: String,
    /// Hands that need it: right, left.
    pub hands: [bool; 2],
    /// Octaves.
    pub octaves: u8,
    /// Notes a second at which the drill equals the piece, in thousandths.
    pub rate: Milli,
    /// Share of the crossings' effort that it covers, in thousandths.
    pub covers: Milli,
    /// The transition to isolate, in words.
    pub isolate: Option<String>,
    /// Printed numbers of measures that it serves, the first few.
    pub measures: Vec<String>,
}

/// Chords of one width.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Reach {
    /// Width in semitones.
    pub semitones: i32,
    /// How many.
    pub count: usize,
    /// Printed number of the first one's measure.
    pub measure: String,
}

impl PieceSummary {
    /// Notes of both hands.
    pub fn all_notes(&self) -> usize {
        self.notes[0] + self.notes[1]
    }

    /// The demands that stand out: those that add most beyond what is usual for pieces of this level.
    pub fn main_demands(&self, most: usize) -> Vec<&Demand> {
        let level = self.level.value as f64 / 1000.0;
        let mut beyond: Vec<(Milli, &Demand)> = self
            .demands
            .iter()
            .map(|demand| (demand.points - milli(usual_points(&demand.name, level)), demand))
            .filter(|(beyond, _)| *beyond > 0)
            .collect();
        // A stable sort: equals stay in the order of their points.
        beyond.sort_by_key(|(beyond, _)| std::cmp::Reverse(*beyond));
        beyond.into_iter().take(most).map(|(_, demand)| demand).collect()
    }

    /// The title, or what stands in for it.
    pub fn title_or<'a>(&'a self, stand_in: &'a str) -> &'a str {
        self.title.as_deref().filter(|title| !title.trim().is_empty()).unwrap_or(stand_in)
    }
}

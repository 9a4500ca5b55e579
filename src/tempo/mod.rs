//! From score time to seconds.
//!
//! In: the tempo marks of a [`crate::score::Score`] and an optional tempo asked for. Out: a [`Tempo`] that converts quarters to
//! seconds and says where its speed comes from.

mod choose;
mod meter;
mod texture;

pub use choose::choose_tempo;

use crate::units::Quarters;

/// Where the tempo comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TempoSource {
    /// A metronome mark or playback tempo in the file.
    Written,
    /// A term such as `Allegro`.
    Term,
    /// Nothing in the file that counts: assumed from the texture.
    Assumed,
    /// The caller asked for it.
    Option,
}

impl TempoSource {
    /// `written`, `term`, `assumed` or `option`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Written => "written",
            Self::Term => "term",
            Self::Assumed => "assumed",
            Self::Option => "option",
        }
    }
}

/// The tempo of a score.
#[derive(Clone, Debug)]
pub struct Tempo {
    /// The prevailing speed, in quarter notes a minute.
    pub quarter_bpm: f64,
    /// Where that comes from.
    pub source: TempoSource,
    /// `(onset, seconds at the onset, seconds per quarter from there)`, in order, never empty, first at onset 0.
    pub segments: Vec<(Quarters, f64, f64)>,
}

impl Tempo {
    /// One speed from start to end.
    pub fn constant(quarter_bpm: f64, source: TempoSource) -> Self {
        Self { quarter_bpm, source, segments: vec![(Quarters::ZERO, 0.0, 60.0 / quarter_bpm)] }
    }

    /// A speed that changes: each `(onset, quarter notes a minute, source)` holds until the next, the last until `end`;
    /// they are in order of onset.
    fn changing(speeds: &[(Quarters, f64, TempoSource)], end: Quarters) -> Option<Self> {
        let mut segments: Vec<(Quarters, f64, f64)> = Vec::with_capacity(speeds.len());
        let mut spent: Vec<(f64, f64)> = Vec::new();
        for (index, (onset, speed, _)) in speeds.iter().enumerate() {
            let onset = if index == 0 { Quarters::ZERO } else { *onset };
            let seconds = segments.last().map_or(0.0, |(from, at, per)| at + (onset - *from).to_f64() * per);
            segments.push((onset, seconds, 60.0 / speed));
            let until = speeds.get(index + 1).map_or(end, |(next, ..)| *next).max(onset);
            let time = (until - onset).to_f64() * 60.0 / speed;
            spent.push((*speed, time));
        }
        // The prevailing speed is the one in force longest, the slower of two equals.
        spent.sort_by(|a, b| a.0.total_cmp(&b.0));
        let totals = spent.chunk_by(|a, b| a.0.total_cmp(&b.0).is_eq());
        let totals = totals.filter_map(|same| Some((same.first()?.0, same.iter().map(|(_, time)| time).sum::<f64>())));
        let (quarter_bpm, _) = totals.reduce(|best, next| if next.1 > best.1 { next } else { best })?;
        let prevailing = speeds.iter().find(|(_, speed, _)| speed.total_cmp(&quarter_bpm).is_eq());
        let source = prevailing.map_or(TempoSource::Written, |(.., source)| *source);
        Some(Self { quarter_bpm, source, segments })
    }

    /// Seconds from the start of the score to `at`.
    pub fn seconds(&self, at: Quarters) -> f64 {
        let next = self.segments.partition_point(|(onset, ..)| *onset <= at);
        let (onset, seconds, per_quarter) = self.segments[next.saturating_sub(1)];
        seconds + (at - onset).to_f64() * per_quarter
    }
}

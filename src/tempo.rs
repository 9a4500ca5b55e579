//! From score time to seconds.
//!
//! In: the tempo marks of a [`Score`] and an optional tempo asked for. Out: a [`Tempo`] that converts quarters to
//! seconds and says where its speed comes from.

use crate::error::Remarks;
use crate::hands::Hands;
use crate::score::{Score, TempoOrigin};
use crate::units::Quarters;

/// Where the tempo comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TempoSource {
    /// A metronome mark or playback tempo in the file.
    Written,
    /// A term such as `Allegro`.
    Term,
    /// Nothing in the file: assumed from the texture.
    Assumed,
    /// The caller asked for it.
    Option,
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

    /// Seconds from the start of the score to `at`.
    pub fn seconds(&self, at: Quarters) -> f64 {
        let next = self.segments.partition_point(|(onset, ..)| *onset <= at);
        let (onset, seconds, per_quarter) = self.segments[next.saturating_sub(1)];
        seconds + (at - onset).to_f64() * per_quarter
    }
}

/// Chooses the tempo of a score.
pub fn choose_tempo(score: &Score, _hands: &Hands, asked: Option<f64>, _remarks: &mut Remarks) -> Tempo {
    if let Some(asked) = asked {
        return Tempo::constant(asked, TempoSource::Option);
    }
    let strongest = |origin| score.tempos.iter().find(|mark| mark.origin == origin).and_then(|mark| mark.quarter_bpm);
    match strongest(TempoOrigin::Metronome).or_else(|| strongest(TempoOrigin::Sound)) {
        Some(written) => Tempo::constant(written, TempoSource::Written),
        None => Tempo::constant(100.0, TempoSource::Assumed),
    }
}

//! Pieces and learners made up for tests.

use super::practice::tests::crossings_of_scale;
use crate::edition::Edition;
use crate::learner::Learner;
use crate::summary::{Demand, LevelRange, Milli, PassageGroup, PieceSummary, Reach};
use crate::tempo::TempoSource;
use crate::units::Hand;

/// A learner file.
pub(crate) fn learner(text: &str) -> Learner {
    Learner::from_toml(text).unwrap()
}

/// A piece of a level that asks for nothing in particular.
pub(crate) fn piece(level: Milli) -> PieceSummary {
    PieceSummary {
        title: None,
        composer: None,
        era: None,
        measures: 16,
        notes: [64, 32],
        seconds: 40.0,
        quarter_bpm: 96.0,
        tempo_source: TempoSource::Written,
        key: Some("C major".into()),
        later_keys: Vec::new(),
        level: LevelRange { value: level, low: level - 700, high: level + 700 },
        demands: Vec::new(),
        right_share: 600,
        crossings: Vec::new(),
        passages: Vec::new(),
        drills: Vec::new(),
        reaches: [Vec::new(), Vec::new()],
        edition: Edition::default(),
        remarks: 0,
    }
}

impl PieceSummary {
    /// With a title.
    pub(crate) fn titled(mut self, title: &str) -> Self {
        self.title = Some(title.into());
        self
    }

    /// Asking for so many points in a dimension.
    pub(crate) fn demand(mut self, name: &str, points: Milli) -> Self {
        self.demands.push(Demand {
            name: name.into(),
            hand: None,
            value: 1.0,
            unit: "units".into(),
            points,
            measures: vec!["3".into()],
        });
        self
    }

    /// Running through a scale in both hands.
    pub(crate) fn runs(mut self, scale: &str, rate: Milli) -> Self {
        self.crossings.extend(crossings_of_scale(scale, 10));
        for hand in Hand::BOTH {
            self.passages.push(PassageGroup {
                hand,
                kind: "scale run".into(),
                key: Some(scale.into()),
                count: 1,
                notes: 15,
                rate,
                measures: ["5".into(), "6".into()],
            });
        }
        self
    }

    /// With chords of a width in one hand.
    pub(crate) fn reach(mut self, hand: Hand, semitones: i32) -> Self {
        self.reaches[hand as usize].push(Reach { semitones, count: 1, measure: "7".into() });
        self
    }
}

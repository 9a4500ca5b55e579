//! The level of a piece in the report.

use serde::Serialize;

use super::Rounded;
use crate::analysis::Analysis;
use crate::level::{Band, Excess, Practice, Reason, Spot, Whose};
use crate::report::level_terms::terms;
use crate::report::view;

#[derive(Serialize)]
pub(super) struct LevelView<'a> {
    value: Rounded,
    level: u8,
    low: u8,
    high: u8,
    band: Band,
    base: Rounded,
    length_points: Rounded,
    reasons: Vec<ReasonView<'a>>,
    hardest: Vec<SpotView<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    but_for: Option<ButFor<'a>>,
    practice: Vec<PracticeView>,
    easier: Vec<ExcessView>,
}

#[derive(Serialize)]
struct ReasonView<'a> {
    name: &'static str,
    hand: Whose,
    value: Rounded,
    unit: &'static str,
    points: Rounded,
    #[serde(skip_serializing_if = "Option::is_none")]
    terms: Option<String>,
    measures: Vec<&'a str>,
}

#[derive(Serialize)]
struct SpotView<'a> {
    measures: Vec<&'a str>,
    value: Rounded,
    above: Rounded,
    without: Rounded,
    reasons: Vec<ReasonView<'a>>,
}

#[derive(Serialize)]
struct ButFor<'a> {
    level: u8,
    measures: Vec<&'a str>,
}

#[derive(Serialize)]
struct PracticeView {
    percent: u32,
    quarter_bpm: Rounded,
    value: Rounded,
}

#[derive(Serialize)]
struct ExcessView {
    name: &'static str,
    hand: Whose,
    value: Rounded,
    usual: Rounded,
    unit: &'static str,
    points: Rounded,
}

pub(super) fn level(analysis: &Analysis) -> LevelView<'_> {
    let level = &analysis.level;
    let measures = |rows: (usize, usize)| -> Vec<&str> {
        (rows.0..=rows.1).map(|row| view::number(&analysis.score, row)).collect()
    };
    let reason = |reason: &Reason| ReasonView {
        name: reason.name,
        hand: reason.hand,
        value: Rounded(reason.value),
        unit: reason.unit,
        points: Rounded(reason.points),
        terms: terms(analysis, reason.demand, reason.hand, reason.rows),
        measures: measures(reason.rows),
    };
    let spot = |spot: &Spot| SpotView {
        measures: measures(spot.rows),
        value: Rounded(spot.value),
        above: Rounded(spot.above),
        without: Rounded(spot.without),
        reasons: spot.reasons.iter().map(reason).collect(),
    };
    let practice = |slower: &Practice| PracticeView {
        percent: slower.percent,
        quarter_bpm: Rounded(slower.quarter_bpm),
        value: Rounded(slower.value),
    };
    let excess = |excess: &Excess| ExcessView {
        name: excess.reason.name,
        hand: excess.reason.hand,
        value: Rounded(excess.reason.value),
        usual: Rounded(excess.usual),
        unit: excess.reason.unit,
        points: Rounded(excess.points),
    };
    LevelView {
        value: Rounded(level.value),
        level: level.level,
        low: level.low,
        high: level.high,
        band: level.band,
        base: Rounded(level.base),
        length_points: Rounded(level.length_points),
        reasons: level.reasons.iter().map(reason).collect(),
        hardest: level.spots.iter().map(spot).collect(),
        but_for: level.exception.map(|but| ButFor { level: but.level, measures: measures(but.rows) }),
        practice: level.practice.iter().map(practice).collect(),
        easier: level.easier.iter().map(excess).collect(),
    }
}

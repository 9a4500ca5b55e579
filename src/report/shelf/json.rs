//! The shelf as JSON, for other programs; `docs/shelf.schema.json` describes it.
//!
//! Keys are never renamed or dropped, only added. Levels, shares and rates are decimal numbers here.

use serde::Serialize;

use super::view as words;
use crate::edition::Edition;
use crate::readiness::Verdict;
use crate::shelf::{Broken, Entry, Shelf};
use crate::summary::{Demand, DrillNeed, Era, Milli, PassageGroup};
use crate::tempo::TempoSource;
use crate::units::Hand;

/// Version of the layout; it grows when a key changes its meaning.
pub const SCHEMA: u32 = 1;

#[derive(Serialize)]
struct Report<'a> {
    schema: u32,
    learner: Option<&'a str>,
    left_out: usize,
    next_scales: NextView<'a>,
    pieces: Vec<PieceView<'a>>,
    broken: Vec<BrokenView<'a>>,
}

#[derive(Serialize)]
struct NextView<'a> {
    of: crate::shelf::Of,
    pieces: usize,
    share_now: f64,
    beyond_scales: f64,
    scales: Vec<NextScaleView<'a>>,
}

#[derive(Serialize)]
struct NextScaleView<'a> {
    scale: &'a str,
    share: f64,
    serves: usize,
    opens: usize,
}

#[derive(Serialize)]
struct BrokenView<'a> {
    file: &'a str,
    reason: &'a str,
}

/// A piece; a plan names its pieces in the same way.
#[derive(Serialize)]
struct PieceView<'a> {
    file: &'a str,
    title: &'a str,
    composer: Option<&'a str>,
    era: Option<Era>,
    level: LevelView,
    readiness: Option<ReadinessView<'a>>,
    tempo: TempoView,
    key: Option<&'a str>,
    later_keys: &'a [String],
    measures: usize,
    seconds: f64,
    notes: PerHand,
    right_share: f64,
    demands: Vec<DemandView<'a>>,
    passages: Vec<PassageView<'a>>,
    drills: Vec<DrillView<'a>>,
    edition: &'a Edition,
    remarks: usize,
}

#[derive(Serialize)]
struct LevelView {
    value: f64,
    level: Milli,
    low: f64,
    high: f64,
    band: &'static str,
}

#[derive(Serialize)]
struct ReadinessView<'a> {
    verdict: Verdict,
    why: &'a str,
    new_scales: &'a [String],
    above: f64,
}

#[derive(Serialize)]
struct TempoView {
    quarter_bpm: f64,
    source: TempoSource,
}

#[derive(Serialize)]
struct PerHand {
    #[serde(rename = "R")]
    right: usize,
    #[serde(rename = "L")]
    left: usize,
}

#[derive(Serialize)]
struct DemandView<'a> {
    name: &'a str,
    hand: Option<Hand>,
    value: f64,
    unit: &'a str,
    points: f64,
    measures: &'a [String],
}

#[derive(Serialize)]
struct PassageView<'a> {
    hand: Hand,
    kind: &'a str,
    key: Option<&'a str>,
    count: usize,
    notes: usize,
    rate: f64,
    measures: &'a [String; 2],
}

#[derive(Serialize)]
struct DrillView<'a> {
    scale: &'a str,
    hands: Vec<Hand>,
    octaves: u8,
    notes_per_second: f64,
    covers: f64,
    isolate: Option<&'a str>,
    measures: &'a [String],
}

fn decimal(thousandths: Milli) -> f64 {
    thousandths as f64 / 1000.0
}

fn rounded(value: f64) -> f64 {
    let rounded = (value * 1000.0).round() / 1000.0;
    if rounded.is_finite() { rounded + 0.0 } else { 0.0 }
}

/// Renders the shelf.
pub fn render(shelf: &Shelf) -> Result<String, serde_json::Error> {
    let next = &shelf.next_scales;
    let report = Report {
        schema: SCHEMA,
        learner: shelf.learner.as_deref(),
        left_out: shelf.left_out,
        next_scales: NextView {
            of: next.of,
            pieces: next.pieces,
            share_now: decimal(next.share_now),
            beyond_scales: decimal(next.beyond_scales),
            scales: next
                .scales
                .iter()
                .map(|scale| NextScaleView {
                    scale: &scale.scale,
                    share: decimal(scale.share),
                    serves: scale.serves,
                    opens: scale.opens,
                })
                .collect(),
        },
        pieces: shelf.entries.iter().map(piece).collect(),
        broken: shelf.broken.iter().map(|Broken { file, reason }| BrokenView { file, reason }).collect(),
    };
    serde_json::to_string_pretty(&report)
}

fn piece(entry: &Entry) -> PieceView<'_> {
    let piece = &entry.piece;
    PieceView {
        file: &entry.file,
        title: entry.title(),
        composer: piece.composer.as_deref(),
        era: piece.era,
        level: LevelView {
            value: decimal(piece.level.value),
            level: words::whole(piece.level.value),
            low: decimal(piece.level.low),
            high: decimal(piece.level.high),
            band: words::band(piece.level.value),
        },
        readiness: entry.standing.as_ref().map(|standing| ReadinessView {
            verdict: standing.verdict,
            why: &standing.sentence,
            new_scales: &standing.new_scales,
            above: decimal(standing.above),
        }),
        tempo: TempoView { quarter_bpm: rounded(piece.quarter_bpm), source: piece.tempo_source },
        key: piece.key.as_deref(),
        later_keys: &piece.later_keys,
        measures: piece.measures,
        seconds: rounded(piece.seconds),
        notes: PerHand { right: piece.notes[0], left: piece.notes[1] },
        right_share: decimal(piece.right_share),
        demands: piece.demands.iter().map(demand).collect(),
        passages: piece.passages.iter().map(passage).collect(),
        drills: piece.drills.iter().map(drill).collect(),
        edition: &piece.edition,
        remarks: piece.remarks,
    }
}

fn demand(demand: &Demand) -> DemandView<'_> {
    DemandView {
        name: &demand.name,
        hand: demand.hand,
        value: rounded(demand.value),
        unit: &demand.unit,
        points: decimal(demand.points),
        measures: &demand.measures,
    }
}

fn passage(passage: &PassageGroup) -> PassageView<'_> {
    PassageView {
        hand: passage.hand,
        kind: &passage.kind,
        key: passage.key.as_deref(),
        count: passage.count,
        notes: passage.notes,
        rate: decimal(passage.rate),
        measures: &passage.measures,
    }
}

fn drill(drill: &DrillNeed) -> DrillView<'_> {
    DrillView {
        scale: &drill.scale,
        hands: Hand::BOTH.into_iter().filter(|hand| drill.hands[*hand as usize]).collect(),
        octaves: drill.octaves,
        notes_per_second: decimal(drill.rate),
        covers: decimal(drill.covers),
        isolate: drill.isolate.as_deref(),
        measures: &drill.measures,
    }
}

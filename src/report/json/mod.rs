//! The report as JSON, for other programs; `docs/assess.schema.json` describes it.
//!
//! In: an [`Analysis`]. Out: one object. Keys are never renamed or dropped, only added; numbers are rounded to
//! thousandths, so that the text is the same on every machine.

mod drills;
mod fingering;
mod level;
mod readiness;
mod scale;

pub use fingering::render_fingering;
pub use scale::render_scale;

use serde::{Serialize, Serializer};

use self::drills::{Coverage, DrillView};
use self::readiness::ReadinessView;
use super::view;
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::drills::advice::Advice;
use crate::edition::Edition;
use crate::error::Remark;
use crate::passages::{Material, Passage, PassageKind};
use crate::readiness::Fit;
use crate::tempo::TempoSource;
use crate::units::{Hand, Motion, Pitch};

/// Version of the layout; it grows when a key changes its meaning.
pub const SCHEMA: u32 = 1;

/// Crossings listed at most. Chosen by us: more than a page of them says nothing new.
const HARDEST: usize = 12;

/// Renders one score; `file` is the name it was given by.
pub fn render(analysis: &Analysis, file: &str, fit: Option<&Fit>) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&report(analysis, file, fit))
}

/// Renders several scores as an array.
pub fn render_all<'a>(
    analyses: impl IntoIterator<Item = (&'a Analysis, &'a str, Option<&'a Fit>)>,
) -> Result<String, serde_json::Error> {
    let reports: Vec<Report<'_>> =
        analyses.into_iter().map(|(analysis, file, fit)| report(analysis, file, fit)).collect();
    serde_json::to_string_pretty(&reports)
}

#[derive(Serialize)]
struct Report<'a> {
    schema: u32,
    file: &'a str,
    score: ScoreFacts<'a>,
    level: level::LevelView<'a>,
    loads: Vec<MeasureLoad<'a>>,
    crossings: Crossings<'a>,
    passages: Vec<PassageView<'a>>,
    drills: Vec<DrillView<'a>>,
    coverage: Coverage,
    practice: &'a [Advice],
    edition: EditionView<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    readiness: Option<ReadinessView<'a>>,
    cautions: &'a [String],
    remarks: Vec<RemarkView<'a>>,
}

#[derive(Serialize)]
struct ScoreFacts<'a> {
    title: Option<&'a str>,
    composer: Option<&'a str>,
    measures: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    excerpt: Option<[&'a str; 2]>,
    notes: PerHand<usize>,
    keys: Vec<KeyFrom<'a>>,
    times: Vec<TimeFrom<'a>>,
    tempo: TempoView,
}

#[derive(Serialize)]
struct PerHand<T> {
    #[serde(rename = "R")]
    right: T,
    #[serde(rename = "L")]
    left: T,
}

impl<T> PerHand<T> {
    fn new(of: impl Fn(Hand) -> T) -> Self {
        Self { right: of(Hand::Right), left: of(Hand::Left) }
    }
}

#[derive(Serialize)]
struct KeyFrom<'a> {
    measure: &'a str,
    key: String,
}

#[derive(Serialize)]
struct TimeFrom<'a> {
    measure: &'a str,
    time: &'a str,
}

#[derive(Serialize)]
struct TempoView {
    quarter_bpm: Rounded,
    source: TempoSource,
}

#[derive(Serialize)]
struct MeasureLoad<'a> {
    measure: &'a str,
    #[serde(rename = "R")]
    right: Rounded,
    #[serde(rename = "L")]
    left: Rounded,
}

#[derive(Serialize)]
struct Crossings<'a> {
    #[serde(flatten)]
    counts: PerHand<CrossingCounts>,
    hardest: Vec<CrossingView<'a>>,
}

#[derive(Serialize)]
struct CrossingCounts {
    #[serde(rename = "thumb under")]
    thumb_under: usize,
    #[serde(rename = "finger over")]
    finger_over: usize,
}

#[derive(Serialize)]
struct CrossingView<'a> {
    hand: Hand,
    kind: CrossingKind,
    measure: &'a str,
    beat: Rounded,
    from: KeyAndFinger,
    to: KeyAndFinger,
    interval: i32,
    effort: Rounded,
    times: usize,
}

#[derive(Serialize)]
struct KeyAndFinger {
    #[serde(serialize_with = "as_text")]
    pitch: Pitch,
    finger: u8,
}

#[derive(Serialize)]
struct PassageView<'a> {
    hand: Hand,
    kind: PassageKind,
    key: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    detail: Option<&'static str>,
    direction: Option<Motion>,
    first_measure: &'a str,
    last_measure: &'a str,
    notes: usize,
    crossings: usize,
    rate: Rounded,
    found: FindingView,
}

/// What was measured, and how much of it makes a passage.
#[derive(Serialize)]
struct FindingView {
    what: &'static str,
    value: Rounded,
    limit: Rounded,
}

#[derive(Serialize)]
struct EditionView<'a> {
    #[serde(flatten)]
    edition: &'a Edition,
    /// The same in sentences.
    observations: Vec<String>,
}

#[derive(Serialize)]
struct RemarkView<'a> {
    #[serde(flatten)]
    remark: &'a Remark,
    text: String,
}

/// A number to thousandths.
struct Rounded(f64);

impl Serialize for Rounded {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let rounded = (self.0 * 1000.0).round() / 1000.0;
        serializer.serialize_f64(if rounded.is_finite() { rounded + 0.0 } else { 0.0 })
    }
}

fn as_text<S: Serializer>(value: &impl ToString, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&value.to_string())
}

fn report<'a>(analysis: &'a Analysis, file: &'a str, fit: Option<&'a Fit>) -> Report<'a> {
    Report {
        schema: SCHEMA,
        file,
        score: score(analysis),
        level: level::level(analysis),
        loads: loads(analysis),
        crossings: crossings(analysis),
        passages: passages(analysis),
        drills: drills::drills(analysis),
        coverage: Coverage::new(analysis),
        practice: drills::practice(analysis),
        edition: EditionView { edition: &analysis.edition, observations: analysis.edition.observations() },
        readiness: fit.map(ReadinessView::new),
        cautions: &analysis.cautions,
        remarks: analysis.remarks.iter().map(|remark| RemarkView { remark, text: remark.to_string() }).collect(),
    }
}

fn score(analysis: &Analysis) -> ScoreFacts<'_> {
    let score = &analysis.score;
    let last = score.measures.len().saturating_sub(1);
    ScoreFacts {
        title: score.title.as_deref(),
        composer: score.composer.as_deref(),
        measures: score.measures.len(),
        excerpt: analysis.excerpt.as_ref().map(|_| [view::number(score, 0), view::number(score, last)]),
        notes: PerHand::new(|hand| analysis.line(hand).notes.len()),
        keys: view::keys(analysis)
            .into_iter()
            .map(|(measure, key)| KeyFrom { measure: view::number(score, measure), key: key.to_string() })
            .collect(),
        times: score
            .times
            .iter()
            .map(|time| TimeFrom { measure: view::number(score, time.measure), time: &time.text })
            .collect(),
        tempo: TempoView { quarter_bpm: Rounded(analysis.tempo.quarter_bpm), source: analysis.tempo.source },
    }
}

fn loads(analysis: &Analysis) -> Vec<MeasureLoad<'_>> {
    let pairs = analysis.right.loads.iter().zip(&analysis.left.loads);
    let measure = |(at, (right, left)): (usize, (&crate::loads::Load, &crate::loads::Load))| MeasureLoad {
        measure: view::number(&analysis.score, at),
        right: Rounded(right.effort_per_second),
        left: Rounded(left.effort_per_second),
    };
    pairs.enumerate().map(measure).collect()
}

fn crossings(analysis: &Analysis) -> Crossings<'_> {
    let counts = PerHand::new(|hand| CrossingCounts {
        thumb_under: view::crossings(analysis, hand, CrossingKind::ThumbUnder),
        finger_over: view::crossings(analysis, hand, CrossingKind::FingerOver),
    });
    let hardest = view::hardest(analysis, HARDEST).into_iter().map(|spot| {
        let movement = spot.movement;
        let (from, to) = (&analysis.score.notes[movement.from], &analysis.score.notes[movement.to]);
        CrossingView {
            hand: movement.hand,
            kind: spot.kind,
            measure: view::number(&analysis.score, to.measure),
            beat: Rounded(view::beat(&analysis.score, movement.to)),
            from: KeyAndFinger { pitch: from.pitch, finger: movement.from_finger.number() },
            to: KeyAndFinger { pitch: to.pitch, finger: movement.to_finger.number() },
            interval: movement.interval,
            effort: Rounded(movement.effort),
            times: spot.measures.len(),
        }
    });
    Crossings { counts, hardest: hardest.collect() }
}

/// All passages of both hands in the order in which they begin, the right hand first.
fn passages(analysis: &Analysis) -> Vec<PassageView<'_>> {
    let onset =
        |passage: &Passage| analysis.line(passage.hand).slices.get(passage.first_slice).map(|slice| slice.onset);
    let mut all: Vec<&Passage> = Hand::BOTH.iter().flat_map(|hand| &analysis.playing(*hand).passages).collect();
    all.sort_by_key(|passage| (onset(passage), passage.hand));
    let view = |passage: &Passage| PassageView {
        hand: passage.hand,
        kind: passage.kind,
        key: passage.material.as_ref().map(Material::key_name),
        detail: passage.detail(),
        direction: passage.direction,
        first_measure: view::number(&analysis.score, passage.first_measure),
        last_measure: view::number(&analysis.score, passage.last_measure),
        notes: passage.notes,
        crossings: passage.crossings,
        rate: Rounded(passage.rate),
        found: FindingView {
            what: passage.finding.what,
            value: Rounded(passage.finding.value),
            limit: Rounded(passage.finding.limit),
        },
    };
    all.into_iter().map(view).collect()
}

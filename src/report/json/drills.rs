//! The drills as JSON.

use serde::Serialize;

use super::{KeyAndFinger, Rounded};
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::drills::advice::{Advice, PRACTICE};
use crate::drills::{Drill, Mark, Reason, ReasonKind, Transition};
use crate::passages::Material;
use crate::report::view::number;
use crate::units::{Hand, Motion};

#[derive(Serialize)]
pub struct DrillView<'a> {
    scale: String,
    form: &'static str,
    hand: &'static str,
    direction: &'static str,
    octaves: u8,
    quarter_bpm: u16,
    notes_a_beat: u8,
    start: Mark,
    rate: Rounded,
    covers: Rounded,
    because: Vec<ReasonView<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    isolate: Option<TransitionView<'a>>,
}

#[derive(Serialize)]
struct ReasonView<'a> {
    serves: &'static str,
    hand: Hand,
    direction: Motion,
    count: usize,
    measures: Vec<&'a str>,
    rate: Rounded,
}

#[derive(Serialize)]
struct TransitionView<'a> {
    hand: Hand,
    kind: CrossingKind,
    direction: Motion,
    from: KeyAndFinger,
    to: KeyAndFinger,
    #[serde(skip_serializing_if = "Option::is_none")]
    measure: Option<&'a str>,
}

#[derive(Serialize)]
pub struct Coverage {
    by_drills: Rounded,
    by_known_scales: Rounded,
    /// Crossings of arpeggios and other textures, which no scale contains.
    beyond_scales: Rounded,
}

impl Coverage {
    pub fn new(analysis: &Analysis) -> Self {
        let drills = &analysis.drills;
        Self {
            by_drills: Rounded(drills.by_drills),
            by_known_scales: Rounded(drills.by_known_scales),
            beyond_scales: Rounded(drills.beyond_scales),
        }
    }
}

/// How to practise; nothing where there is nothing to drill.
pub fn practice(analysis: &Analysis) -> &'static [Advice] {
    if analysis.drills.list.is_empty() { &[] } else { &PRACTICE }
}

pub fn drills(analysis: &Analysis) -> Vec<DrillView<'_>> {
    analysis.drills.list.iter().map(|found| drill(analysis, found)).collect()
}

fn drill<'a>(analysis: &'a Analysis, drill: &Drill) -> DrillView<'a> {
    DrillView {
        scale: Material::Scale(drill.scale).key_name(),
        form: drill.scale.form().name(),
        hand: drill.hand.map_or("both", |hand| if hand == Hand::Right { "R" } else { "L" }),
        direction: drill.direction.map_or("both", Motion::name),
        octaves: drill.octaves,
        quarter_bpm: drill.goal.quarter_bpm,
        notes_a_beat: drill.goal.notes_a_beat,
        start: drill.start,
        rate: Rounded(drill.rate),
        covers: Rounded(drill.covers),
        because: drill.because.iter().map(|found| reason(analysis, found)).collect(),
        isolate: drill.isolate.map(|step| transition(analysis, &step)),
    }
}

fn reason<'a>(analysis: &'a Analysis, reason: &Reason) -> ReasonView<'a> {
    ReasonView {
        serves: match reason.kind {
            ReasonKind::Runs => "scale run",
            ReasonKind::Crossings(kind) => kind.name(),
        },
        hand: reason.hand,
        direction: reason.motion,
        count: reason.count,
        measures: reason.measures.iter().map(|measure| number(&analysis.score, *measure)).collect(),
        rate: Rounded(reason.rate),
    }
}

fn transition<'a>(analysis: &'a Analysis, step: &Transition) -> TransitionView<'a> {
    TransitionView {
        hand: step.hand,
        kind: step.kind,
        direction: step.motion,
        from: KeyAndFinger { pitch: step.from, finger: step.from_finger.number() },
        to: KeyAndFinger { pitch: step.to, finger: step.to_finger.number() },
        measure: step.measure.map(|measure| number(&analysis.score, measure)),
    }
}

//! Why a passage is fingered as it is, as JSON: every slice with its fingers and what each rule cost.

use serde::Serialize;

use super::SCHEMA;
use crate::analysis::Analysis;
use crate::fingering::{FingerSource, POINT, Rule, SliceCosts};
use crate::report::view::beat;
use crate::units::{Finger, Hand};

#[derive(Serialize)]
struct FingeringView<'a> {
    schema: u32,
    title: &'a str,
    slices: Vec<SliceView<'a>>,
}

#[derive(Serialize)]
struct SliceView<'a> {
    hand: Hand,
    measure: &'a str,
    beat: f64,
    notes: Vec<NoteView>,
    costs: Vec<CostView>,
}

#[derive(Serialize)]
struct NoteView {
    pitch: String,
    finger: Option<u8>,
    written: bool,
}

#[derive(Serialize)]
struct CostView {
    rule: Rule,
    points: f64,
}

/// Renders the costs of the hands that are given.
///
/// # Errors
/// Never, as far as we know: all keys are strings and all numbers finite.
pub fn render_fingering(analysis: &Analysis, costs: &[(Hand, Vec<SliceCosts>)]) -> Result<String, serde_json::Error> {
    let score = &analysis.score;
    let slice = |hand: Hand, costs: &SliceCosts| {
        let (line, fingering) = (analysis.line(hand), &analysis.playing(hand).fingering);
        let slice = &line.slices[costs.slice];
        let note = |place: usize| NoteView {
            pitch: score.notes[line.notes[place]].pitch.to_string(),
            finger: fingering.fingers[place].map(Finger::number),
            written: fingering.sources[place] == FingerSource::Written,
        };
        let first = line.notes[slice.first];
        SliceView {
            hand,
            measure: score.measures.get(score.notes[first].measure).map_or("", |measure| measure.number.as_str()),
            beat: beat(score, first),
            notes: (slice.first..slice.first + slice.count).map(note).collect(),
            costs: costs
                .costs
                .iter()
                .map(|(rule, cost)| CostView { rule: *rule, points: f64::from(*cost) / f64::from(POINT) })
                .collect(),
        }
    };
    serde_json::to_string_pretty(&FingeringView {
        schema: SCHEMA,
        title: score.title.as_deref().unwrap_or(""),
        slices: costs.iter().flat_map(|(hand, slices)| slices.iter().map(|costs| slice(*hand, costs))).collect(),
    })
}

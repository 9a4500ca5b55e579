//! One scale as JSON.

use serde::Serialize;

use super::SCHEMA;
use crate::crossing::CrossingKind;
use crate::scales::{Awkwardness, Key, ScaleCrossing, ScaleReport, ScaleRun};
use crate::units::{Finger, Hand, Motion, Pitch};

/// Renders one scale.
///
/// # Errors
/// Never, as far as we know: all keys are strings and all numbers finite.
pub fn render_scale(report: &ScaleReport) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&view(report))
}

#[derive(Serialize)]
struct ScaleView {
    schema: u32,
    scale: String,
    form: String,
    octaves: u8,
    #[serde(skip_serializing_if = "Option::is_none")]
    signature: Option<Signature>,
    #[serde(skip_serializing_if = "Option::is_none")]
    relative: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    twin: Option<String>,
    runs: Vec<RunView>,
    crossings: Vec<CrossingView>,
    #[serde(skip_serializing_if = "Option::is_none")]
    isolate: Option<Isolate>,
}

#[derive(Serialize)]
struct Signature {
    fifths: i8,
    accidentals: Vec<String>,
}

#[derive(Serialize)]
struct RunView {
    hand: Hand,
    direction: Motion,
    pitches: Vec<String>,
    fingers: Vec<u8>,
    alternatives: Vec<Vec<u8>>,
}

#[derive(Serialize)]
struct CrossingView {
    hand: Hand,
    kind: CrossingKind,
    direction: Motion,
    from: KeyAndFinger,
    to: KeyAndFinger,
    interval: i32,
    times: usize,
    awkwardness: i32,
    points: Awkwardness,
    why: String,
}

#[derive(Serialize)]
struct KeyAndFinger {
    pitch: String,
    finger: u8,
}

#[derive(Serialize)]
struct Isolate {
    hand: Hand,
    direction: Motion,
    from: KeyAndFinger,
    to: KeyAndFinger,
    how: String,
}

fn view(report: &ScaleReport) -> ScaleView {
    let key = report.scale.key();
    ScaleView {
        schema: SCHEMA,
        scale: report.scale.to_string(),
        form: report.scale.form().to_string(),
        octaves: report.octaves,
        signature: key.map(|key| Signature {
            fifths: key.fifths(),
            accidentals: key.signature().iter().map(ToString::to_string).collect(),
        }),
        relative: key.map(|key| key.relative().to_string()),
        twin: key.and_then(Key::twin).map(|twin| twin.to_string()),
        runs: report.runs.iter().map(run).collect(),
        crossings: report.crossings.iter().map(|ranked| crossing(&ranked.crossing, ranked.times)).collect(),
        isolate: report.isolate().map(isolate),
    }
}

fn run(run: &ScaleRun) -> RunView {
    let numbers = |fingers: &[Finger]| fingers.iter().map(|finger| finger.number()).collect();
    RunView {
        hand: run.hand,
        direction: run.motion,
        pitches: run.pitches.iter().map(Pitch::to_string).collect(),
        fingers: numbers(&run.fingers),
        alternatives: run.alternatives.iter().map(|fingers| numbers(fingers)).collect(),
    }
}

fn crossing(found: &ScaleCrossing, times: usize) -> CrossingView {
    CrossingView {
        hand: found.crossing.hand,
        kind: found.crossing.kind,
        direction: found.motion,
        from: end(found.from, found.crossing.from_finger),
        to: end(found.to, found.crossing.to_finger),
        interval: found.crossing.interval,
        times,
        awkwardness: found.awkwardness.total(),
        points: found.awkwardness,
        why: found.why(),
    }
}

fn isolate(found: &ScaleCrossing) -> Isolate {
    Isolate {
        hand: found.crossing.hand,
        direction: found.motion,
        from: end(found.from, found.crossing.from_finger),
        to: end(found.to, found.crossing.to_finger),
        how: found.how(),
    }
}

fn end(pitch: Pitch, finger: Finger) -> KeyAndFinger {
    KeyAndFinger { pitch: pitch.to_string(), finger: finger.number() }
}

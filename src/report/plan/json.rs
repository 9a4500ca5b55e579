//! The plan as JSON, for other programs; `docs/plan.schema.json` describes it.

use serde::Serialize;

use super::{Told, view};
use crate::plan::{Lesson, PlanGraph, Unreachable};
use crate::readiness::Verdict;

/// Version of the layout; it grows when a key changes its meaning.
pub const SCHEMA: u32 = 1;

#[derive(Serialize)]
struct Report<'a> {
    schema: u32,
    learner: Option<&'a str>,
    basis: &'a str,
    share_now: f64,
    lessons: Vec<LessonView<'a>>,
    ready_now: Vec<PieceView<'a>>,
    also_reachable: usize,
    unreachable: Vec<UnreachableView<'a>>,
    graph: &'a PlanGraph,
}

#[derive(Serialize)]
struct LessonView<'a> {
    lesson: usize,
    week: usize,
    weeks: usize,
    scales: &'a [String],
    piece: Option<PieceView<'a>>,
    verdict: Option<Verdict>,
    because: &'a [String],
    alternatives: Vec<PieceView<'a>>,
    share: f64,
}

#[derive(Serialize)]
struct PieceView<'a> {
    file: &'a str,
    title: &'a str,
    composer: Option<&'a str>,
    level: f64,
}

#[derive(Serialize)]
struct UnreachableView<'a> {
    #[serde(flatten)]
    piece: Option<PieceView<'a>>,
    why: &'a str,
    bridge: &'a str,
}

/// Renders the plan.
pub fn render(told: &Told<'_>) -> Result<String, serde_json::Error> {
    let plan = told.plan;
    serde_json::to_string_pretty(&Report {
        schema: SCHEMA,
        learner: told.learner,
        basis: &plan.basis,
        share_now: decimal(plan.share_now),
        lessons: plan.lessons.iter().map(|lesson| self::lesson(told, lesson)).collect(),
        ready_now: pieces(told, &plan.ready_now),
        also_reachable: plan.also_reachable,
        unreachable: plan.unreachable.iter().map(|missed| unreachable(told, missed)).collect(),
        graph: &plan.graph,
    })
}

fn lesson<'a>(told: &Told<'a>, lesson: &'a Lesson) -> LessonView<'a> {
    LessonView {
        lesson: lesson.number,
        week: lesson.week,
        weeks: lesson.weeks,
        scales: &lesson.scales,
        piece: lesson.piece.and_then(|index| piece(told, index)),
        verdict: lesson.piece.map(|_| lesson.verdict),
        because: &lesson.because,
        alternatives: pieces(told, &lesson.alternatives),
        share: decimal(lesson.share),
    }
}

fn unreachable<'a>(told: &Told<'a>, missed: &'a Unreachable) -> UnreachableView<'a> {
    UnreachableView { piece: piece(told, missed.piece), why: &missed.why, bridge: &missed.bridge }
}

fn pieces<'a>(told: &Told<'a>, indices: &[usize]) -> Vec<PieceView<'a>> {
    indices.iter().filter_map(|index| piece(told, *index)).collect()
}

fn piece<'a>(told: &Told<'a>, index: usize) -> Option<PieceView<'a>> {
    let entry = view::entry(told, index)?;
    Some(PieceView {
        file: &entry.file,
        title: entry.title(),
        composer: entry.piece.composer.as_deref(),
        level: decimal(entry.piece.level.value),
    })
}

fn decimal(thousandths: i64) -> f64 {
    thousandths as f64 / 1000.0
}

//! What the piece is to the player, as the key `readiness` of a report.

use serde::Serialize;

use crate::readiness::{Concern, Fit, Gap, GapSize, Schedule, Verdict};
use crate::units::Hand;

/// The value of the key.
#[derive(Serialize)]
pub(super) struct ReadinessView<'a> {
    learner: Option<&'a str>,
    verdict: Verdict,
    why: String,
    basis: &'a str,
    gaps: Vec<GapView<'a>>,
    new_scales: Vec<String>,
    practised_now: f64,
    practised_then: f64,
    schedule: &'a Schedule,
}

#[derive(Serialize)]
struct GapView<'a> {
    concern: &'a str,
    hand: Option<Hand>,
    needs: f64,
    has: f64,
    unit: &'a str,
    size: GapSize,
    reason: &'a str,
    measures: &'a [String],
    closes: &'a [String],
}

impl<'a> ReadinessView<'a> {
    pub(super) fn new(fit: &'a Fit) -> Self {
        let readiness = &fit.readiness;
        Self {
            learner: fit.learner.as_deref(),
            verdict: readiness.verdict,
            why: readiness.sentence(),
            basis: &readiness.basis,
            gaps: readiness.gaps.iter().map(gap).collect(),
            new_scales: readiness.new_scales(),
            practised_now: readiness.scales.share_now as f64 / 1000.0,
            practised_then: readiness.scales.share_then as f64 / 1000.0,
            schedule: &fit.schedule,
        }
    }
}

fn gap(gap: &Gap) -> GapView<'_> {
    let concern = match &gap.concern {
        Concern::Level => "level",
        Concern::Crossings => "crossings",
        Concern::Speed => "speed of runs",
        Concern::Span => "span",
        Concern::Demand(name) => name,
    };
    let Gap { hand, needs, has, unit, size, reason, measures, closes, .. } = gap;
    GapView { concern, hand: *hand, needs: *needs, has: *has, unit, size: *size, reason, measures, closes }
}

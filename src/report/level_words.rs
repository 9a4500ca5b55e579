//! The level in a teacher's words, for the reports that are read by people.

use super::level_terms::terms;
use super::view::{first_beat, measure_range};
use crate::analysis::Analysis;
use crate::level::{Excess, Reason, Spot, Whose, level_in_tenths};

/// Levels of a reason or a spot worth a line. Chosen by us: a tenth of a level is less than teachers agree on.
const WORTH_A_LINE: f64 = 0.1;

/// Reasons shown. Chosen by us: what a teacher would say before the lesson goes on.
const REASONS: usize = 6;

/// `level 5 of 9 (5.4), intermediate; likely 4 to 6`.
pub fn headline(analysis: &Analysis) -> String {
    let level = &analysis.level;
    let likely = if level.low == level.high {
        format!("most likely {}", level.low)
    } else {
        format!("likely {} to {}", level.low, level.high)
    };
    let what = if analysis.excerpt.is_some() { "; the piece it is from" } else { ";" };
    format!("level {} of 9 ({}), {}{what} {likely}", level.level, level_in_tenths(level.value), level.band.name())
}

/// `level 5 but for measures 41-44`, when one place makes a level.
pub fn exception(analysis: &Analysis) -> Option<String> {
    let but = analysis.level.exception?;
    Some(format!("level {} but for {}", but.level, measures(analysis, but.rows)))
}

/// The reasons worth a line, strongest first.
pub fn reasons(analysis: &Analysis) -> impl Iterator<Item = &Reason> {
    analysis.level.reasons.iter().filter(|reason| reason.points >= WORTH_A_LINE).take(REASONS)
}

/// `leaps, left hand: skips up to a tenth in measures 31-34 (0.4 m/s)`, and the bare figure where that says it all.
pub fn reason(analysis: &Analysis, reason: &Reason) -> String {
    let subject = subject(reason.name, reason.hand);
    let figure = format!("{} {}", number(reason.value, reason.unit), reason.unit);
    let place = measures(analysis, reason.rows);
    match terms(analysis, reason.demand, reason.hand, reason.rows) {
        Some(terms) => format!("{subject}: {terms} in {place} ({figure})"),
        None => format!("{subject}: {figure} in {place}"),
    }
}

/// The hardest spots that stand out, hardest first.
pub fn spots(analysis: &Analysis) -> impl Iterator<Item = &Spot> {
    analysis.level.spots.iter().filter(|spot| spot.above >= WORTH_A_LINE)
}

/// `measures 31-34, 1.2 levels above the average (5.1 without): leaps, left hand (skips up to a tenth); palette`.
pub fn spot(analysis: &Analysis, spot: &Spot) -> String {
    let place = measures(analysis, spot.rows);
    let why: Vec<String> = spot.reasons.iter().map(|reason| with_terms(analysis, reason)).collect();
    let why = if why.is_empty() { String::new() } else { format!(": {}", why.join("; ")) };
    let without = level_in_tenths(spot.without);
    format!("{place}, {:.1} levels above the average ({without} without){why}", spot.above)
}

/// `5.2 at 83 (90 %), 5.0 at 74 (80 %)`, in beats a minute as the tempo is given.
pub fn practice(analysis: &Analysis) -> String {
    let (_, quarters) = first_beat(analysis);
    let steps = analysis.level.practice.iter().map(|slower| {
        let level = level_in_tenths(slower.value);
        format!("{level} at {:.0} ({} %)", slower.quarter_bpm / quarters, slower.percent)
    });
    steps.collect::<Vec<_>>().join(", ")
}

/// `leaps, right hand (skips up to a tenth) from 0.9 to about 0.6 m/s`, each thing that would have to go.
pub fn easier(analysis: &Analysis) -> Vec<String> {
    let excess = |Excess { reason, usual, .. }: &Excess| {
        let (subject, unit) = (with_terms(analysis, reason), reason.unit);
        format!("{subject} from {} to about {} {unit}", number(reason.value, unit), number(*usual, unit))
    };
    analysis.level.easier.iter().map(excess).collect()
}

/// `leaps, left hand (skips up to a tenth)`.
fn with_terms(analysis: &Analysis, reason: &Reason) -> String {
    let subject = subject(reason.name, reason.hand);
    let terms = terms(analysis, reason.demand, reason.hand, reason.rows);
    terms.map_or(subject.clone(), |terms| format!("{subject} ({terms})"))
}

fn subject(name: &str, hand: Whose) -> String {
    match hand {
        Whose::Both => name.to_owned(),
        Whose::R | Whose::L => format!("{name}, {}", hand.name()),
    }
}

/// Two digits that matter; whole numbers of what is counted and no rate.
fn number(value: f64, unit: &str) -> String {
    if value >= 9.95 || !unit.contains('/') { format!("{value:.0}") } else { format!("{value:.1}") }
}

fn measures(analysis: &Analysis, rows: (usize, usize)) -> String {
    let word = if rows.0 == rows.1 { "measure" } else { "measures" };
    format!("{word} {}", measure_range(&analysis.score, rows.0, rows.1))
}

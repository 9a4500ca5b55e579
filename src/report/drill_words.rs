//! The drills in a teacher's words, for the reports that are read by people.

use super::view::measure_list;
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::drills::{Drill, Mark, Reason, ReasonKind};
use crate::scales::{NoteName, way};
use crate::units::Hand;

/// Pieces of a list of measures that are shown before the rest is only counted.
const MEASURES: usize = 6;

/// Reasons told. Chosen by us: what comes after these adds little.
const REASONS: usize = 3;

/// `E-flat major, right hand, coming down, 2 octaves`.
pub fn title(drill: &Drill) -> String {
    let hand = drill.hand.map_or("both hands", Hand::name);
    let direction = drill.direction.map_or("up and down", way);
    format!("{}, {hand}, {direction}, {} octaves", drill.scale, drill.octaves)
}

/// `two notes a beat at quarter = 66, up to four at 66, as fast as the piece`.
pub fn speed(drill: &Drill) -> String {
    let notes = |mark: Mark| ["one", "two", "four"][usize::from(mark.notes_a_beat / 2).min(2)];
    let (start, goal) = (drill.start, drill.goal);
    let plural = if start.notes_a_beat == 1 { "note" } else { "notes" };
    let from = format!("{} {plural} a beat at quarter = {}", notes(start), start.quarter_bpm);
    let to = match (start == goal, start.notes_a_beat == goal.notes_a_beat) {
        (true, _) => String::new(),
        (false, true) => format!(", up to {}", goal.quarter_bpm),
        (false, false) => format!(", up to {} at {}", notes(goal), goal.quarter_bpm),
    };
    format!("{from}{to}, as fast as the piece")
}

/// What it serves: `3 runs coming down, right hand, up to 8.0 notes/s: measures 5, 9-11`; the hand and the direction are
/// left out where the drill has only one.
pub fn reasons(analysis: &Analysis, drill: &Drill) -> Vec<String> {
    drill.because.iter().take(REASONS).map(|reason| words(analysis, drill, reason)).collect()
}

fn words(analysis: &Analysis, drill: &Drill, reason: &Reason) -> String {
    let what = match (reason.kind, reason.count) {
        (ReasonKind::Runs, 1) => "run",
        (ReasonKind::Runs, _) => "runs",
        (ReasonKind::Crossings(CrossingKind::ThumbUnder), 1) => "passing of the thumb",
        (ReasonKind::Crossings(CrossingKind::ThumbUnder), _) => "passings of the thumb",
        (ReasonKind::Crossings(CrossingKind::FingerOver), 1) => "crossing over the thumb",
        (ReasonKind::Crossings(CrossingKind::FingerOver), _) => "crossings over the thumb",
    };
    let mut text = format!("{} {what}", reason.count);
    if drill.direction.is_none() {
        text.push_str(&format!(" {}", way(reason.motion)));
    }
    if drill.hand.is_none() {
        text.push_str(&format!(", {}", reason.hand.name()));
    }
    let place = if reason.measures.len() == 1 { "measure" } else { "measures" };
    let list = measure_list(&analysis.score, reason.measures.iter().copied(), MEASURES);
    text.push_str(&format!(", up to {:.1} notes/s: {place} {list}", reason.rate));
    text
}

/// The transition to isolate: `right hand, coming down, C (1) to B-flat (4), finger over; hardest in measure 31`.
pub fn isolate(analysis: &Analysis, drill: &Drill) -> Option<String> {
    let step = drill.isolate?;
    let place = step.measure.map_or_else(String::new, |measure| {
        format!("; hardest in measure {}", super::view::number(&analysis.score, measure))
    });
    Some(format!(
        "{}, {}, {} ({}) to {} ({}), {}{place}",
        step.hand.name(),
        way(step.motion),
        NoteName::from(step.from),
        step.from_finger,
        NoteName::from(step.to),
        step.to_finger,
        step.kind.name()
    ))
}

/// How much the drills cover, in a sentence.
pub fn coverage(analysis: &Analysis) -> String {
    let drills = &analysis.drills;
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    let crossings = analysis.right.movements.iter().chain(&analysis.left.movements).any(|m| m.crossing().is_some());
    if !crossings {
        return "The piece has no crossing, so no scale has to come first.".to_owned();
    }
    let mut text = match drills.list.len() {
        0 => "No scale is needed first".to_owned(),
        1 => format!("This scale practises {} of the effort of all crossings", percent(drills.by_drills)),
        _ => format!("These scales practise {} of the effort of all crossings", percent(drills.by_drills)),
    };
    if drills.by_known_scales > 0.0 {
        text.push_str(&format!("; the scales the player has, {}", percent(drills.by_known_scales)));
    }
    if drills.beyond_scales >= 0.005 {
        text.push_str(&format!("; {} is in no scale", percent(drills.beyond_scales)));
    }
    text.push('.');
    text
}

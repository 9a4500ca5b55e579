//! What one drill is: the scale with hand, direction, octaves and speed, why, and the transition to isolate.
//!
//! In: the chosen scales, the runs made of them and the crossings they practise. Out: a [`Drill`] for each scale.

use std::cmp::Reverse;

use super::candidates::{OCTAVES, candidates, steps_of};
use super::graph::{CrossingGroup, PracticeGraph, covered};
use super::metronome::{Mark, mark_for};
use crate::crossing::{Crossing, CrossingKind, Practice};
use crate::movements::Movement;
use crate::passages::{Material, Passage};
use crate::scales::{Form, Scale, ScaleCrossing, scale_lines};
use crate::score::{MeasureIndex, Score};
use crate::units::{Finger, Hand, Motion, Pitch};

/// Octaves of a drill, at least and at most (common practice, no source: two first, then three and four).
const LEAST_OCTAVES: usize = 2;
const MOST_OCTAVES: usize = 4;
/// Where a drill begins, as a part of the speed of the piece. Chosen by us: half of it is slow enough to place each thumb.
const START: f64 = 0.5;
/// Slowest and fastest drill, in notes a second. Chosen by us: below one a scale is no line any more, and above sixteen no
/// hand plays.
const SLOWEST: f64 = 1.0;
const FASTEST: f64 = 16.0;

/// A scale to drill.
#[derive(Clone, PartialEq, Debug)]
pub struct Drill {
    /// Which scale, named as the runs of the piece are written.
    pub scale: Scale,
    /// Hand that needs it; none for both.
    pub hand: Option<Hand>,
    /// Direction that the piece asks for; none for both.
    pub direction: Option<Motion>,
    /// Octaves.
    pub octaves: u8,
    /// Notes a second at which the drill equals the piece.
    pub rate: f64,
    /// The same on the metronome.
    pub goal: Mark,
    /// Where to begin.
    pub start: Mark,
    /// Share of the effort of all crossings of the piece that it covers, 0 to 1.
    pub covers: f64,
    /// Why, the weightiest first.
    pub because: Vec<Reason>,
    /// The transition to isolate.
    pub isolate: Option<Transition>,
}

/// What a drill serves.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ReasonKind {
    /// Runs are made of the scale.
    Runs,
    /// It contains crossings of the piece.
    Crossings(CrossingKind),
}

/// One reason for a drill.
#[derive(Clone, PartialEq, Debug)]
pub struct Reason {
    /// What it serves.
    pub kind: ReasonKind,
    /// Of which hand.
    pub hand: Hand,
    /// In which direction.
    pub motion: Motion,
    /// How many.
    pub count: usize,
    /// Where, in order, each measure once.
    pub measures: Vec<MeasureIndex>,
    /// Fastest, in notes a second.
    pub rate: f64,
}

/// One step of a scale, to be taken out and repeated.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Transition {
    /// Whose.
    pub hand: Hand,
    /// In which direction.
    pub motion: Motion,
    /// Thumb under or finger over.
    pub kind: CrossingKind,
    /// Key left, as spelled in the scale.
    pub from: Pitch,
    /// Finger on it.
    pub from_finger: Finger,
    /// Key reached.
    pub to: Pitch,
    /// Finger on it.
    pub to_finger: Finger,
    /// Measure of the piece where it is hardest; none where only the scale has it.
    pub measure: Option<MeasureIndex>,
}

/// The drills of the chosen scales, in their order.
pub(super) fn make_drills(
    score: &Score,
    graph: &PracticeGraph,
    movements: &[Movement],
    chosen: &[usize],
    runs: &[Vec<&Passage>],
) -> Vec<Drill> {
    // Each crossing is a reason for one drill only, so that no measure is told twice.
    let mut served: Vec<Vec<&CrossingGroup>> = vec![Vec::new(); chosen.len()];
    for (group, best) in graph.assigned_to(chosen) {
        if let Some(served) = best.and_then(|(_, place)| served.get_mut(place)) {
            served.push(group);
        }
    }
    let total = graph.effort().max(1) as f64;
    let make = |(index, groups): (&usize, Vec<&CrossingGroup>)| {
        let scale = *candidates().get(*index)?;
        let runs = runs.get(*index)?;
        let efforts = graph.practised_by(*index).map(|(group, practice)| covered(group.effort, practice));
        let covers = efforts.fold(0, u64::saturating_add) as f64 / total;
        Some(Maker { score, movements, scale, runs, groups }.drill(covers))
    };
    chosen.iter().zip(served).filter_map(make).collect()
}

struct Maker<'a> {
    score: &'a Score,
    movements: &'a [Movement],
    scale: Scale,
    runs: &'a [&'a Passage],
    groups: Vec<&'a CrossingGroup>,
}

impl Maker<'_> {
    fn drill(&self, covers: f64) -> Drill {
        let because = self.reasons();
        let first = because.first();
        let rate = self.rate().clamp(SLOWEST, FASTEST);
        let mark = |rate: f64| mark_for((rate * 1000.0).round() as i64);
        Drill {
            scale: self.spelled(),
            hand: first.map(|first| first.hand).filter(|hand| because.iter().all(|reason| reason.hand == *hand)),
            direction: first.map(|first| first.motion).filter(|way| because.iter().all(|reason| reason.motion == *way)),
            octaves: self.octaves(),
            rate,
            goal: mark(rate),
            start: mark((rate * START).max(SLOWEST)),
            covers,
            isolate: self.transition(first),
            because,
        }
    }

    /// Runs first, then crossings; in each, the larger number first, right before left, up before down.
    fn reasons(&self) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = Vec::new();
        let mut add = |kind, hand, motion, measure, rate: f64| {
            let same = |reason: &&mut Reason| (reason.kind, reason.hand, reason.motion) == (kind, hand, motion);
            if let Some(reason) = reasons.iter_mut().find(same) {
                reason.count += 1;
                reason.measures.push(measure);
                reason.rate = reason.rate.max(rate);
            } else {
                reasons.push(Reason { kind, hand, motion, count: 1, measures: vec![measure], rate });
            }
        };
        for run in self.runs {
            add(ReasonKind::Runs, run.hand, run.direction.unwrap_or(Motion::Up), run.first_measure, run.rate);
        }
        for group in &self.groups {
            let Crossing { hand, kind, .. } = group.crossing;
            for movement in group.movements.iter().filter_map(|index| self.movements.get(*index)) {
                let (motion, rate) = (motion_of(&group.crossing), rate_of(movement));
                add(ReasonKind::Crossings(kind), hand, motion, self.measure(movement), rate);
            }
        }
        for reason in &mut reasons {
            reason.measures.sort_unstable();
            reason.measures.dedup();
        }
        reasons.sort_by_key(|r| (r.kind != ReasonKind::Runs, Reverse(r.count), r.hand, r.motion));
        reasons
    }

    fn measure(&self, movement: &Movement) -> MeasureIndex {
        self.score.notes.get(movement.to).map_or(0, |note| note.measure)
    }

    /// The scale as the longest run writes it.
    fn spelled(&self) -> Scale {
        // Of equals the first; `max_by_key` alone would take the last.
        let longest = self.runs.iter().rev().max_by_key(|run| run.notes);
        match longest.and_then(|run| run.material) {
            Some(Material::Scale(scale)) => scale,
            _ => self.scale,
        }
    }

    fn octaves(&self) -> u8 {
        let longest = self.runs.iter().map(|run| run.notes).max().unwrap_or(0);
        let octaves = longest.saturating_sub(1).div_ceil(self.scale.form().size());
        octaves.clamp(LEAST_OCTAVES, MOST_OCTAVES) as u8
    }

    /// The speed of the fastest run; without runs, that of the hardest crossing.
    fn rate(&self) -> f64 {
        let fastest = self.runs.iter().map(|run| run.rate).fold(0.0, f64::max);
        if fastest > 0.0 { fastest } else { self.hardest().map_or(SLOWEST, rate_of) }
    }

    /// The served crossing of greatest effort; of equals the first.
    fn hardest(&self) -> Option<&Movement> {
        let all = self.groups.iter().filter_map(|group| self.movements.get(group.hardest));
        all.reduce(|best, next| if next.effort > best.effort { next } else { best })
    }

    /// The step of the scale that practises the hardest served crossing; without one, the most awkward step of the scale
    /// in the hand and direction of the first reason.
    fn transition(&self, first: Option<&Reason>) -> Option<Transition> {
        if let Some(movement) = self.hardest() {
            let crossing = movement.crossing()?;
            let steps = steps_of(self.scale, crossing.hand, motion_of(&crossing), OCTAVES);
            let practising = |wanted| steps.iter().find(|step| step.crossing.practises(&crossing) == Some(wanted));
            let step = practising(Practice::Exact).or_else(|| practising(Practice::Nearly))?;
            return Some(Transition { measure: Some(self.measure(movement)), ..self.step(crossing.hand, step) });
        }
        let first = first?;
        let line = (self.scale, first.hand, first.motion);
        let own = scale_lines().iter().find(|own| (own.scale, own.hand, own.motion) == line)?;
        Some(self.step(first.hand, own.hardest()?))
    }

    fn step(&self, hand: Hand, step: &ScaleCrossing) -> Transition {
        let names = self.spelled().degrees(step.motion);
        let spelled = |pitch: Pitch| {
            let key = pitch.midi().filter(|_| self.scale.form() != Form::Chromatic)?.number();
            let name = names.iter().find(|name| name.pitch_class() == key % 12)?;
            Some(name.on_key(key.into()))
        };
        Transition {
            hand,
            motion: step.motion,
            kind: step.crossing.kind,
            from: spelled(step.from).unwrap_or(step.from),
            from_finger: step.crossing.from_finger,
            to: spelled(step.to).unwrap_or(step.to),
            to_finger: step.crossing.to_finger,
            measure: None,
        }
    }
}

fn motion_of(crossing: &Crossing) -> Motion {
    if crossing.interval > 0 { Motion::Up } else { Motion::Down }
}

/// Notes a second at a movement.
fn rate_of(movement: &Movement) -> f64 {
    1.0 / movement.seconds.max(1.0 / FASTEST)
}

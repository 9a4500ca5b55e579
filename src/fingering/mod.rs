//! Which finger plays which note.
//!
//! In: a [`Line`] of one hand with its [`Score`], [`LocalKeys`] and [`Tempo`], and the [`Player`]. Out: a [`Fingering`]: a
//! finger for every note, whether it was written or inferred, and what each slice costs.

mod arpeggios;
mod costs;
mod flow;
mod handbook;
pub(crate) mod keyboard;
mod moments;
mod octaves;
mod ornaments;
#[cfg(test)]
mod phrases;
#[cfg(test)]
mod players;
mod remarks;
mod runs;
mod search;
pub(crate) mod spans;
mod states;
mod weights;

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use crate::hands::Line;
use crate::keys::LocalKeys;
use crate::player::Player;
use crate::score::{MeasureIndex, Score};
use crate::tempo::Tempo;
use crate::units::Finger;

pub use costs::{Cost, POINT, Rule};
pub use remarks::{remark_on_digits, remark_on_reach};
pub use weights::Weights;

/// Where a finger comes from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FingerSource {
    /// Printed in the score.
    Written,
    /// Found by the search.
    Inferred,
}

/// The fingers of one hand's line; both vectors run parallel to [`crate::hands::Line::notes`].
#[derive(Clone, Debug, Default)]
pub struct Fingering {
    /// Finger that strikes each note; `None` only where no finger is left (a sixth note of one hand).
    pub fingers: Vec<Option<Finger>>,
    /// Where each comes from.
    pub sources: Vec<FingerSource>,
    /// Effort of reaching each slice of [`crate::hands::Line::slices`] from the one before, in cost units.
    pub slice_costs: Vec<i32>,
}

/// The fingering of least effort for the average weights.
pub fn estimate_fingering(score: &Score, line: &Line, keys: &LocalKeys, tempo: &Tempo, player: &Player) -> Fingering {
    estimate_with(score, line, keys, tempo, player, &Settings::default())
}

/// What can be switched or weighed in the search; the default is what the program uses.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Settings {
    /// Weights of the rules.
    pub weights: Weights,
}

/// As [`estimate_fingering`], with other settings.
pub fn estimate_with(
    score: &Score,
    line: &Line,
    keys: &LocalKeys,
    tempo: &Tempo,
    player: &Player,
    settings: &Settings,
) -> Fingering {
    with_problem(score, line, keys, tempo, player, settings, |problem| {
        let chosen = problem.solve();
        let source = |id: &usize| {
            if score.notes[*id].written.is_empty() { FingerSource::Inferred } else { FingerSource::Written }
        };
        let mut fingering = Fingering {
            fingers: vec![None; line.notes.len()],
            sources: line.notes.iter().map(source).collect(),
            slice_costs: Vec::with_capacity(problem.moments.len()),
        };
        for (at, moment) in problem.moments.iter().enumerate() {
            for (place, active) in moment.struck() {
                fingering.fingers[active.note as usize] = Finger::new(chosen[at].fingers[place] + 1);
            }
            let mut cost = 0;
            problem.charge_moment(at, &chosen, &mut |_, c| cost += c);
            fingering.slice_costs.push(cost);
        }
        fingering
    })
}

/// What one slice costs, rule by rule.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SliceCosts {
    /// Index into [`Line::slices`].
    pub slice: usize,
    /// Costs that are not zero, in the order of the rules.
    pub costs: Vec<(Rule, Cost)>,
}

/// Why a fingering is as it is: which rule costs what at each slice of the measures asked for, so that a teacher can
/// disagree with a reason. The fingering is that of [`estimate_fingering`].
pub fn explain_fingering(
    score: &Score,
    line: &Line,
    keys: &LocalKeys,
    tempo: &Tempo,
    player: &Player,
    settings: &Settings,
    measures: RangeInclusive<MeasureIndex>,
) -> Vec<SliceCosts> {
    with_problem(score, line, keys, tempo, player, settings, |problem| {
        let chosen = problem.solve();
        let asked = |slice: &usize| {
            let first = line.notes.get(line.slices[*slice].first);
            first.is_some_and(|id| measures.contains(&score.notes[*id].measure))
        };
        let explain = |slice: usize| {
            let mut costs: BTreeMap<Rule, Cost> = BTreeMap::new();
            problem.charge_moment(slice, &chosen, &mut |rule, cost| *costs.entry(rule).or_default() += cost);
            SliceCosts { slice, costs: costs.into_iter().filter(|(_, cost)| *cost != 0).collect() }
        };
        (0..chosen.len()).filter(asked).map(explain).collect()
    })
}

/// Sets the problem of a line up, and hands it to `solve`.
fn with_problem<T>(
    score: &Score,
    line: &Line,
    keys: &LocalKeys,
    tempo: &Tempo,
    player: &Player,
    settings: &Settings,
    solve: impl FnOnce(&search::Problem) -> T,
) -> T {
    let shape = player.hand(line.hand);
    let mut avoided = [false; 5];
    shape.avoid.iter().for_each(|finger| avoided[finger.index()] = true);
    let rules = costs::Rules { weights: settings.weights.clone(), spans: spans::Spans::of(shape), avoided };
    let moments = moments::read_moments(score, line, tempo, shape.largest_span);
    let mut list = Vec::new();
    let mut starts = vec![0];
    for moment in &moments {
        let mut prescribed = [None; moments::MOST];
        for (place, active) in moment.active.iter().enumerate() {
            let written = &score.notes[line.notes[active.note as usize]].written;
            let digit = if active.held.is_some() { written.last() } else { written.first() };
            prescribed[place] = digit.map(|w| w.finger.index() as u8);
        }
        let crossing = moment.active.iter().any(|a| a.held.is_some());
        states::list_states(moment.active.len(), &prescribed, crossing, &mut list);
        starts.push(list.len() as u32);
    }
    let mut leanings = vec![search::Leaning::default(); moments.len()];
    let measures: Vec<_> = line.slices.iter().map(|slice| score.notes[line.notes[slice.first]].measure).collect();
    runs::lean_on_scales(line.hand, &moments, &measures, keys, &rules.weights, &mut leanings);
    arpeggios::lean_on_arpeggios(line.hand, &moments, &rules.weights, &mut leanings);
    octaves::lean_on_octaves(&moments, &rules, &mut leanings);
    ornaments::lean_on_ornaments(score, line, &rules.weights, &mut leanings);
    solve(&search::Problem { rules: &rules, moments: &moments, choices: &list, starts: &starts, leanings: &leanings })
}

//! The cheapest fingering of a line: exact dynamic programming over pairs of neighbouring moments.
//!
//! In: moments, the states of each, and the rules. Out: a state for each moment, and what each moment costs.
//!
//! Ties: between equal costs the state listed first wins, from the last moment backwards.

use super::costs::{Cost, Rule, Rules};
use super::keyboard::Key;
use super::moments::{MOST, Moment};
use super::states::State;

/// Everything the search looks at.
pub struct Problem<'a> {
    pub rules: &'a Rules,
    pub moments: &'a [Moment],
    pub states: &'a [State],
    /// Where the states of each moment begin in `states`; one more at the end.
    pub starts: &'a [u32],
    /// What the context adds for a finger on each active key of each moment (patterns of scales and figures).
    pub leanings: &'a [Leaning],
    /// Look at three moments at once.
    pub second_order: bool,
}

/// A preference of the context for fingers: what each finger on the first struck key costs extra, by rule.
#[derive(Clone, Copy, Debug, Default)]
pub struct Leaning {
    pub scale: [Cost; MOST],
    pub figure: [Cost; MOST],
}

impl Problem<'_> {
    fn states_of(&self, moment: usize) -> &[State] {
        &self.states[self.starts[moment] as usize..self.starts[moment + 1] as usize]
    }

    /// How much of the binding rules counts between a moment and the one before, in hundredths.
    fn bound(&self, moment: usize) -> Cost {
        let rest = self.moments[moment].rest;
        let steps = (rest / 60).min(8);
        100 - steps * (100 - self.rules.weights.free) / 8
    }

    fn charge_state(&self, at: usize, state: State, charge: &mut impl FnMut(Rule, Cost)) {
        let moment = &self.moments[at];
        let count = moment.active.len();
        let struck = moment.active.iter().filter(|a| a.held.is_none()).count().max(1) as Cost;
        for (place, active) in moment.active.iter().enumerate() {
            if active.held.is_none() {
                let placed = (usize::from(state[place]), active.key);
                self.rules.placed(placed, &mut |rule, cost| charge(rule, cost / struck));
            }
        }
        for low in 1..count {
            let (a, b) = (&moment.active[low - 1], &moment.active[low]);
            if a.held.is_none() || b.held.is_none() {
                self.rules.chord((usize::from(state[low - 1]), a.key), (usize::from(state[low]), b.key), charge);
            }
        }
        if let Some((place, _)) = single(moment) {
            let leaning = &self.leanings[at];
            charge(Rule::ScalePattern, leaning.scale[usize::from(state[place])]);
            charge(Rule::Figure, leaning.figure[usize::from(state[place])]);
        }
    }

    fn charge_step(&self, at: usize, before: State, state: State, charge: &mut impl FnMut(Rule, Cost)) {
        let (from, to) = (&self.moments[at - 1], &self.moments[at]);
        for (place, active) in to.active.iter().enumerate() {
            if let Some(was) = active.held
                && before[usize::from(was)] != state[place]
            {
                charge(Rule::Substitution, self.rules.weights.substitution);
            }
        }
        let bound = self.bound(at);
        let released = |place: usize| !to.active.iter().any(|a| a.held == Some(place as u8));
        let mut pairs = 0;
        for (a, _) in from.struck() {
            if released(a) {
                pairs += to.struck().count() as Cost;
            }
        }
        if pairs == 0 {
            return;
        }
        for (a, one) in from.struck() {
            if !released(a) {
                continue;
            }
            for (b, two) in to.struck() {
                self.rules.step(
                    (usize::from(before[a]), one.key),
                    (usize::from(state[b]), two.key),
                    &mut |rule, cost| charge(rule, cost * bound / (100 * pairs)),
                );
            }
        }
    }

    fn charge_over(&self, at: usize, first: State, second: State, third: State, charge: &mut impl FnMut(Rule, Cost)) {
        let [Some((place, from)), Some((middle, _)), Some((last, to))] =
            [at - 2, at - 1, at].map(|moment| single(&self.moments[moment]))
        else {
            return;
        };
        let bound = self.bound(at) * self.bound(at - 1) / 100;
        let fingers = [first[place], second[middle], third[last]].map(usize::from);
        let mut scaled = |rule, cost: Cost| charge(rule, cost * bound / 100);
        self.rules.over((fingers[0], from), (fingers[2], to), &mut scaled);
        self.rules.triple(fingers, &mut scaled);
    }

    /// Charges everything that reaching moment `at` costs, given the fingering so far.
    pub fn charge_moment(&self, at: usize, chosen: &[State], charge: &mut impl FnMut(Rule, Cost)) {
        self.charge_state(at, chosen[at], charge);
        if at >= 1 {
            self.charge_step(at, chosen[at - 1], chosen[at], charge);
        }
        if at >= 2 && self.second_order {
            self.charge_over(at, chosen[at - 2], chosen[at - 1], chosen[at], charge);
        }
    }

    /// The sum of all that the fingering costs.
    #[cfg(test)]
    pub fn total(&self, chosen: &[State]) -> i64 {
        let mut total = 0;
        for at in 0..self.moments.len() {
            self.charge_moment(at, chosen, &mut |_, cost| total += i64::from(cost));
        }
        total
    }

    /// The cheapest fingering.
    pub fn solve(&self) -> Vec<State> {
        let count = self.moments.len();
        if count == 0 {
            return Vec::new();
        }
        // best[p * width + s]: cheapest way to end with the states p, s; p is a dummy at the first moment.
        let mut best: Vec<i64> = self.states_of(0).iter().map(|s| i64::from(self.state_cost(0, *s))).collect();
        let mut previous_count = 1;
        let mut back: Vec<u8> = Vec::new();
        let mut back_starts = vec![0; count + 1];
        for at in 1..count {
            let (left, here) = (self.states_of(at - 1), self.states_of(at));
            let firsts = if at >= 2 { self.states_of(at - 2) } else { &[] };
            let triples = self.second_order && at >= 2 && (at - 2..=at).all(|m| single(&self.moments[m]).is_some());
            let mut next = vec![i64::MAX; left.len() * here.len()];
            back_starts[at] = back.len();
            back.resize(back.len() + next.len(), 0);
            let own: Vec<i64> = here.iter().map(|s| i64::from(self.state_cost(at, *s))).collect();
            for (b, second) in left.iter().enumerate() {
                for (c, third) in here.iter().enumerate() {
                    let mut step = own[c];
                    self.charge_step(at, *second, *third, &mut |_, cost| step += i64::from(cost));
                    let (mut least, mut from) = (i64::MAX, 0);
                    for a in 0..previous_count {
                        let mut cost = best[a * left.len() + b];
                        if triples {
                            self.charge_over(at, firsts[a], *second, *third, &mut |_, c| cost += i64::from(c));
                        }
                        if cost < least {
                            (least, from) = (cost, a);
                        }
                    }
                    next[b * here.len() + c] = least + step;
                    back[back_starts[at] + b * here.len() + c] = from as u8;
                }
            }
            previous_count = left.len();
            best = next;
        }
        let width = self.states_of(count - 1).len();
        let mut end = 0;
        for (index, cost) in best.iter().enumerate() {
            if *cost < best[end] {
                end = index;
            }
        }
        let mut chosen = vec![[0; MOST]; count];
        let (mut b, mut c) = (end / width, end % width);
        for at in (0..count).rev() {
            chosen[at] = self.states_of(at)[c];
            if at >= 1 {
                let a = usize::from(back[back_starts[at] + b * self.states_of(at).len() + c]);
                (b, c) = (a, b);
            }
        }
        chosen
    }

    fn state_cost(&self, at: usize, state: State) -> Cost {
        let mut total = 0;
        self.charge_state(at, state, &mut |_, cost| total += cost);
        total
    }
}

/// The only struck key of a moment.
fn single(moment: &Moment) -> Option<(usize, Key)> {
    let mut struck = moment.struck();
    match (struck.next(), struck.next()) {
        (Some((place, active)), None) => Some((place, active.key)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fingering::{Settings, with_problem};
    use crate::player::Player;
    use crate::testing;

    /// The least cost over every combination of states.
    fn brute_force(problem: &Problem, chosen: &mut Vec<State>) -> i64 {
        let at = chosen.len();
        if at == problem.moments.len() {
            return problem.total(chosen);
        }
        let mut least = i64::MAX;
        for state in problem.states_of(at) {
            chosen.push(*state);
            least = least.min(brute_force(problem, chosen));
            chosen.pop();
        }
        least
    }

    #[test]
    fn the_search_finds_what_trying_everything_finds() {
        for text in [
            "R: C4/8 D4 E4 F4 G4 A4",
            "L: C3/8 D3 E3 r F#3 A3",
            "R: C4/8 [E4 G4] C5>8 D5 C5",
            "L: C3/4>8 E3/8 F3 [Eb3 G3] Ab3",
        ] {
            let (score, line) = testing::line(text);
            for second_order in [false, true] {
                let settings = Settings { second_order, ..Settings::default() };
                with_problem(&score, &line, &testing::steady(90.0), &Player::default(), &settings, |problem| {
                    let found = problem.total(&problem.solve());
                    assert_eq!(found, brute_force(problem, &mut Vec::new()), "{text}");
                });
            }
        }
    }
}

//! The cheapest fingering of a line: exact dynamic programming over moments.
//!
//! In: moments, the fingers that each may take, and the rules. Out: fingers and the position of the hand at each moment.
//!
//! A state is the fingers on the keys that are down and the position of the hand, which lies within two white keys of
//! where those fingers would rest. Ties: between equal costs the state listed first wins, from the last moment
//! backwards; states are listed by their fingers from the thumb's side, then by position.

use super::costs::{AT_REST, BOUND_STEPS, Cost, Placed, Rule, Rules};
use super::keyboard::{Key, TenthMillimetres, WHITE_KEY, semitones};
use super::moments::{MOST, Moment};
use super::states::Fingers;

/// Positions are told apart by half a white key. Chosen by us: a quarter changes nothing, a whole one loses the black
/// keys.
const GRID: TenthMillimetres = WHITE_KEY / 2;

/// Positions on either side of where the fingers would rest. Chosen by us: wider changes nothing.
const AROUND: i32 = 2;

/// Positions tried with each choice of fingers.
const POSITIONS: usize = 2 * AROUND as usize + 1;

/// Milliseconds of rest that free the hand by one step; a quarter of a second frees it quite. Chosen by us.
const STEP_OF_REST: i32 = 30;

/// Milliseconds between the notes of an even, unhurried run; shorter is haste. Chosen by us: sixteenths at 60.
const UNHURRIED: i32 = 250;

/// A key repeated within so many milliseconds wants another finger. Chosen by us: six notes a second.
const FAST_REPEAT: i32 = 167;

/// Milliseconds that a held key leaves to change the finger on it at leisure. Chosen by us.
const LEISURE: i32 = 500;

/// Fingers, and where the hand lies.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct State {
    /// A finger index for each active key.
    pub fingers: Fingers,
    /// Position, in steps of [`GRID`].
    position: i32,
}

/// What the context adds for each finger on the only key struck at a moment.
#[derive(Clone, Copy, Debug, Default)]
pub struct Leaning {
    /// By the pattern of a scale.
    pub scale: [Cost; MOST],
    /// By an ornament.
    pub ornament: [Cost; MOST],
}

/// Everything the search looks at.
pub struct Problem<'a> {
    /// The rules of the hand.
    pub rules: &'a Rules,
    /// What the hand meets.
    pub moments: &'a [Moment],
    /// The choices of fingers of all moments in turn.
    pub choices: &'a [Fingers],
    /// Where the choices of each moment begin in `choices`; one more at the end.
    pub starts: &'a [u32],
    /// What the context adds at each moment.
    pub leanings: &'a [Leaning],
}

impl Problem<'_> {
    fn choices_of(&self, at: usize) -> &[Fingers] {
        &self.choices[self.starts[at] as usize..self.starts[at + 1] as usize]
    }

    /// The first of the positions tried with a choice of fingers.
    fn first_position(&self, at: usize, fingers: Fingers) -> i32 {
        let active = &self.moments[at].active;
        let sum: i32 = active.iter().zip(fingers).map(|(a, f)| a.key.place - AT_REST[usize::from(f)]).sum();
        let middle = sum / active.len().max(1) as i32;
        (middle + GRID / 2).div_euclid(GRID) - AROUND
    }

    /// How far the hand is free between a moment and the one before, from 0 (bound) to [`BOUND_STEPS`].
    fn bound_step(&self, at: usize) -> usize {
        (self.moments[at].rest / STEP_OF_REST).clamp(0, BOUND_STEPS as i32) as usize
    }

    /// Fingers on keys, but for the position.
    fn charge_fingers(&self, at: usize, fingers: Fingers, charge: &mut impl FnMut(Rule, Cost)) {
        let moment = &self.moments[at];
        let struck = moment.struck().count().max(1) as Cost;
        let agile = self.agile(at);
        for (place, active) in moment.struck() {
            let placed = (usize::from(fingers[place]), active.key);
            self.rules.placed(placed, struck > 1, &mut |rule, cost| match rule {
                Rule::WeakFinger => charge(rule, cost * agile / 100),
                _ => charge(rule, cost / struck),
            });
        }
        for (place, pair) in moment.active.windows(2).enumerate() {
            if pair.iter().any(|a| a.held.is_none()) {
                let [low, high] = [place, place + 1].map(|p| (usize::from(fingers[p]), moment.active[p].key));
                self.rules.chord(low, high, charge);
            }
        }
        if let Some((place, _)) = single(moment) {
            let (leaning, finger) = (&self.leanings[at], usize::from(fingers[place]));
            charge(Rule::ScalePattern, leaning.scale[finger]);
            charge(Rule::Ornament, leaning.ornament[finger]);
        }
    }

    /// Fingers away from their places in the position.
    fn charge_reach(&self, at: usize, state: State, charge: &mut impl FnMut(Rule, Cost)) {
        let active = &self.moments[at].active;
        let part = if active.len() > 1 { self.rules.weights.chord_reach } else { 100 };
        for (a, finger) in active.iter().zip(state.fingers) {
            let placed = (usize::from(finger), a.key);
            self.rules.reach(placed, state.position * GRID, &mut |rule, cost| charge(rule, cost * part / 100));
        }
    }

    /// From the fingers of the moment before to these, but for the position.
    fn charge_step(&self, at: usize, before: Fingers, fingers: Fingers, charge: &mut impl FnMut(Rule, Cost)) {
        let (from, to) = (&self.moments[at - 1], &self.moments[at]);
        let step = self.step(at);
        for (place, was) in to.held() {
            if before[was] != fingers[place] {
                charge(Rule::Substitution, step.substitution);
            }
        }
        for (a, one) in from.released(to) {
            for (b, two) in to.struck() {
                let (start, end) = ((usize::from(before[a]), one.key), (usize::from(fingers[b]), two.key));
                step.charge(self.rules, start, end, charge);
            }
        }
    }

    /// What is the same for every step between a moment and the one before.
    fn step(&self, at: usize) -> Step {
        let (from, to) = (&self.moments[at - 1], &self.moments[at]);
        let (ones, twos) = (from.released(to).count() as Cost, to.struck().count() as Cost);
        let w = &self.rules.weights;
        let block = if ones > 1 && twos > 1 { w.block } else { 100 };
        Step {
            part: self.binding(at) * block / 100,
            whole: 100 * (ones * twos).max(1),
            fast: to.since <= FAST_REPEAT,
            substitution: if to.since >= LEISURE { w.substitution / 2 } else { w.substitution },
        }
    }

    /// Charges everything that reaching moment `at` costs, given the fingering so far.
    pub fn charge_moment(&self, at: usize, chosen: &[State], charge: &mut impl FnMut(Rule, Cost)) {
        let state = chosen[at];
        self.charge_fingers(at, state.fingers, charge);
        self.charge_reach(at, state, charge);
        if at > 0 {
            let before = chosen[at - 1];
            self.charge_step(at, before.fingers, state.fingers, charge);
            let (once, each) = self.moving(at);
            let steps = (state.position - before.position).abs();
            charge(Rule::PositionChange, if steps == 0 { 0 } else { once + each * steps });
        }
    }

    /// The cheapest fingering.
    pub fn solve(&self) -> Vec<State> {
        // Two layers of costs: where the hand may have been, and where it may be now.
        let (mut left, mut here): (Vec<Cost>, Vec<Cost>) = (Vec::new(), Vec::new());
        let mut departures: Vec<Departures> = Vec::new();
        let mut came_from: Vec<u16> = Vec::with_capacity(self.choices.len() * POSITIONS);
        let mut steps = Steps::default();
        for at in 0..self.moments.len() {
            let before = if at > 0 { self.choices_of(at - 1) } else { &[] };
            departures.clear();
            if at > 0 {
                let moving = self.moving(at);
                for (index, (fingers, costs)) in before.iter().zip(left.chunks(POSITIONS)).enumerate() {
                    let first = self.first_position(at - 1, *fingers);
                    departures.push(Departures::new(first, index * POSITIONS, costs, moving));
                }
                steps.measure(self, at);
            }
            here.clear();
            for fingers in self.choices_of(at) {
                let mut own = 0;
                self.charge_fingers(at, *fingers, &mut |_, cost| own += cost);
                let first = self.first_position(at, *fingers);
                let mut arrivals = [if at > 0 { Way::NONE } else { Way::new(0, 0) }; POSITIONS];
                steps.lead_to(*fingers);
                for (before, departure) in before.iter().zip(&departures) {
                    let step = steps.from(*before);
                    for (position, arrival) in (first..).zip(&mut arrivals) {
                        *arrival = (*arrival).min(departure.towards(position).and(step));
                    }
                }
                for (position, arrival) in (first..).zip(arrivals) {
                    let mut cost = own + arrival.cost();
                    self.charge_reach(at, State { fingers: *fingers, position }, &mut |_, c| cost += c);
                    here.push(cost);
                    came_from.push(arrival.from());
                }
            }
            // Only differences matter, so the least cost is taken off, and sums stay small however long the line.
            let least = here.iter().copied().min().unwrap_or(0);
            for cost in &mut here {
                *cost -= least;
            }
            std::mem::swap(&mut left, &mut here);
        }
        let end = left.iter().enumerate().min_by_key(|(_, cost)| **cost).map_or(0, |(index, _)| index);
        self.read_back(end, &came_from)
    }

    /// The states from the first moment to the one that ends the cheapest way.
    fn read_back(&self, end: usize, came_from: &[u16]) -> Vec<State> {
        let mut index = end;
        let mut chosen = Vec::with_capacity(self.moments.len());
        for at in (0..self.moments.len()).rev() {
            let fingers = self.choices_of(at)[index / POSITIONS];
            let position = self.first_position(at, fingers) + (index % POSITIONS) as i32;
            chosen.push(State { fingers, position });
            index = usize::from(came_from[self.starts[at] as usize * POSITIONS + index]);
        }
        chosen.reverse();
        chosen
    }

    /// How much the weakness of a finger counts at a moment, in hundredths: wholly in an even run of [`UNHURRIED`]
    /// notes, and less in proportion where there is more time before and after, for weak fingers are slow rather than
    /// short.
    fn agile(&self, at: usize) -> Cost {
        let before = if at > 0 { self.moments[at].since } else { i32::MAX };
        let after = self.moments.get(at + 1).map_or(i32::MAX, |next| next.since);
        100 * UNHURRIED / before.min(after).clamp(UNHURRIED, 100 * UNHURRIED)
    }

    /// How much the binding rules count between a moment and the one before, in hundredths: less after a rest, more in
    /// haste.
    fn binding(&self, at: usize) -> Cost {
        let w = &self.rules.weights;
        // Beyond a hundred times the measure a wait is as long as any, and the product stays small.
        let since = self.moments[at].since.clamp(0, 100 * UNHURRIED);
        let haste = (w.haste * (UNHURRIED - since) / since.max(UNHURRIED)).clamp(-w.haste, w.haste);
        self.rules.bound(self.bound_step(at)) * (100 + haste) / 100
    }

    /// What moving the hand costs between a moment and the one before: at all, and for each step of [`GRID`].
    fn moving(&self, at: usize) -> (Cost, Cost) {
        let bound = self.rules.bound(self.bound_step(at));
        let w = &self.rules.weights;
        (w.position_change * bound / 100, w.position_far * GRID / semitones(1) * bound / 100)
    }
}

/// How a pair of notes in turn is charged between two moments.
struct Step {
    /// How much of the rules counts: `part` of `whole`.
    part: Cost,
    whole: Cost,
    /// The notes come fast.
    fast: bool,
    /// What another finger on a held key costs.
    substitution: Cost,
}

impl Step {
    fn charge(&self, rules: &Rules, from: Placed, to: Placed, charge: &mut impl FnMut(Rule, Cost)) {
        rules.step(from, to, self.fast, &mut |rule, cost| charge(rule, cost * self.part / self.whole));
    }
}

/// What the steps between two moments cost, all pairs of fingers measured once: the sums of what
/// [`Problem::charge_step`] lists.
#[derive(Default)]
struct Steps {
    /// Place of a key before, place of a key now, and the costs by the finger now and the finger before.
    pairs: Vec<(usize, usize, [[Cost; MOST]; MOST])>,
    /// For the fingers that are led to: costs by place and finger before.
    rows: [[Cost; MOST]; MOST],
    /// How many keys were down before.
    count: usize,
}

impl Steps {
    /// Measures the steps that lead to a moment.
    fn measure(&mut self, problem: &Problem, at: usize) {
        let (from, to) = (&problem.moments[at - 1], &problem.moments[at]);
        let step = problem.step(at);
        self.count = from.active.len();
        self.pairs.clear();
        for (place, was) in to.held() {
            let changes = |now: usize| std::array::from_fn(|f| if f == now { 0 } else { step.substitution });
            self.pairs.push((was, place, std::array::from_fn(changes)));
        }
        for (a, one) in from.released(to) {
            for (b, two) in to.struck() {
                let mut costs = [[0; MOST]; MOST];
                for (now, costs) in costs.iter_mut().enumerate() {
                    for (before, sum) in costs.iter_mut().enumerate() {
                        step.charge(problem.rules, (before, one.key), (now, two.key), &mut |_, cost| *sum += cost);
                    }
                }
                self.pairs.push((a, b, costs));
            }
        }
    }

    /// Chooses the fingers that are led to.
    fn lead_to(&mut self, fingers: Fingers) {
        self.rows[..self.count].fill([0; MOST]);
        for (was, place, costs) in &self.pairs {
            for (sum, cost) in self.rows[*was].iter_mut().zip(&costs[usize::from(fingers[*place])]) {
                *sum += cost;
            }
        }
    }

    /// What the step from other fingers costs.
    fn from(&self, before: Fingers) -> Cost {
        self.rows[..self.count].iter().zip(before).map(|(row, finger)| row[usize::from(finger)]).sum()
    }
}

/// A cost and the index of the state that it comes from, as one number: the less it is, the cheaper the way, and of
/// equal costs the first state wins.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
struct Way(i64);

impl Way {
    const NONE: Self = Self(i64::MAX);

    fn new(cost: Cost, from: usize) -> Self {
        Self(i64::from(cost) << 16 | from as i64)
    }

    /// The way with more to pay.
    fn and(self, cost: Cost) -> Self {
        Self(self.0 + (i64::from(cost) << 16))
    }

    fn cost(self) -> Cost {
        (self.0 >> 16) as Cost
    }

    fn from(self) -> u16 {
        self.0 as u16
    }
}

/// The cheapest ways to leave the positions of one choice of fingers for any other position.
///
/// A move costs something at all and the same for each step, so beyond the positions of the choice the cheapest start
/// does not depend on how far the hand goes.
struct Departures {
    first: i32,
    /// Towards each of the positions themselves.
    within: [Way; POSITIONS],
    /// Towards the positions below and above, as if the move began at `first` or ended there.
    below: Way,
    above: Way,
    each: Cost,
}

impl Departures {
    /// `index` is that of the state at the first position.
    fn new(first: i32, index: usize, costs: &[Cost], (once, each): (Cost, Cost)) -> Self {
        let cheapest = |price: &dyn Fn(Cost) -> Cost| {
            let way = |(start, cost): (usize, &Cost)| Way::new(cost + price(start as Cost), index + start);
            costs.iter().enumerate().map(way).min().unwrap_or(Way::NONE)
        };
        let towards = |goal: usize| {
            let steps = |start: Cost| (goal as Cost - start).abs();
            cheapest(&|start| if steps(start) == 0 { 0 } else { once + each * steps(start) })
        };
        let within = std::array::from_fn(towards);
        let below = cheapest(&|start| once + each * start);
        let above = cheapest(&|start| once - each * start);
        Self { first, within, below, above, each }
    }

    /// The way to `position`.
    fn towards(&self, position: i32) -> Way {
        let step = position - self.first;
        if step < 0 {
            self.below.and(-self.each * step)
        } else if step < POSITIONS as i32 {
            self.within[step as usize]
        } else {
            self.above.and(self.each * step)
        }
    }
}

/// The only struck key of a moment.
pub fn single(moment: &Moment) -> Option<(usize, Key)> {
    let mut struck = moment.struck();
    match (struck.next(), struck.next()) {
        (Some((place, active)), None) => Some((place, active.key)),
        _ => None,
    }
}

#[cfg(test)]
#[path = "exactness.rs"]
mod exactness;

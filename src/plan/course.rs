//! Which pieces in which order.
//!
//! In: the shelf and where the player starts. Out: orders of pieces, the lessons they make, and what can be reached at
//! all.
//!
//! A piece can be learnt once it is no more than a stretch, its crossings apart: scales can always be learnt first.
//! Learning only adds to what the player has, and adds more the more there is, so nothing is lost by learning a piece as
//! soon as it can be learnt; of several that can, the easiest first takes the player furthest. That order reaches
//! whatever any order reaches. Among the pieces that can be taken next the choice of a lesson is ours: a step of about
//! half a level, few new scales, a change of composer.

use super::PlanOptions;
use crate::readiness::practice::{Practised, Question};
use crate::readiness::{Ability, Verdict, candidates, teaches, verdict_but_crossings, verdict_with_scales};
use crate::shelf::{Entry, crossings_of_all};
use crate::summary::{CrossingDemand, Milli};

/// A step up that suits best, in thousandths of a level. Chosen by us: half a level is felt and can be done.
const BEST_STEP: Milli = 500;

/// What one new scale counts against a piece, in thousandths of a level away from the best step. Chosen by us.
const SCALE_PENALTY: Milli = 150;

/// What the same composer twice in a row counts. Chosen by us: of two equal pieces the other composer is taken.
const SAME_COMPOSER_PENALTY: Milli = 100;

/// What a bare print counts. Chosen by us: of two equal pieces the better prepared one is taken.
const BARE_PENALTY: Milli = 50;

/// Pieces in an order at most. Chosen by us: years of lessons; it bounds the work on a shelf of thousands.
const LONGEST: usize = 60;

/// One lesson, in numbers.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Step {
    /// New scales.
    pub scales: Vec<usize>,
    /// New piece.
    pub piece: Option<usize>,
    /// Pieces that would do as well.
    pub alternatives: Vec<usize>,
}

/// What can be reached.
pub(super) struct Reach {
    /// Pieces that cannot, in the order of their files.
    pub missed: Vec<usize>,
    /// What the player has once all others have been learnt.
    pub ability: Ability,
}

/// A shelf and a start.
pub(super) struct Course<'a> {
    shelf: &'a [Entry],
    start: &'a Ability,
    options: &'a PlanOptions,
    /// Indices by file name.
    order_of_files: Vec<usize>,
    /// Indices by level, the easiest first, then by file name.
    order_of_levels: Vec<usize>,
    crossings: Vec<CrossingDemand>,
}

impl<'a> Course<'a> {
    pub(super) fn new(shelf: &'a [Entry], start: &'a Ability, options: &'a PlanOptions) -> Self {
        let mut order_of_files: Vec<usize> = (0..shelf.len()).collect();
        order_of_files.sort_by(|a, b| shelf[*a].file.cmp(&shelf[*b].file));
        let mut order_of_levels = order_of_files.clone();
        order_of_levels.sort_by_key(|piece| shelf[*piece].piece.level.value);
        let crossings = crossings_of_all(shelf.iter());
        Self { shelf, start, options, order_of_files, order_of_levels, crossings }
    }

    /// Indices of the pieces, by file name.
    pub(super) fn by_file(&self) -> impl Iterator<Item = usize> + '_ {
        self.order_of_files.iter().copied()
    }

    /// A piece by its file, the end of its file name, or its title.
    pub(super) fn find(&self, wanted: &str) -> Option<usize> {
        let same = |text: &str| text.trim().eq_ignore_ascii_case(wanted.trim());
        let by = |test: &dyn Fn(&Entry) -> bool| self.by_file().find(|piece| test(&self.shelf[*piece]));
        by(&|entry| entry.file == wanted)
            .or_else(|| by(&|entry| entry.file.rsplit(['/', '\\']).next().is_some_and(same)))
            .or_else(|| by(&|entry| same(entry.title())))
    }

    pub(super) fn is_ready(&self, piece: usize, ability: &Ability) -> bool {
        let (verdict, scales) = verdict_with_scales(&self.shelf[piece].piece, ability);
        verdict == Verdict::Ready && scales.scales.is_empty()
    }

    /// Whether a piece is no more than a stretch, scales apart.
    pub(super) fn within_reach(&self, piece: usize, ability: &Ability) -> bool {
        verdict_but_crossings(&self.shelf[piece].piece, ability) > Verdict::Later
    }

    /// Share of the shelf's crossings that a player has practised, in thousandths.
    pub(super) fn share(&self, ability: &Ability) -> i64 {
        let question = Question::new(&self.crossings, &ability.practised);
        question.share(&question.covered)
    }

    /// Takes every piece as soon as it can be taken, the easiest first, until none is left that can.
    pub(super) fn reachable(&self) -> Reach {
        let mut ability = self.start.clone();
        let order = self.every_piece(&mut ability, |_| false);
        let missed = self.by_file().filter(|piece| !order.contains(piece)).collect();
        Reach { missed, ability }
    }

    /// Every piece as soon as it can be taken, the easiest first, until none is left that can or it is enough.
    fn every_piece(&self, ability: &mut Ability, is_enough: impl Fn(&Ability) -> bool) -> Vec<usize> {
        let mut left: Vec<usize> = self.order_of_levels.clone();
        let mut order = Vec::new();
        while !is_enough(ability)
            && let Some(place) = left.iter().position(|piece| self.within_reach(*piece, ability))
        {
            let piece = left.remove(place);
            self.learn(piece, ability);
            order.push(piece);
        }
        order
    }

    fn learn(&self, piece: usize, ability: &mut Ability) {
        let entry = &self.shelf[piece];
        ability.learn_piece(&entry.piece, &entry.file);
    }

    /// An order that goes on as long as the shelf leads on.
    pub(super) fn order(&self) -> Vec<usize> {
        self.order_until(None)
    }

    /// An order that leads to the goal, from which no piece can be left out.
    pub(super) fn order_towards(&self, goal: usize) -> Vec<usize> {
        let mut order = self.order_until(Some(goal));
        if order.last() != Some(&goal) {
            // The lessons did not lead there; every piece as soon as it can be taken does, if any order does.
            let mut ability = self.start.clone();
            order = self.every_piece(&mut ability, |ability| self.within_reach(goal, ability));
            order.push(goal);
        }
        // From the goal backwards, so that what led to a piece left out is tried after it.
        for place in (0..order.len().saturating_sub(1)).rev() {
            let mut shorter = order.clone();
            shorter.remove(place);
            if self.can_be_learnt(&shorter) {
                order = shorter;
            }
        }
        order
    }

    /// Whether every piece of an order is within reach when its turn comes.
    pub(super) fn can_be_learnt(&self, order: &[usize]) -> bool {
        let mut ability = self.start.clone();
        order.iter().all(|piece| {
            let can = self.within_reach(*piece, &ability);
            self.learn(*piece, &mut ability);
            can
        })
    }

    fn order_until(&self, goal: Option<usize>) -> Vec<usize> {
        let mut ability = self.start.clone();
        let mut left: Vec<usize> = self.order_of_files.clone();
        let mut order: Vec<usize> = Vec::new();
        while order.len() < LONGEST {
            if let Some(goal) = goal
                && self.within_reach(goal, &ability)
            {
                order.push(goal);
                return order;
            }
            let Some(next) = self.choose(&left, &ability, order.last().copied()) else { break };
            let needed = verdict_with_scales(&self.shelf[next].piece, &ability).1;
            for scale in needed.scales {
                ability.learn_scale(scale);
            }
            self.learn(next, &mut ability);
            left.retain(|piece| *piece != next);
            order.push(next);
        }
        order
    }

    /// The next piece: the stretch that suits best; where there is none, the ready piece that adds most.
    fn choose(&self, left: &[usize], ability: &Ability, last: Option<usize>) -> Option<usize> {
        let composer = last.and_then(|last| self.shelf[last].piece.composer.as_deref());
        let mut ready: Vec<usize> = Vec::new();
        let mut best: Option<(Milli, usize)> = None;
        for piece in left.iter().copied() {
            let Some(penalty) = self.penalty(piece, ability, composer) else {
                if self.within_reach(piece, ability) {
                    ready.push(piece);
                }
                continue;
            };
            if best.is_none_or(|(least, _)| penalty < least) {
                best = Some((penalty, piece));
            }
        }
        best.map(|(_, piece)| piece).or_else(|| {
            // The hardest of those that still lie above the player: small steps add up, and the rest leads nowhere.
            ready.retain(|piece| self.shelf[*piece].piece.level.value > ability.level);
            ready.into_iter().max_by_key(|piece| self.shelf[*piece].piece.level.value)
        })
    }

    /// How badly a piece suits as the next step; `None` when it is no stretch.
    fn penalty(&self, piece: usize, ability: &Ability, composer: Option<&str>) -> Option<Milli> {
        let entry = &self.shelf[piece];
        if !self.within_reach(piece, ability) {
            return None;
        }
        let needed = verdict_with_scales(&entry.piece, ability).1;
        if !teaches(&entry.piece, ability) && needed.scales.is_empty() {
            return None;
        }
        let step = entry.piece.level.value - ability.level;
        let same = composer.is_some() && entry.piece.composer.as_deref() == composer;
        let bare = entry.piece.edition.preparation == crate::edition::Preparation::Bare;
        Some(
            (step - BEST_STEP).abs()
                + SCALE_PENALTY * needed.scales.len() as Milli
                + if same { SAME_COMPOSER_PENALTY } else { 0 }
                + if bare { BARE_PENALTY } else { 0 },
        )
    }

    /// The lessons of an order: each piece after the scales that it needs, at most so many a lesson; `None` when a piece
    /// is not within reach when its turn comes.
    pub(super) fn lessons(&self, order: &[usize]) -> Option<Vec<Step>> {
        let a_lesson = self.options.scales_a_lesson.max(1);
        let mut ability = self.start.clone();
        let mut steps: Vec<Step> = Vec::new();
        for (place, piece) in order.iter().copied().enumerate() {
            let (verdict, needed) = verdict_with_scales(&self.shelf[piece].piece, &ability);
            if verdict == Verdict::Later {
                return None;
            }
            let mut scales = needed.scales.as_slice();
            while scales.len() > a_lesson {
                let (now, later) = scales.split_at(a_lesson);
                steps.push(Step { scales: now.to_vec(), ..Step::default() });
                scales = later;
            }
            for scale in &needed.scales {
                ability.learn_scale(*scale);
            }
            let alternatives = self.alternatives(order.get(..=place).unwrap_or_default(), &ability);
            steps.push(Step { scales: scales.to_vec(), piece: Some(piece), alternatives });
            self.learn(piece, &mut ability);
        }
        Some(steps)
    }

    /// Pieces that would be a stretch in place of the last one of `taken`, with the scales learnt for it.
    fn alternatives(&self, taken: &[usize], ability: &Ability) -> Vec<usize> {
        if self.options.alternatives == 0 {
            return Vec::new();
        }
        let composer = taken.iter().rev().nth(1).and_then(|before| self.shelf[*before].piece.composer.as_deref());
        let mut others: Vec<(Milli, usize)> = self
            .by_file()
            .filter(|piece| !taken.contains(piece))
            .filter_map(|piece| {
                let penalty = self.penalty(piece, ability, composer)?;
                verdict_with_scales(&self.shelf[piece].piece, ability).1.scales.is_empty().then_some((penalty, piece))
            })
            .collect();
        others.sort_by_key(|(penalty, _)| *penalty);
        others.into_iter().take(self.options.alternatives).map(|(_, piece)| piece).collect()
    }

    /// What a lesson of scales alone prepares.
    pub(super) fn what_for(&self, steps: &[Step], index: usize) -> String {
        let next = steps.get(index + 1..).into_iter().flatten().find_map(|step| step.piece);
        match next.and_then(|piece| self.shelf.get(piece)) {
            Some(entry) => format!("the scales of `{}`, beside pieces already known", entry.title()),
            None => "scales for what follows, beside pieces already known".to_owned(),
        }
    }

    /// The scales of [`candidates`] learnt in steps, with the lesson each is learnt in.
    pub(super) fn scales_of(steps: &[Step]) -> Vec<(usize, usize)> {
        let learnt = steps.iter().enumerate().flat_map(|(lesson, step)| step.scales.iter().map(move |s| (*s, lesson)));
        learnt.filter(|(scale, _)| *scale < candidates().len()).collect()
    }

    /// What the player has before a lesson.
    pub(super) fn before(&self, steps: &[Step], lesson: usize) -> Ability {
        let mut ability = self.start.clone();
        for step in &steps[..lesson.min(steps.len())] {
            for scale in &step.scales {
                ability.learn_scale(*scale);
            }
            if let Some(piece) = step.piece {
                self.learn(piece, &mut ability);
            }
        }
        ability
    }

    /// Whether piece `after` would be out of reach without piece `before`, everything else of the steps before it learnt.
    pub(super) fn is_needed(&self, steps: &[Step], before: usize, lesson: usize, after: usize) -> bool {
        let mut ability = self.start.clone();
        for piece in steps[..lesson.min(steps.len())].iter().filter_map(|step| step.piece).filter(|p| *p != before) {
            self.learn(piece, &mut ability);
        }
        !self.within_reach(after, &ability)
    }

    /// Nothing practised at all, to tell what a crossing needs.
    pub(super) fn nothing() -> Practised {
        Practised::default()
    }
}

//! Which few sets cover the most weight for what they cost.
//!
//! In: what each element weighs, which elements each set holds, what each set costs, what is covered already. Out: the
//! sets to take, in order. Used for scales (the sets) and the crossings that they practise (the elements); a scale costs
//! what its accidentals make harder.
//!
//! Up to [`EXACT`] sets the choice is the best there is, found by trying every combination that could still win; beyond
//! that each further set is the best next one. A greedy choice alone covers at least 1 - 1/e of the best where nothing
//! costs anything (Nemhauser, Wolsey and Fisher 1978, Mathematical Programming 14, 265-294).

use fixedbitset::FixedBitSet;

/// Sets that are chosen together, exactly. Chosen by us: a lesson adds one to three scales, and all triples of the 49
/// scales are tried in well under a millisecond.
pub const EXACT: usize = 3;

/// The weights and sets of one question.
#[derive(Clone, Copy, Debug)]
pub struct Cover<'a> {
    /// Weight of each element.
    pub weights: &'a [u64],
    /// Elements of each set; of two sets equally good the earlier one is taken.
    pub sets: &'a [FixedBitSet],
    /// What each set costs, in the unit of the weights; sets beyond the end cost nothing.
    pub costs: &'a [u64],
}

impl Cover<'_> {
    /// Weight of the elements in `covered`.
    pub fn weight(&self, covered: &FixedBitSet) -> u64 {
        self.sum(covered.ones())
    }

    /// Weight of all elements.
    pub fn total(&self) -> u64 {
        self.sum(0..self.weights.len())
    }

    fn sum(&self, elements: impl Iterator<Item = usize>) -> u64 {
        elements.filter_map(|element| self.weights.get(element)).fold(0, |sum, weight| sum.saturating_add(*weight))
    }

    fn cost(&self, set: usize) -> i128 {
        i128::from(self.costs.get(set).copied().unwrap_or(0))
    }

    /// What a set adds to what is covered.
    fn gain(&self, set: usize, covered: &FixedBitSet) -> u64 {
        self.sets.get(set).map_or(0, |set| self.sum(set.difference(covered)))
    }

    /// What is covered with some sets more.
    fn with(&self, covered: &FixedBitSet, sets: &[usize]) -> FixedBitSet {
        let mut all = covered.clone();
        for set in sets.iter().filter_map(|index| self.sets.get(*index)) {
            all.union_with(set);
        }
        all
    }

    /// Up to `count` sets that together cover the most beyond `covered` less what they cost, the one that adds most
    /// first; fewer when nothing is left that is worth its cost.
    pub fn best(&self, covered: &FixedBitSet, count: usize) -> Vec<usize> {
        let sets = self.undominated(covered);
        let mut search = Search { cover: self, target: 0, best: None, chosen: Vec::new() };
        search.extend(&sets, covered, 0, 0, count.min(EXACT));
        let chosen = search.best.map(|(_, chosen)| chosen).unwrap_or_default();
        let mut order = self.by_gain(covered, chosen);
        if order.len() == EXACT && count > EXACT {
            let all = (0..self.sets.len()).collect();
            order.extend(self.greedy(&self.with(covered, &order), all, count - EXACT));
        }
        order
    }

    /// The fewest sets that bring the covered weight to `target`, if at most `most` of them can, the cheapest of those;
    /// exact up to [`EXACT`].
    pub fn fewest(&self, covered: &FixedBitSet, target: u64, most: usize) -> Option<Vec<usize>> {
        if self.weight(covered) >= target {
            return Some(Vec::new());
        }
        let sets = self.undominated(covered);
        let already = self.weight(covered);
        for count in 1..=most.min(EXACT) {
            let mut search =
                Search { cover: self, target: target.saturating_sub(already), best: None, chosen: Vec::new() };
            search.extend(&sets, covered, 0, 0, count);
            if let Some((_, chosen)) = search.best {
                return Some(self.by_gain(covered, chosen));
            }
        }
        let free = Cover { costs: &[], ..*self };
        let order = free.greedy(covered, (0..self.sets.len()).collect(), most);
        (EXACT..=order.len())
            .map(|count| &order[..count])
            .find_map(|chosen| (self.weight(&self.with(covered, chosen)) >= target).then(|| chosen.to_vec()))
    }

    /// Sets that add something and are not within another one that adds the same or more for no more; of equals the
    /// first. No other set is ever needed: the one around it does as well.
    fn undominated(&self, covered: &FixedBitSet) -> Vec<usize> {
        let adds: Vec<FixedBitSet> = self
            .sets
            .iter()
            .map(|set| {
                let weighs = |element: &usize| self.weights.get(*element).is_some_and(|weight| *weight > 0);
                let mut added = FixedBitSet::with_capacity(self.weights.len());
                added.extend(set.difference(covered).filter(weighs));
                added
            })
            .collect();
        let dominates = |a: usize, b: usize| {
            let same = adds[a] == adds[b] && self.cost(a) == self.cost(b);
            a != b && adds[b].is_subset(&adds[a]) && self.cost(a) <= self.cost(b) && (!same || a < b)
        };
        (0..adds.len())
            .filter(|index| !adds[*index].is_clear() && !(0..adds.len()).any(|other| dominates(other, *index)))
            .collect()
    }

    /// The same sets, the one that adds most first, then the one that adds most to that, and so on.
    fn by_gain(&self, covered: &FixedBitSet, sets: Vec<usize>) -> Vec<usize> {
        let count = sets.len();
        Cover { costs: &[], ..*self }.greedy(covered, sets, count)
    }

    /// Takes from `among` the set that adds most less its cost, again and again.
    fn greedy(&self, covered: &FixedBitSet, mut among: Vec<usize>, count: usize) -> Vec<usize> {
        among.sort_unstable();
        let mut covered = covered.clone();
        let mut order = Vec::new();
        while order.len() < count {
            let worth = |index: &usize| (i128::from(self.gain(*index, &covered)) - self.cost(*index), *index);
            // Of equals the first set wins: `max_by_key` would take the last.
            let best = among.iter().map(worth).reduce(|best, next| if next.0 > best.0 { next } else { best });
            let Some((_, index)) = best.filter(|(worth, _)| *worth > 0) else { break };
            covered = self.with(&covered, &[index]);
            among.retain(|other| *other != index);
            order.push(index);
        }
        order
    }
}

/// Every combination of up to so many sets that reaches the target, but for those that cannot win any more.
struct Search<'a> {
    cover: &'a Cover<'a>,
    /// Weight that must be added; 0 when the most for the cost is looked for.
    target: u64,
    /// Worth of the best combination so far: with a target the negative cost, else weight less cost.
    best: Option<(i128, Vec<usize>)>,
    chosen: Vec<usize>,
}

impl Search<'_> {
    fn extend(&mut self, among: &[usize], covered: &FixedBitSet, weight: u64, cost: i128, left: usize) {
        let worth = if self.target > 0 { -cost } else { i128::from(weight) - cost };
        // More worth wins; of equals the combination met first, which has the earlier sets.
        if weight >= self.target && self.best.as_ref().is_none_or(|(best, _)| worth > *best) {
            self.best = Some((worth, self.chosen.clone()));
        }
        if left == 0 {
            return;
        }
        let gains: Vec<u64> = among.iter().map(|index| self.cover.gain(*index, covered)).collect();
        for (place, index) in among.iter().enumerate() {
            // What a set adds only shrinks as others are taken, so the largest gains left bound what is still possible.
            let mut rest = gains[place..].to_vec();
            rest.sort_unstable_by(|a, b| b.cmp(a));
            let most = rest.iter().take(left).fold(weight, |sum, gain| sum.saturating_add(*gain));
            let bound = if self.target > 0 { -cost } else { i128::from(most) - cost };
            if most < self.target || self.best.as_ref().is_some_and(|(best, _)| bound <= *best) {
                return;
            }
            if gains[place] == 0 {
                continue;
            }
            let with = self.cover.with(covered, &[*index]);
            self.chosen.push(*index);
            let weight = weight.saturating_add(gains[place]);
            self.extend(&among[place + 1..], &with, weight, cost + self.cover.cost(*index), left - 1);
            self.chosen.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn bits(elements: &[usize], size: usize) -> FixedBitSet {
        let mut set = FixedBitSet::with_capacity(size);
        set.extend(elements.iter().copied().filter(|element| *element < size));
        set
    }

    // Worked by hand. Elements 0, 1 and 2 weigh 30, 4 and 5 weigh 15, 6 weighs 5. Alone, set 0 covers the most (65); the
    // best pair is 1 and 2, which leaves it out.
    #[test]
    fn the_best_pair_need_not_hold_the_best_single_set() {
        let weights = [30, 30, 30, 0, 15, 15, 5];
        let sets = [bits(&[0, 1, 6], 7), bits(&[0, 4, 5], 7), bits(&[1, 2], 7)];
        let cover = Cover { weights: &weights, sets: &sets, costs: &[] };
        let none = bits(&[], 7);
        assert_eq!(cover.best(&none, 1), [0], "65 against 60 and 60");
        assert_eq!(cover.best(&none, 2), [1, 2], "120 against 95 and 95");
        assert_eq!(cover.fewest(&none, 120, 3), Some(vec![1, 2]));
        assert_eq!(cover.fewest(&none, 126, 3), None);
        assert_eq!(cover.fewest(&none, 0, 3), Some(vec![]));
        let dear = Cover { costs: &[6, 0, 0], ..cover };
        assert_eq!(dear.best(&none, 1), [1], "60 against 65 less 6");
        assert_eq!(dear.fewest(&none, 60, 1), Some(vec![1]), "the cheapest that reaches it");
        assert_eq!(dear.fewest(&none, 61, 1), Some(vec![0]));
    }

    #[test]
    fn sets_that_add_nothing_or_less_than_they_cost_are_not_taken() {
        let sets = [bits(&[0], 2), bits(&[0], 2), bits(&[1], 2)];
        let cover = Cover { weights: &[5, 0], sets: &sets, costs: &[] };
        assert_eq!(cover.best(&bits(&[], 2), 3), [0]);
        assert_eq!(cover.best(&bits(&[0], 2), 3), Vec::<usize>::new());
        assert_eq!(Cover { costs: &[5, 4], ..cover }.best(&bits(&[], 2), 3), [1]);
        assert_eq!(Cover { costs: &[5, 5], ..cover }.best(&bits(&[], 2), 3), Vec::<usize>::new());
    }

    /// Combinations of at most `count` sets, by trying all: how much each adds and what it costs.
    fn combinations(cover: &Cover<'_>, covered: &FixedBitSet, count: usize) -> Vec<(u64, i128)> {
        (0_u32..1 << cover.sets.len())
            .filter(|chosen| chosen.count_ones() as usize <= count)
            .map(|chosen| {
                let sets: Vec<usize> = (0..cover.sets.len()).filter(|index| chosen >> index & 1 == 1).collect();
                let added = cover.weight(&cover.with(covered, &sets)) - cover.weight(covered);
                (added, sets.iter().map(|set| cover.cost(*set)).sum())
            })
            .collect()
    }

    fn brute(cover: &Cover<'_>, covered: &FixedBitSet, count: usize) -> i128 {
        combinations(cover, covered, count).into_iter().map(|(added, cost)| i128::from(added) - cost).max().unwrap_or(0)
    }

    type Drawn = (Vec<u64>, Vec<Vec<usize>>, Vec<u64>, Vec<usize>);

    fn any_question() -> impl Strategy<Value = Drawn> {
        (
            prop::collection::vec(0_u64..20, 8),
            prop::collection::vec(prop::collection::vec(0_usize..8, 0..5), 0..8),
            prop::collection::vec(0_u64..12, 0..8),
            prop::collection::vec(0_usize..8, 0..4),
        )
    }

    proptest! {
        #[test]
        fn up_to_three_sets_are_the_best_for_their_cost(
            (weights, sets, costs, known) in any_question(), count in 0_usize..6,
        ) {
            let sets: Vec<FixedBitSet> = sets.iter().map(|set| bits(set, 8)).collect();
            let cover = Cover { weights: &weights, sets: &sets, costs: &costs };
            let covered = bits(&known, 8);
            let chosen = cover.best(&covered, count);
            prop_assert!(chosen.len() <= count);
            let mut all = covered.clone();
            let mut gains = Vec::new();
            for index in &chosen {
                gains.push(cover.gain(*index, &all));
                all = cover.with(&all, &[*index]);
            }
            prop_assert!(gains.iter().all(|gain| *gain > 0));
            prop_assert!(gains.windows(2).take(EXACT - 1).all(|pair| pair[0] >= pair[1]));
            let cost: i128 = chosen.iter().map(|set| cover.cost(*set)).sum();
            let worth = i128::from(cover.weight(&all) - cover.weight(&covered)) - cost;
            if count <= EXACT {
                prop_assert_eq!(worth, brute(&cover, &covered, count));
            } else {
                prop_assert!(worth >= brute(&cover, &covered, EXACT));
            }
        }

        #[test]
        fn the_fewest_sets_are_the_fewest_and_of_these_the_cheapest(
            (weights, sets, costs, known) in any_question(), target in 0_u64..100,
        ) {
            let sets: Vec<FixedBitSet> = sets.iter().map(|set| bits(set, 8)).collect();
            let cover = Cover { weights: &weights, sets: &sets, costs: &costs };
            let covered = bits(&known, 8);
            let need = target.saturating_sub(cover.weight(&covered));
            let reaching = |count| combinations(&cover, &covered, count).into_iter().filter(|(added, _)| *added >= need);
            let least = (0..=EXACT).find(|count| reaching(*count).next().is_some());
            let found = cover.fewest(&covered, target, EXACT);
            prop_assert_eq!(found.as_ref().map(Vec::len), least);
            if let (Some(found), Some(least)) = (found, least) {
                let cost: i128 = found.iter().map(|set| cover.cost(*set)).sum();
                prop_assert_eq!(Some(cost), reaching(least).map(|(_, cost)| cost).min());
            }
        }
    }
}

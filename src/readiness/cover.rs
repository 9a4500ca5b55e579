//! Which few sets cover the most weight.
//!
//! In: what each element weighs, which elements each set holds, what is covered already. Out: the sets to take, in
//! order. Used for scales (the sets) and the crossings that they practise (the elements).
//!
//! Up to [`EXACT`] sets the choice is the best there is, found by trying every combination that could still win; beyond
//! that each further set is the best next one. A greedy choice alone covers at least 1 - 1/e of the best (Nemhauser,
//! Wolsey and Fisher 1978, Mathematical Programming 14, 265-294).

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
}

impl Cover<'_> {
    /// Weight of the elements in `covered`.
    pub fn weight(&self, covered: &FixedBitSet) -> u64 {
        covered
            .ones()
            .filter_map(|element| self.weights.get(element))
            .fold(0, |sum, weight| sum.saturating_add(*weight))
    }

    /// Weight of all elements.
    pub fn total(&self) -> u64 {
        self.weights.iter().fold(0, |sum, weight| sum.saturating_add(*weight))
    }

    fn gain(&self, set: &FixedBitSet, covered: &FixedBitSet) -> u64 {
        set.difference(covered)
            .filter_map(|element| self.weights.get(element))
            .fold(0, |sum, weight| sum.saturating_add(*weight))
    }

    /// Up to `count` sets that together cover the most beyond `covered`, the one that adds most first; fewer when
    /// nothing is left to gain.
    pub fn best(&self, covered: &FixedBitSet, count: usize) -> Vec<usize> {
        let mut search = Search { cover: self, best_weight: 0, best: Vec::new(), chosen: Vec::new() };
        let useful = self.undominated(covered);
        search.extend(&useful, covered, 0, count.min(EXACT));
        let mut order = self.greedy(covered, search.best.clone(), search.best.len());
        if order.len() == EXACT && count > EXACT {
            let mut covered = covered.clone();
            for index in &order {
                covered.union_with(&self.sets[*index]);
            }
            order.extend(self.greedy(&covered, (0..self.sets.len()).collect(), count - EXACT));
        }
        order
    }

    /// Sets that add something and are not within another one that adds the same and more; of equals the first. No
    /// other set is ever needed: the one around it does as much.
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
        let within = |a: usize, b: usize| a != b && adds[a].is_subset(&adds[b]) && (adds[a] != adds[b] || b < a);
        (0..adds.len())
            .filter(|index| !adds[*index].is_clear() && !(0..adds.len()).any(|other| within(*index, other)))
            .collect()
    }

    /// The fewest sets that bring the covered weight to `target`, if at most `most` of them can; exact up to [`EXACT`].
    pub fn fewest(&self, covered: &FixedBitSet, target: u64, most: usize) -> Option<Vec<usize>> {
        let reaches = |chosen: &[usize]| {
            let mut all = covered.clone();
            for index in chosen {
                all.union_with(&self.sets[*index]);
            }
            self.weight(&all) >= target
        };
        for count in 0..=most.min(EXACT) {
            let chosen = self.best(covered, count);
            if reaches(&chosen) {
                return Some(chosen);
            }
            if chosen.len() < count {
                return None;
            }
        }
        (most > EXACT).then(|| self.best(covered, most)).and_then(|chosen| {
            (0..=chosen.len()).map(|count| &chosen[..count]).find(|chosen| reaches(chosen)).map(<[usize]>::to_vec)
        })
    }

    /// Takes from `among` the set that adds most, again and again.
    fn greedy(&self, covered: &FixedBitSet, mut among: Vec<usize>, count: usize) -> Vec<usize> {
        among.sort_unstable();
        let mut covered = covered.clone();
        let mut order = Vec::new();
        while order.len() < count {
            let gains = among.iter().map(|index| (self.gain(&self.sets[*index], &covered), *index));
            // Of equal gains the first set wins: `max_by_key` would take the last.
            let Some((gain, index)) = gains.reduce(|best, next| if next.0 > best.0 { next } else { best }) else {
                break;
            };
            if gain == 0 {
                break;
            }
            covered.union_with(&self.sets[index]);
            among.retain(|other| *other != index);
            order.push(index);
        }
        order
    }
}

/// Every combination of up to so many sets, but for those that cannot win any more.
struct Search<'a> {
    cover: &'a Cover<'a>,
    best_weight: u64,
    best: Vec<usize>,
    chosen: Vec<usize>,
}

impl Search<'_> {
    fn extend(&mut self, among: &[usize], covered: &FixedBitSet, weight: u64, left: usize) {
        // More weight wins; of equal weights the combination met first, which has the earlier sets.
        if weight > self.best_weight {
            self.best_weight = weight;
            self.best.clone_from(&self.chosen);
        }
        if left == 0 {
            return;
        }
        let gains: Vec<u64> = among.iter().map(|index| self.cover.gain(&self.cover.sets[*index], covered)).collect();
        for (place, index) in among.iter().enumerate() {
            // What a set adds only shrinks as others are taken, so the largest gains left bound what is still possible.
            let mut rest = gains[place..].to_vec();
            rest.sort_unstable_by(|a, b| b.cmp(a));
            let bound = rest.iter().take(left).fold(weight, |sum, gain| sum.saturating_add(*gain));
            if bound <= self.best_weight {
                return;
            }
            if gains[place] == 0 {
                continue;
            }
            let mut with = covered.clone();
            with.union_with(&self.cover.sets[*index]);
            self.chosen.push(*index);
            self.extend(&among[place + 1..], &with, weight.saturating_add(gains[place]), left - 1);
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

    // Worked by hand: the set that is best alone (0, weight 6) is not in the best pair (1 and 2, weight 9).
    #[test]
    fn the_best_pair_need_not_hold_the_best_single_set() {
        let weights = [3, 3, 3, 0];
        let weights: Vec<u64> = weights.iter().map(|w| w * 10).chain([15, 15, 5]).collect();
        // elements: 0,1,2 weigh 30; 4,5 weigh 15; 6 weighs 5.
        let sets = [bits(&[0, 1, 6], 7), bits(&[0, 4, 5], 7), bits(&[1, 2], 7)];
        let cover = Cover { weights: &weights, sets: &sets };
        let none = bits(&[], 7);
        assert_eq!(cover.best(&none, 1), [0], "65 against 60 and 60");
        assert_eq!(cover.best(&none, 2), [1, 2], "120 against 95 and 95");
        assert_eq!(cover.fewest(&none, 120, 3), Some(vec![1, 2]));
        assert_eq!(cover.fewest(&none, 126, 3), None);
        assert_eq!(cover.fewest(&none, 0, 3), Some(vec![]));
    }

    #[test]
    fn sets_that_add_nothing_are_not_taken() {
        let sets = [bits(&[0], 2), bits(&[0], 2), bits(&[1], 2)];
        let cover = Cover { weights: &[5, 0], sets: &sets };
        assert_eq!(cover.best(&bits(&[], 2), 3), [0]);
        assert_eq!(cover.best(&bits(&[0], 2), 3), Vec::<usize>::new());
    }

    /// Weight of the best combination of at most `count` sets, by trying all.
    fn brute(cover: &Cover<'_>, covered: &FixedBitSet, count: usize) -> u64 {
        (0_u32..1 << cover.sets.len())
            .filter(|chosen| chosen.count_ones() as usize <= count)
            .map(|chosen| {
                let mut all = covered.clone();
                for (index, set) in cover.sets.iter().enumerate() {
                    if chosen >> index & 1 == 1 {
                        all.union_with(set);
                    }
                }
                cover.weight(&all)
            })
            .max()
            .unwrap_or(0)
    }

    proptest! {
        #[test]
        fn up_to_three_sets_are_the_best_and_the_order_is_by_gain(
            weights in prop::collection::vec(0_u64..20, 8),
            sets in prop::collection::vec(prop::collection::vec(0_usize..8, 0..5), 0..8),
            known in prop::collection::vec(0_usize..8, 0..4),
            count in 0_usize..6,
        ) {
            let sets: Vec<FixedBitSet> = sets.iter().map(|set| bits(set, 8)).collect();
            let cover = Cover { weights: &weights, sets: &sets };
            let covered = bits(&known, 8);
            let chosen = cover.best(&covered, count);
            let mut all = covered.clone();
            let mut gains = Vec::new();
            for index in &chosen {
                let before = cover.weight(&all);
                all.union_with(&sets[*index]);
                gains.push(cover.weight(&all) - before);
            }
            prop_assert!(chosen.len() <= count);
            prop_assert!(gains.iter().all(|gain| *gain > 0));
            prop_assert!(gains.windows(2).take(EXACT - 1).all(|pair| pair[0] >= pair[1]));
            if count <= EXACT {
                prop_assert_eq!(cover.weight(&all), brute(&cover, &covered, count));
            } else {
                prop_assert!(cover.weight(&all) >= brute(&cover, &covered, EXACT));
            }
        }

        #[test]
        fn the_fewest_sets_are_the_fewest(
            weights in prop::collection::vec(0_u64..20, 8),
            sets in prop::collection::vec(prop::collection::vec(0_usize..8, 0..5), 0..8),
            target in 0_u64..100,
        ) {
            let sets: Vec<FixedBitSet> = sets.iter().map(|set| bits(set, 8)).collect();
            let cover = Cover { weights: &weights, sets: &sets };
            let none = bits(&[], 8);
            let least = (0..=EXACT).find(|count| brute(&cover, &none, *count) >= target);
            prop_assert_eq!(cover.fewest(&none, target, EXACT).map(|chosen| chosen.len()), least);
        }
    }
}

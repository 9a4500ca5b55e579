//! Which scales to take: those that cover most of the effort at the least price.
//!
//! In: elements (parts of the effort) with the scales that cover them, and what each scale costs. Out: the set of scales
//! with the greatest worth: the weight of all covered elements less the costs. A cost below zero is a bonus.
//!
//! Found by branch and bound, and the best there is unless `MOST_NODES` are visited first; then it is the best of those,
//! and never worth less than taking the best next scale again and again, which comes first. For covers without costs that
//! greedy way reaches at least 1 - 1/e of the best (Nemhauser, Wolsey and Fisher 1978, Mathematical Programming 14,
//! 265-294).

use super::candidates::ScaleMask;

/// Branches looked at before the search is cut short. Chosen by us: real pieces need some dozens; this many take about a
/// millisecond.
const MOST_NODES: usize = 500;

/// A part of the effort.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Element {
    /// Scales that cover it.
    pub scales: ScaleMask,
    /// How much it is.
    pub weight: i64,
}

/// The question: at most `most` scales out of `costs.len()` (at most 64).
#[derive(Clone, Debug)]
pub struct Choice {
    /// What there is to cover.
    pub elements: Vec<Element>,
    /// What each scale costs.
    pub costs: Vec<i64>,
    /// Most scales.
    pub most: usize,
}

impl Choice {
    /// The best set of scales, as indices in the order in which each adds most.
    pub fn best(&self) -> Vec<usize> {
        let mut elements = merged(self.elements.clone());
        let useful = undominated(&elements, &self.costs);
        for element in &mut elements {
            element.scales &= useful;
        }
        let elements = merged(elements);
        let mut search = Search { costs: &self.costs, best: (0, Vec::new()), chosen: Vec::new(), nodes: 0 };
        let among: Vec<usize> = (0..self.costs.len().min(64)).filter(|scale| useful >> scale & 1 == 1).collect();
        search.extend(&among, &elements, 0, self.most);
        in_order_of_gain(search.best.1, &elements, &self.costs)
    }
}

/// Elements that the same scales cover are one.
fn merged(mut elements: Vec<Element>) -> Vec<Element> {
    elements.retain(|element| element.weight > 0 && element.scales != 0);
    elements.sort_unstable_by_key(|element| element.scales);
    elements.dedup_by(|next, kept| {
        let same = next.scales == kept.scales;
        if same {
            kept.weight = kept.weight.saturating_add(next.weight);
        }
        same
    });
    elements
}

/// The scales that may be needed: those for which no other scale covers the same and more for no higher cost. Of equals
/// the first stays. A scale with a bonus is worth taking besides any other.
fn undominated(elements: &[Element], costs: &[i64]) -> ScaleMask {
    // For each scale those that cover all its elements.
    let mut covering = [ScaleMask::MAX; 64];
    for element in elements {
        let mut scales = element.scales;
        while scales != 0 {
            covering[scales.trailing_zeros() as usize] &= element.scales;
            scales &= scales - 1;
        }
    }
    let covers = |other: usize, scale: usize| covering[scale] >> other & 1 == 1;
    let dominates = |other: usize, scale: usize| {
        let equal = covers(scale, other) && costs[other] == costs[scale];
        other != scale && covers(other, scale) && costs[other] <= costs[scale] && (!equal || other < scale)
    };
    let count = costs.len().min(64);
    let needed = |scale: &usize| costs[*scale] < 0 || !(0..count).any(|other| dominates(other, *scale));
    (0..count).filter(needed).fold(0, |mask, scale| mask | 1 << scale)
}

struct Search<'a> {
    costs: &'a [i64],
    /// Worth and scales of the best set so far.
    best: (i64, Vec<usize>),
    chosen: Vec<usize>,
    nodes: usize,
}

impl Search<'_> {
    /// Tries all sets that add scales of `among` to those chosen; `open` are the elements not covered yet.
    fn extend(&mut self, among: &[usize], open: &[Element], worth: i64, left: usize) {
        self.nodes += 1;
        // More worth wins; of equal worth fewer scales, then the set met first.
        if worth > self.best.0 || worth == self.best.0 && self.chosen.len() < self.best.1.len() {
            self.best = (worth, self.chosen.clone());
        }
        if left == 0 {
            return;
        }
        let gains = gains(open, self.costs);
        let mut ranked: Vec<(i64, usize)> =
            among.iter().map(|scale| (gains[*scale], *scale)).filter(|(gain, _)| *gain > 0).collect();
        // Best first, so that the first way down is the greedy one; of equals the earlier scale.
        ranked.sort_unstable_by_key(|(gain, scale)| (-gain, *scale));
        for place in 0..ranked.len() {
            // Gains only shrink as elements are covered, so those of the best scales left bound what is still possible.
            let bound = ranked[place..].iter().take(left).fold(worth, |sum, (gain, _)| sum.saturating_add(*gain));
            let fewer = self.chosen.len() + 1 < self.best.1.len();
            if bound < self.best.0 || bound == self.best.0 && !fewer || self.nodes >= MOST_NODES {
                return;
            }
            let (gain, scale) = ranked[place];
            let still: Vec<Element> = open.iter().copied().filter(|e| e.scales >> scale & 1 == 0).collect();
            let others: Vec<usize> = ranked[place + 1..].iter().map(|(_, scale)| *scale).collect();
            self.chosen.push(scale);
            self.extend(&others, &still, worth.saturating_add(gain), left - 1);
            self.chosen.pop();
        }
    }
}

/// What each scale would add: the open elements it covers, less its cost.
fn gains(open: &[Element], costs: &[i64]) -> [i64; 64] {
    let mut gains = [0_i64; 64];
    for (gain, cost) in gains.iter_mut().zip(costs) {
        *gain = cost.saturating_neg();
    }
    for element in open {
        let mut scales = element.scales;
        while scales != 0 {
            let gain = &mut gains[scales.trailing_zeros() as usize];
            *gain = gain.saturating_add(element.weight);
            scales &= scales - 1;
        }
    }
    gains
}

fn in_order_of_gain(mut among: Vec<usize>, elements: &[Element], costs: &[i64]) -> Vec<usize> {
    let mut open = elements.to_vec();
    let mut order = Vec::with_capacity(among.len());
    among.sort_unstable();
    while !among.is_empty() {
        let gains = gains(&open, costs);
        // Of equals the first; `max_by_key` alone would take the last.
        let next = (0..among.len()).rev().max_by_key(|place| gains[among[*place]]).unwrap_or(0);
        let scale = among.remove(next);
        open.retain(|element| element.scales >> scale & 1 == 0);
        order.push(scale);
    }
    order
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn worth(choice: &Choice, scales: u64) -> i64 {
        let covered = choice.elements.iter().filter(|element| element.scales & scales != 0);
        let costs = choice.costs.iter().enumerate().filter(|(scale, _)| scales >> scale & 1 == 1);
        covered.map(|element| element.weight).sum::<i64>() - costs.map(|(_, cost)| cost).sum::<i64>()
    }

    fn mask(scales: &[usize]) -> u64 {
        scales.iter().fold(0, |mask, scale| mask | 1 << scale)
    }

    proptest! {
        #[test]
        fn the_choice_is_the_best_of_all_sets(
            elements in prop::collection::vec((0_u64..256, 0_i64..40), 0..14),
            costs in prop::collection::vec(-5_i64..20, 8),
            most in 0_usize..5,
        ) {
            let elements = elements.into_iter().map(|(scales, weight)| Element { scales, weight }).collect();
            let choice = Choice { elements, costs, most };
            let best = choice.best();
            let sets = (0_u64..256).filter(|set| set.count_ones() as usize <= most);
            let brute = sets.map(|set| (worth(&choice, set), -i64::from(set.count_ones()))).max().unwrap();
            prop_assert!(best.len() <= most);
            prop_assert_eq!((worth(&choice, mask(&best)), -(best.len() as i64)), brute);
        }
    }

    // Worked by hand: 0 covers most (7), but 1 and 2 together cover all (10) and cost no more.
    #[test]
    fn the_best_single_scale_need_not_be_in_the_best_set() {
        let element = |scales, weight| Element { scales, weight };
        let elements = vec![element(0b011, 4), element(0b101, 3), element(0b010, 2), element(0b100, 1)];
        let choice = Choice { elements, costs: vec![1, 1, 1], most: 2 };
        assert_eq!(choice.best(), [1, 2]);
        assert_eq!(Choice { most: 1, ..choice }.best(), [0]);
    }

    #[test]
    fn a_scale_that_does_not_pay_is_left_out() {
        let element = |scales, weight| Element { scales, weight };
        let choice = Choice { elements: vec![element(0b01, 50), element(0b10, 3)], costs: vec![4, 4], most: 6 };
        assert_eq!(choice.best(), [0]);
        let bonus = Choice { costs: vec![4, -1], ..choice };
        assert_eq!(bonus.best(), [0, 1]);
    }

    #[test]
    fn a_question_with_very_many_ways_is_answered_at_least_greedily() {
        let mut seed = 1_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            seed >> 15
        };
        let elements = (0..400).map(|_| Element { scales: next() & next(), weight: (next() % 50) as i64 }).collect();
        let choice = Choice { elements, costs: vec![40; 49], most: 6 };
        let best = choice.best();
        let mut greedy = 0_u64;
        for _ in 0..6 {
            let add = (0..49).max_by_key(|scale| worth(&choice, greedy | 1 << scale)).unwrap();
            greedy |= 1 << add;
        }
        assert!(worth(&choice, mask(&best)) >= worth(&choice, greedy));
    }
}

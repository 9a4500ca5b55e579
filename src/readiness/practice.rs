//! Which crossings a player has practised, and which scales would practise the rest.
//!
//! In: scales by hand and octaves, crossings of pieces. Out: [`Practised`], the crossings under the player's fingers;
//! and [`scales_needed`], the fewest new scales that prepare a piece.

use std::collections::{BTreeMap, BTreeSet};

use fixedbitset::FixedBitSet;

use super::cover::Cover;
use crate::crossing::{Crossing, Practice};
use crate::drills::{OCTAVES, Practising, ScaleMask, candidates, scales_practising, steps_of};
use crate::scales::{Form, Scale};
use crate::summary::CrossingDemand;
use crate::units::{Hand, KeyColour, Motion};

/// Share of a piece's crossings, by effort and of those that any scale practises, that counts as prepared, in per cent.
/// Chosen by us: what is left is then a matter of a few isolated transitions, not of a scale.
pub const PREPARED_PERCENT: u64 = 85;

/// New scales looked at for one piece. Chosen by us: a piece that needs more is far off, whatever the number.
const MOST_SCALES: usize = 8;

/// Crossings that a player has under the fingers.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Practised {
    crossings: BTreeSet<Crossing>,
}

impl Practised {
    /// Adds what one hand meets in a scale over so many octaves, up and down.
    pub fn add_scale(&mut self, scale: Scale, hand: Hand, octaves: u8) {
        let octaves = octaves.clamp(1, OCTAVES);
        for motion in Motion::BOTH {
            self.crossings.extend(steps_of(scale, hand, motion, octaves).into_iter().map(|own| own.crossing));
        }
    }

    /// Adds a crossing met in a piece.
    pub fn add_crossing(&mut self, crossing: Crossing) {
        self.crossings.insert(crossing);
    }

    /// How well this crossing is practised: itself, or one that comes near; `None` if neither is among them.
    pub fn best(&self, crossing: &Crossing) -> Option<Practice> {
        if self.crossings.contains(crossing) {
            return Some(Practice::Exact);
        }
        let flipped = |colour| if colour == KeyColour::White { KeyColour::Black } else { KeyColour::White };
        let near = [
            Crossing { interval: crossing.interval.saturating_sub(1), ..*crossing },
            Crossing { interval: crossing.interval.saturating_add(1), ..*crossing },
            Crossing { from_colour: flipped(crossing.from_colour), ..*crossing },
            Crossing { to_colour: flipped(crossing.to_colour), ..*crossing },
        ];
        near.iter().any(|near| self.crossings.contains(near)).then_some(Practice::Nearly)
    }
}

/// What a scale must cover more than another to be worth its accidentals, in thousandths of all effort: half a per cent for
/// each sharp or flat, and as much for a minor or chromatic scale. Chosen by us: C major is learnt before B-flat melodic
/// minor unless the latter does clearly more.
fn cost(scale: Scale) -> u64 {
    let accidentals = u64::from(scale.fifths().unsigned_abs());
    5 * (accidentals + u64::from(scale.form() != Form::Major))
}

/// So many thousandths of a sum.
pub fn part_of(total: u128, thousandths: u64) -> u64 {
    u64::try_from(total.saturating_mul(u128::from(thousandths)) / 1000).unwrap_or(u64::MAX)
}

/// Crossings as elements to cover and scales as sets that cover them.
///
/// Each crossing is two elements of half its effort: one that a scale covers when it comes near (the interval off by a
/// semitone, or one key of the other colour), and one that takes the very same crossing. Chosen by us: were nearness as
/// good, C major and B-flat major would practise every scale there is, which no teacher would sign.
#[derive(Clone, Debug)]
pub struct Question {
    /// Efforts of the elements that any scale practises.
    pub weights: Vec<u64>,
    /// For every one of [`candidates`], the elements that it practises.
    pub sets: Vec<FixedBitSet>,
    /// What each of the scales costs, in the unit of the weights.
    pub costs: Vec<u64>,
    /// The elements that are practised already.
    pub covered: FixedBitSet,
    /// Effort of crossings that no scale comes near, and that are not met in a played piece either.
    pub beyond_scales: u64,
}

impl Question {
    /// Puts the question for crossings of one piece or of many; equal crossings may come several times.
    pub fn new<'a>(crossings: impl IntoIterator<Item = &'a CrossingDemand>, practised: &Practised) -> Self {
        // Elements that the same scales cover are one, which leaves a few dozen of a long list.
        let mut elements: BTreeMap<(ScaleMask, bool), u64> = BTreeMap::new();
        let mut beyond_scales: u64 = 0;
        for demand in crossings {
            let has = practised.best(&demand.crossing);
            let Practising { nearly: near, exact } = scales_practising(&demand.crossing);
            // Half of the effort is met by what comes near, the other half only by the very same.
            let nearly = demand.effort / 2;
            let halves = [(Practice::Nearly, nearly), (Practice::Exact, demand.effort - nearly)];
            if near == 0 && has.is_none() {
                beyond_scales = beyond_scales.saturating_add(demand.effort);
            }
            for ((least, weight), scales) in halves.into_iter().zip([near, exact]) {
                let has = has.is_some_and(|practice| practice >= least);
                if scales != 0 || has {
                    let element = elements.entry((scales, has)).or_default();
                    *element = element.saturating_add(weight);
                }
            }
        }
        let size = elements.len();
        let mut sets = vec![FixedBitSet::with_capacity(size); candidates().len()];
        let mut covered = FixedBitSet::with_capacity(size);
        for (element, (scales, has)) in elements.keys().enumerate() {
            covered.set(element, *has);
            for (index, set) in sets.iter_mut().enumerate() {
                set.set(element, scales >> index & 1 == 1);
            }
        }
        let weights: Vec<u64> = elements.into_values().collect();
        let total = weights.iter().map(|weight| u128::from(*weight)).sum();
        let costs = candidates().iter().map(|scale| part_of(total, cost(*scale))).collect();
        Self { weights, sets, costs, covered, beyond_scales }
    }

    /// The question in the form in which it is solved.
    pub fn cover(&self) -> Cover<'_> {
        Cover { weights: &self.weights, sets: &self.sets, costs: &self.costs }
    }

    /// Effort at which the crossings count as prepared.
    fn target(&self) -> u64 {
        let total = u128::from(self.cover().total());
        u64::try_from((total * u128::from(PREPARED_PERCENT)).div_ceil(100)).unwrap_or(u64::MAX)
    }

    /// Thousandths of the effort that `covered` holds, rounded down; all of nothing.
    pub fn share(&self, covered: &FixedBitSet) -> i64 {
        let total = u128::from(self.cover().total());
        let part = u128::from(self.cover().weight(covered));
        (part * 1000).checked_div(total).map_or(1000, |share| share as i64)
    }

    /// What is covered once these scales have been learnt as well.
    pub fn with(&self, scales: &[usize]) -> FixedBitSet {
        let mut covered = self.covered.clone();
        for set in scales.iter().filter_map(|index| self.sets.get(*index)) {
            covered.union_with(set);
        }
        covered
    }
}

/// New scales for one piece.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ScalesNeeded {
    /// Indices into [`candidates`], the most useful first; empty when the piece is prepared for.
    pub scales: Vec<usize>,
    /// Share of the effort that is practised now, in thousandths.
    pub share_now: i64,
    /// Share once the scales have been learnt.
    pub share_then: i64,
}

/// The fewest new scales that prepare a piece, taken among `preferred` where these do it with as few.
pub fn scales_needed<'a>(
    crossings: impl IntoIterator<Item = &'a CrossingDemand>,
    practised: &Practised,
    preferred: &[usize],
) -> ScalesNeeded {
    let question = Question::new(crossings, practised);
    let (cover, target) = (question.cover(), question.target());
    let best = || cover.best(&question.covered, MOST_SCALES);
    let among_all = cover.fewest(&question.covered, target, MOST_SCALES).unwrap_or_else(best);
    let mut scales = among_all;
    if !preferred.is_empty() && !scales.is_empty() {
        let nothing = FixedBitSet::with_capacity(question.weights.len());
        let only: Vec<FixedBitSet> = question
            .sets
            .iter()
            .enumerate()
            .map(|(index, set)| if preferred.contains(&index) { set.clone() } else { nothing.clone() })
            .collect();
        let cover = Cover { weights: &question.weights, sets: &only, costs: &question.costs };
        if let Some(some) = cover.fewest(&question.covered, target, scales.len())
            && some.len() <= scales.len()
        {
            scales = some;
        }
    }
    ScalesNeeded {
        share_now: question.share(&question.covered),
        share_then: question.share(&question.with(&scales)),
        scales,
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::drills::candidate;

    /// The crossings of a scale, as a piece that runs through it in both hands would hold them, each weighing `effort`.
    pub fn crossings_of_scale(name: &str, effort: u64) -> Vec<CrossingDemand> {
        let mut practised = Practised::default();
        for hand in Hand::BOTH {
            practised.add_scale(Scale::parse(name, None).unwrap(), hand, 2);
        }
        let demand = |crossing| CrossingDemand { crossing, count: 1, effort, measure: "1".into() };
        practised.crossings.into_iter().map(demand).collect()
    }

    // C major, right hand, one octave: the thumb passes under the third finger once, so the passing under the fourth is
    // not met before the second octave.
    #[test]
    fn one_octave_practises_less_than_two() {
        let scale = Scale::parse("C", None).unwrap();
        let (mut one, mut two) = (Practised::default(), Practised::default());
        one.add_scale(scale, Hand::Right, 1);
        two.add_scale(scale, Hand::Right, 2);
        assert_eq!((one.crossings.len(), two.crossings.len()), (2, 4));
        assert!(two.crossings.is_superset(&one.crossings));
        assert!(two.crossings.iter().all(|crossing| crossing.hand == Hand::Right));
    }

    #[test]
    fn a_piece_in_one_scale_needs_that_scale_or_one_as_good() {
        let piece = crossings_of_scale("E-flat major", 10);
        let needed = scales_needed(&piece, &Practised::default(), &[]);
        assert_eq!(needed.scales.len(), 1);
        assert!(needed.share_then >= 850, "{needed:?}");
        let e_flat = candidate(Scale::parse("E-flat major", None).unwrap()).unwrap();
        let preferred = scales_needed(&piece, &Practised::default(), &[e_flat]);
        assert_eq!((preferred.scales.as_slice(), preferred.share_then), (&[e_flat][..], 1000));
    }

    #[test]
    fn who_has_the_scale_needs_none() {
        let mut practised = Practised::default();
        for hand in Hand::BOTH {
            practised.add_scale(Scale::parse("E-flat major", None).unwrap(), hand, 2);
        }
        let needed = scales_needed(&crossings_of_scale("E-flat major", 10), &practised, &[]);
        assert_eq!(needed, ScalesNeeded { scales: vec![], share_now: 1000, share_then: 1000 });
        assert_eq!(scales_needed(&[], &Practised::default(), &[]).share_now, 1000);
    }
}

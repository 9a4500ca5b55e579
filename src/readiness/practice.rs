//! Which crossings a player has practised, and which scales would practise the rest.
//!
//! In: scales by hand and octaves, crossings of pieces. Out: [`Practised`], the crossings under the player's fingers;
//! and [`scales_needed`], the fewest new scales that prepare a piece.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use fixedbitset::FixedBitSet;

use super::cover::Cover;
use crate::crossing::{Crossing, Practice};
use crate::scales::{Form, Scale, crossings_of, lines_practising, scale_lines, textbook_fingering};
use crate::summary::CrossingDemand;
use crate::units::{Hand, KeyColour, Motion};

/// Share of a piece's crossings, by effort and of those that any scale practises, that counts as prepared, in per cent.
/// Chosen by us: what is left is then a matter of a few isolated transitions, not of a scale.
pub const PREPARED_PERCENT: u64 = 90;

/// New scales looked at for one piece. Chosen by us: a piece that needs more is far off, whatever the number.
const MOST_SCALES: usize = 8;

/// All scales that can be prescribed, in the order in which equals are preferred: fewer accidentals first, major before
/// minor, harmonic before melodic before natural (common practice, no source: the order in which lessons add them).
pub fn candidates() -> &'static [Scale] {
    static ORDERED: LazyLock<Vec<Scale>> = LazyLock::new(|| {
        let mut scales = Scale::all();
        let place = |form| match form {
            Form::Major => 0,
            Form::HarmonicMinor => 1,
            Form::MelodicMinor => 2,
            Form::NaturalMinor => 3,
            Form::Chromatic => 4,
        };
        // A stable sort, so sharps and flats stay as they were.
        scales
            .sort_by_key(|scale| (scale.form() == Form::Chromatic, scale.fifths().unsigned_abs(), place(scale.form())));
        scales
    });
    &ORDERED
}

/// Index into [`candidates`] of a scale under its main name; every chromatic scale is the one on C.
pub fn candidate(scale: Scale) -> Option<usize> {
    let main = scale.key().and_then(|key| Scale::new(key.main(), scale.form())).unwrap_or(scale);
    candidates()
        .iter()
        .position(|known| *known == main || known.form() == Form::Chromatic && main.form() == Form::Chromatic)
}

/// Index into [`candidates`] of the scale of a line of [`scale_lines`].
fn candidate_of_line(line: usize) -> Option<usize> {
    static OF_LINE: LazyLock<Vec<Option<usize>>> =
        LazyLock::new(|| scale_lines().iter().map(|line| candidate(line.scale)).collect());
    OF_LINE.get(line).copied().flatten()
}

/// Crossings that a player has under the fingers.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Practised {
    crossings: BTreeSet<Crossing>,
}

impl Practised {
    /// Adds what one hand meets in a scale over so many octaves, up and down.
    pub fn add_scale(&mut self, scale: Scale, hand: Hand, octaves: u8) {
        let octaves = octaves.clamp(1, 2);
        for motion in Motion::BOTH {
            let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
            let fingers = textbook_fingering(scale, hand, motion, octaves);
            self.crossings.extend(crossings_of(hand, motion, &pitches, &fingers).into_iter().map(|own| own.crossing));
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
    /// The elements that are practised already.
    pub covered: FixedBitSet,
    /// Effort that no scale practises, and that is not met in a played piece either.
    pub beyond_scales: u64,
}

impl Question {
    /// Puts the question for crossings of one piece or of many; equal crossings may come several times.
    pub fn new<'a>(crossings: impl IntoIterator<Item = &'a CrossingDemand>, practised: &Practised) -> Self {
        let mut question =
            Self { weights: Vec::new(), sets: Vec::new(), covered: FixedBitSet::new(), beyond_scales: 0 };
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); candidates().len()];
        for demand in crossings {
            let lines = lines_practising(&demand.crossing);
            let has = practised.best(&demand.crossing);
            if lines.is_empty() && has.is_none() {
                question.beyond_scales = question.beyond_scales.saturating_add(demand.effort);
                continue;
            }
            // Half of the effort is met by what comes near, the other half only by the very same.
            let nearly = demand.effort / 2;
            for (least, weight) in [(Practice::Nearly, nearly), (Practice::Exact, demand.effort - nearly)] {
                let scales = lines.iter().filter(|(_, practice)| *practice >= least);
                let scales: Vec<usize> = scales.filter_map(|(line, _)| candidate_of_line(*line)).collect();
                let has = has.is_some_and(|practice| practice >= least);
                if scales.is_empty() && !has {
                    question.beyond_scales = question.beyond_scales.saturating_add(weight);
                    continue;
                }
                let element = question.weights.len();
                question.weights.push(weight);
                question.covered.grow(element + 1);
                question.covered.set(element, has);
                for scale in scales {
                    if let Some(members) = members.get_mut(scale) {
                        members.push(element);
                    }
                }
            }
        }
        question.sets = members
            .into_iter()
            .map(|elements| {
                let mut set = FixedBitSet::with_capacity(question.weights.len());
                set.extend(elements);
                set
            })
            .collect();
        question
    }

    /// The question in the form in which it is solved.
    pub fn cover(&self) -> Cover<'_> {
        Cover { weights: &self.weights, sets: &self.sets }
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
pub fn scales_needed(crossings: &[CrossingDemand], practised: &Practised, preferred: &[usize]) -> ScalesNeeded {
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
        let cover = Cover { weights: &question.weights, sets: &only };
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

    /// The crossings of a scale, as a piece that runs through it in both hands would hold them, each weighing `effort`.
    pub fn crossings_of_scale(name: &str, effort: u64) -> Vec<CrossingDemand> {
        let mut practised = Practised::default();
        for hand in Hand::BOTH {
            practised.add_scale(Scale::parse(name, None).unwrap(), hand, 2);
        }
        let demand = |crossing| CrossingDemand { crossing, count: 1, effort, measure: "1".into() };
        practised.crossings.into_iter().map(demand).collect()
    }

    fn named(scales: &[usize]) -> Vec<String> {
        scales.iter().map(|index| candidates()[*index].to_string()).collect()
    }

    #[test]
    fn every_scale_is_a_candidate_and_twins_are_one() {
        assert_eq!(candidates().len(), 49);
        assert_eq!(named(&[0, 1, 2, 3]), ["C major", "A harmonic minor", "A melodic minor", "A natural minor"]);
        for (index, scale) in candidates().iter().enumerate() {
            assert_eq!(candidate(*scale), Some(index));
        }
        let twin =
            |a: &str, b: &str| candidate(Scale::parse(a, None).unwrap()) == candidate(Scale::parse(b, None).unwrap());
        assert!(twin("C-sharp major", "D-flat major"));
        assert!(twin("D chromatic", "C chromatic"));
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
        assert!(needed.share_then >= 900, "{needed:?}");
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

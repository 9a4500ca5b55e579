//! Everything about one scale that a report shows.
//!
//! In: a scale, octaves, hands. Out: a [`ScaleReport`]: the runs with their fingers, the crossings ranked.

use super::crossings::{ScaleCrossing, crossings_of};
use super::scale::{Form, Scale};
use super::textbook::accepted_fingerings;
use crate::units::{Finger, Hand, Motion, Pitch};

/// One scale, as both hands or one play it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ScaleReport {
    /// Which scale.
    pub scale: Scale,
    /// Octaves, 1 to [`Scale::MOST_OCTAVES`].
    pub octaves: u8,
    /// Up and down, for each hand asked for, right first.
    pub runs: Vec<ScaleRun>,
    /// The crossings of all runs, hardest first; equals in the order of the runs. Those that return in each octave, and
    /// those of the chromatic scale that are alike, are here once.
    pub crossings: Vec<RankedCrossing>,
}

/// One hand's run in one direction.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ScaleRun {
    /// Whose.
    pub hand: Hand,
    /// Up or down.
    pub motion: Motion,
    /// Keys, in playing order.
    pub pitches: Vec<Pitch>,
    /// Textbook fingers of `pitches`.
    pub fingers: Vec<Finger>,
    /// Other accepted fingerings of the whole run.
    pub alternatives: Vec<Vec<Finger>>,
    /// Its crossings, in playing order.
    pub crossings: Vec<ScaleCrossing>,
}

/// A crossing and how often it comes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RankedCrossing {
    /// The first of them.
    pub crossing: ScaleCrossing,
    /// Times in the run.
    pub times: usize,
}

impl ScaleReport {
    /// Works one scale out; `octaves` is clamped to 1..=[`Scale::MOST_OCTAVES`].
    pub fn new(scale: Scale, octaves: u8, hands: &[Hand]) -> Self {
        let octaves = octaves.clamp(1, Scale::MOST_OCTAVES);
        let ways = hands.iter().flat_map(|hand| Motion::BOTH.map(|motion| (*hand, motion)));
        let runs: Vec<_> = ways.map(|(hand, motion)| ScaleRun::new(scale, hand, motion, octaves)).collect();
        let mut crossings: Vec<RankedCrossing> = Vec::new();
        for crossing in runs.iter().flat_map(|run| &run.crossings) {
            let same = |ranked: &&mut RankedCrossing| {
                let known = &ranked.crossing;
                let alike = (known.crossing, known.motion) == (crossing.crossing, crossing.motion);
                alike && (scale.form() == Form::Chromatic || known.from.step == crossing.from.step)
            };
            match crossings.iter_mut().find(same) {
                Some(ranked) => ranked.times += 1,
                None => crossings.push(RankedCrossing { crossing: *crossing, times: 1 }),
            }
        }
        crossings.sort_by_key(|ranked| std::cmp::Reverse(ranked.crossing.awkwardness.total()));
        Self { scale, octaves, runs, crossings }
    }

    /// The one transition to isolate.
    pub fn isolate(&self) -> Option<&ScaleCrossing> {
        self.crossings.first().map(|ranked| &ranked.crossing)
    }
}

impl ScaleRun {
    /// The run of one hand, in the octave where the hand usually plays it.
    pub fn new(scale: Scale, hand: Hand, motion: Motion, octaves: u8) -> Self {
        let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
        let mut accepted = accepted_fingerings(scale, hand, motion, octaves);
        let fingers = accepted.remove(0);
        let crossings = crossings_of(hand, motion, &pitches, &fingers);
        Self { hand, motion, pitches, fingers, alternatives: accepted, crossings }
    }
}

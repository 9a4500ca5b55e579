//! Is this piece ready for this player?
//!
//! In: a [`PieceSummary`] and the [`Ability`] of a player. Out: a [`Readiness`]: ready, a stretch, or later, decided by
//! the gaps between what the piece asks for and what the player has, with the reason for each gap and what would close
//! it. A stretch is what a good teacher looks for: challenging, not impossible.
//!
//! Two things hold by construction, and tests hold them to it: knowing more scales never lowers readiness, and a smaller
//! span never raises it. A hand that is small or different never makes a piece more than a stretch, since what closes
//! that gap is another way to play the place, not time.

mod ability;
mod advice;
pub mod cover;
mod gaps;
pub mod practice;
mod schedule;
#[cfg(test)]
pub(crate) mod testing;

use serde::Serialize;

use crate::learner::Learner;
use crate::summary::PieceSummary;
use crate::units::Hand;

pub use crate::drills::candidates;
pub use crate::drills::{Mark, mark_for};
pub use ability::{Ability, LevelSource, run_rate};
pub use practice::{ScalesNeeded, scales_needed};
pub use schedule::{PieceWork, Schedule, Week, WeekDrill, make_schedule};

/// The verdict, the best last.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Something has to come first.
    Later,
    /// Challenging, not impossible.
    Stretch,
    /// Nothing stands in the way.
    Ready,
}

impl Verdict {
    /// All, the best last.
    pub const ALL: [Self; 3] = [Self::Later, Self::Stretch, Self::Ready];

    /// `later`, `stretch` or `ready`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Later => "later",
            Self::Stretch => "stretch",
            Self::Ready => "ready",
        }
    }
}

/// How wide a gap is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum GapSize {
    /// The player has what is asked.
    None,
    /// A few weeks of the right practice.
    Small,
    /// Other pieces or scales have to come first.
    Large,
}

/// What a gap is about.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Concern {
    /// The level as a whole.
    Level,
    /// Crossings that the player's scales do not practise.
    Crossings,
    /// Speed of the runs.
    Speed,
    /// Width of the chords.
    Span,
    /// One dimension of the level, by name.
    Demand(String),
}

/// One thing asked for, and what the player has of it.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Gap {
    /// About what.
    pub concern: Concern,
    /// Of which hand; `None` for both together.
    pub hand: Option<Hand>,
    /// What the piece asks for, in `unit`.
    pub needs: f64,
    /// What the player has.
    pub has: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// How wide.
    pub size: GapSize,
    /// In a sentence.
    pub reason: String,
    /// Where most, printed numbers.
    pub measures: Vec<String>,
    /// What would close it.
    pub closes: Vec<String>,
}

/// The answer.
#[derive(Clone, PartialEq, Debug)]
pub struct Readiness {
    /// Ready, stretch or later.
    pub verdict: Verdict,
    /// Every comparison made, the widest gaps first; those without a gap say what is there already.
    pub gaps: Vec<Gap>,
    /// New scales that the piece needs.
    pub scales: ScalesNeeded,
    /// What the judgement stands on, where that is little.
    pub basis: String,
}

/// Small gaps that still make a stretch; more of them at once are later. Chosen by us: a new piece teaches two or three
/// things at a time, and gaps in level, speed and crossings often come together.
const MOST_SMALL: usize = 4;

/// Judges one piece for one player.
pub fn assess_readiness(piece: &PieceSummary, ability: &Ability) -> Readiness {
    let (mut gaps, scales) = gaps::all(piece, ability);
    let verdict = verdict(gaps.iter().map(|gap| gap.size));
    // A stable sort: equal sizes keep the order of the concerns.
    gaps.sort_by_key(|gap| std::cmp::Reverse(gap.size));
    let basis = format!("the player's level is taken as {}", ability.level_and_source());
    Readiness { verdict, gaps, scales, basis }
}

/// The verdict once the crossings are prepared, and the new scales that prepare them; without the sentences.
pub fn verdict_with_scales(piece: &PieceSummary, ability: &Ability) -> (Verdict, ScalesNeeded) {
    (verdict_but_crossings(piece, ability), gaps::new_scales(piece, ability))
}

/// The verdict as if every crossing were practised: scales can always be learnt.
pub fn verdict_but_crossings(piece: &PieceSummary, ability: &Ability) -> Verdict {
    verdict(gaps::sizes_but_crossings(piece, ability).chain(gaps::span_sizes(piece, ability)))
}

/// Whether there is something to learn in a piece besides its scales. A wide chord is not learnt but played around.
pub fn teaches(piece: &PieceSummary, ability: &Ability) -> bool {
    gaps::sizes_but_crossings(piece, ability).any(|size| size > GapSize::None)
}

fn verdict(sizes: impl Iterator<Item = GapSize>) -> Verdict {
    let mut small = 0;
    for size in sizes {
        match size {
            GapSize::None => {}
            GapSize::Small => small += 1,
            GapSize::Large => return Verdict::Later,
        }
    }
    match small {
        0 => Verdict::Ready,
        1..=MOST_SMALL => Verdict::Stretch,
        _ => Verdict::Later,
    }
}

/// One piece and one player, for the report of the piece.
#[derive(Clone, PartialEq, Debug)]
pub struct Fit {
    /// The player, for the heading.
    pub learner: Option<String>,
    /// Ready, stretch or later, and why.
    pub readiness: Readiness,
    /// The weeks until the piece goes.
    pub schedule: Schedule,
}

impl Fit {
    /// Judges a piece for a learner.
    pub fn new(piece: &PieceSummary, learner: &Learner, ability: &Ability) -> Self {
        let readiness = assess_readiness(piece, ability);
        let schedule = make_schedule(piece, learner, ability, readiness.verdict);
        Self { learner: learner.name.clone(), readiness, schedule }
    }
}

impl Readiness {
    /// Names of the new scales.
    pub fn new_scales(&self) -> Vec<String> {
        self.scales.scales.iter().filter_map(|index| candidates().get(*index)).map(ToString::to_string).collect()
    }

    /// The verdict and its weightiest reasons in a sentence.
    pub fn sentence(&self) -> String {
        let open: Vec<&str> =
            self.gaps.iter().filter(|gap| gap.size > GapSize::None).map(|gap| gap.reason.as_str()).take(3).collect();
        match (self.verdict, open.as_slice()) {
            (Verdict::Ready, _) => "ready: nothing that it asks for is out of reach".to_owned(),
            (verdict, reasons) => format!("{}: {}", verdict.name(), reasons.join("; ")),
        }
    }
}

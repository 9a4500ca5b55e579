//! What a player has, in the same numbers as what a piece asks for.
//!
//! In: a [`Learner`] and summaries of the pieces played, as far as their scores are at hand. Out: an [`Ability`]. It only
//! ever grows: learning a scale or a piece takes nothing away, which is what a plan stands on.

use std::collections::BTreeMap;

use super::practice::Practised;
use crate::drills::candidates;
use crate::learner::{HandsKnown, KnownScale, Learner, Went};
use crate::level::level_in_tenths;
use crate::level::usual_points;
use crate::summary::{Milli, PieceSummary, milli};
use crate::units::Hand;

/// Where the player's level is taken from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LevelSource {
    /// A teacher, in the learner file.
    Stated,
    /// A piece that went well, or fairly.
    Piece(String),
    /// The scales known, where no piece speaks for as much.
    Scales,
    /// Nothing is known, so a first-year player is assumed.
    Nothing,
}

impl LevelSource {
    /// For a report.
    pub fn sentence(&self) -> String {
        match self {
            Self::Stated => "as stated in the learner file".to_owned(),
            Self::Piece(title) => format!("from `{title}`, the hardest piece that went well enough"),
            Self::Scales => "from the scales known, which speak for more than the pieces".to_owned(),
            Self::Nothing => "assumed, since neither level nor pieces nor scales are known".to_owned(),
        }
    }
}

/// What a piece that went only fairly is worth less, in thousandths of a level. Chosen by us: half a level.
const FAIRLY_LOSES: Milli = 500;

/// Points that count of a piece that went fairly, in per cent. Chosen by us.
const FAIRLY_PERCENT: Milli = 75;

/// Part of the way to its level that one piece takes a player: a third. Chosen by us: one piece does not make a player of
/// its level; half a dozen that are half a level up make one level.
const PIECES_A_STEP: Milli = 3;

/// What a demand met in one hand counts for the other, in per cent. Chosen by us: the ear and the eye have learnt it, the
/// hand has not.
const OTHER_HAND_PERCENT: Milli = 75;

/// What a player has.
#[derive(Clone, PartialEq, Debug)]
pub struct Ability {
    /// Level, in thousandths.
    pub level: Milli,
    /// Where the level is taken from.
    pub source: LevelSource,
    /// Points reached in each dimension, by name and hand, in pieces that went well enough.
    reached: BTreeMap<String, BTreeMap<Option<Hand>, Milli>>,
    /// Crossings under the fingers.
    pub practised: Practised,
    /// Comfortable notes a second of the right and the left hand, in thousandths, from scales and pieces.
    rates: [Milli; 2],
    /// Widest comfortable and widest possible chord of each hand, in semitones.
    pub spans: [(i32, i32); 2],
    /// Hands that play.
    pub plays: [bool; 2],
    /// Scales known, for where a schedule begins.
    pub scales: Vec<KnownScale>,
}

impl Ability {
    /// `played` runs parallel to `learner.pieces`: the summary of each, where its score is at hand.
    pub fn new(learner: &Learner, played: &[Option<&PieceSummary>]) -> Self {
        let (level, source) = level(learner, played);
        let mut ability = Self {
            level,
            source,
            reached: BTreeMap::new(),
            practised: Practised::default(),
            rates: [0; 2],
            spans: Hand::BOTH.map(|hand| {
                let shape = &learner.hand(hand).shape;
                (shape.comfortable_span, shape.largest_span)
            }),
            plays: Hand::BOTH.map(|hand| learner.hand(hand).plays),
            scales: learner.scales.clone(),
        };
        for known in &learner.scales {
            for hand in Hand::BOTH.into_iter().filter(|hand| known.hands.has(*hand)) {
                ability.practised.add_scale(known.scale, hand, known.octaves);
                let rate = known.notes_per_second.map_or(0, milli);
                ability.rates[hand as usize] = ability.rates[hand as usize].max(rate);
            }
        }
        for (piece, summary) in learner.pieces.iter().zip(played) {
            let Some(summary) = summary else { continue };
            match piece.went {
                Went::Well => ability.take_in(summary, 100),
                Went::Fairly => ability.take_in(summary, FAIRLY_PERCENT),
                Went::Badly => {}
            }
        }
        ability
    }

    /// The level and where it is taken from: `4.0, as stated in the learner file`.
    pub fn level_and_source(&self) -> String {
        format!("{}, {}", level_in_tenths(self.level as f64 / 1000.0), self.source.sentence())
    }

    /// Adds a piece that went well. The level rises part of the way to that of the piece.
    pub fn learn_piece(&mut self, piece: &PieceSummary, stand_in: &str) {
        if piece.level.value > self.level {
            self.level += (piece.level.value - self.level) / PIECES_A_STEP;
            self.source = LevelSource::Piece(piece.title_or(stand_in).to_owned());
        }
        self.take_in(piece, 100);
    }

    /// Adds a scale of [`candidates`], both hands together over two octaves.
    pub fn learn_scale(&mut self, index: usize) {
        let Some(scale) = candidates().get(index) else { return };
        for hand in Hand::BOTH {
            self.practised.add_scale(*scale, hand, 2);
        }
        self.scales.push(KnownScale { scale: *scale, hands: HandsKnown::Together, octaves: 2, notes_per_second: None });
    }

    fn take_in(&mut self, piece: &PieceSummary, percent: Milli) {
        for demand in &piece.demands {
            let points = demand.points.saturating_mul(percent) / 100;
            let reached = self.reached.entry(demand.name.clone()).or_default().entry(demand.hand).or_default();
            *reached = points.max(*reached);
        }
        if percent < 100 {
            return;
        }
        for demand in &piece.crossings {
            self.practised.add_crossing(demand.crossing);
        }
        for hand in Hand::BOTH {
            self.rates[hand as usize] = self.rates[hand as usize].max(run_rate(piece, hand));
        }
    }

    /// Points that the player is taken to manage in a dimension: what is usual at the level, or what pieces have shown. What
    /// one hand has shown speaks for both together, and in part for the other.
    pub fn points(&self, name: &str, hand: Option<Hand>) -> Milli {
        let shown = self.reached.get(name).into_iter().flatten();
        let counted = shown.map(|(shown, points)| match (shown, hand) {
            (Some(shown), Some(hand)) if *shown != hand => points.saturating_mul(OTHER_HAND_PERCENT) / 100,
            _ => *points,
        });
        counted.max().unwrap_or_default().max(milli(usual_points(name, self.level as f64 / 1000.0)))
    }

    /// Notes a second that a hand is taken to run comfortably: shown by a scale or a piece, or usual at the level.
    pub fn rate(&self, hand: Hand) -> Milli {
        self.rates[hand as usize].max(usual_rate(self.level))
    }
}

/// Notes a second that players of a level run through a scale comfortably, in thousandths: 2.7 at level 1, 7.5 at level
/// 5, 12.3 at level 9. Chosen by us: sixteenths at 112 to the quarter are 7.5, the speed of an easy sonata movement.
fn usual_rate(level: Milli) -> Milli {
    1_500 + level * 12 / 10
}

/// Fastest run of a hand in a piece: a scale run or an arpeggio, long enough that a scale prepares it.
pub fn run_rate(piece: &PieceSummary, hand: Hand) -> Milli {
    piece
        .passages
        .iter()
        .filter(|passage| passage.hand == hand && ["scale run", "arpeggio"].contains(&passage.kind.as_str()))
        .map(|passage| passage.rate)
        .max()
        .unwrap_or(0)
}

fn level(learner: &Learner, played: &[Option<&PieceSummary>]) -> (Milli, LevelSource) {
    if let Some(stated) = learner.level {
        return (milli(stated), LevelSource::Stated);
    }
    let mut best = (1_000, LevelSource::Nothing);
    let mut offer = |level: Milli, source: LevelSource| {
        if level > best.0 {
            best = (level, source);
        }
    };
    if let Some(level) = learner.scales.iter().map(level_of_scale).max() {
        offer(level, LevelSource::Scales);
    }
    for (index, piece) in learner.pieces.iter().enumerate() {
        let summary = played.get(index).copied().flatten();
        let level = piece.level.map(milli).or(summary.map(|summary| summary.level.value));
        let title = piece.title.as_deref().or(summary.and_then(|s| s.title.as_deref())).or(piece.file.as_deref());
        let title = title.unwrap_or("a piece without a title").to_owned();
        match (level, piece.went) {
            (Some(level), Went::Well) => offer(level, LevelSource::Piece(title)),
            (Some(level), Went::Fairly) => offer(level - FAIRLY_LOSES, LevelSource::Piece(title)),
            _ => {}
        }
    }
    best
}

/// Level that a scale in this state speaks for. Common practice, no source: pieces of level 3 have a scale of an octave,
/// those of level 4 scales of two octaves, those of level 5 scales at speed; a scale alone speaks for half a level to a
/// level less, since there is more to a piece.
fn level_of_scale(known: &KnownScale) -> Milli {
    let together = known.hands == HandsKnown::Together;
    let fast = known.notes_per_second.is_some_and(|rate| rate >= 6.0);
    match (known.octaves, together, fast) {
        (2.., true, true) => 4_500,
        (2.., true, false) => 3_500,
        (2.., false, _) => 2_500,
        _ => 2_000,
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{learner, piece};
    use super::*;

    #[test]
    fn the_level_is_the_teachers_else_the_best_pieces_else_the_scales() {
        let level = |text: &str| {
            let ability = Ability::new(&learner(text), &[None, None]);
            (ability.level, ability.source)
        };
        assert_eq!(level(""), (1_000, LevelSource::Nothing));
        assert_eq!(level("[[scales]]\nkey = \"C\"\noctaves = 2"), (3_500, LevelSource::Scales));
        let pieces =
            "[[pieces]]\ntitle = \"A\"\nlevel = 5\nwent = \"fairly\"\n[[pieces]]\ntitle = \"B\"\nlevel = 4.2\n";
        assert_eq!(level(pieces), (4_500, LevelSource::Piece("A".into())));
        assert_eq!(level(&format!("level = 3\n{pieces}")), (3_000, LevelSource::Stated));
        assert_eq!(level("[[pieces]]\ntitle = \"A\"\nlevel = 9\nwent = \"badly\""), (1_000, LevelSource::Nothing));
    }

    #[test]
    fn a_dimension_is_what_pieces_have_shown_or_what_is_usual_at_the_level() {
        let usual = |level: f64| milli(usual_points("leaps", level));
        let played = piece(3_000).demand("leaps", 1_400);
        let ability = Ability::new(&learner("level = 5\n[[pieces]]\ntitle = \"A\"\n"), &[Some(&played)]);
        assert_eq!(ability.points("leaps", None), 1_400);
        assert_eq!(ability.points("ornaments", None), milli(usual_points("ornaments", 5.0)));
        let fairly = "level = 5\n[[pieces]]\ntitle = \"A\"\nwent = \"fairly\"\n";
        assert_eq!(Ability::new(&learner(fairly), &[Some(&played)]).points("leaps", None), 1_050);
        assert_eq!(Ability::new(&learner("level = 5"), &[]).points("leaps", None), usual(5.0));
        assert!(usual(5.0) < 1_000 && usual(5.0) > usual(2.0));
    }

    #[test]
    fn what_one_hand_has_shown_counts_in_part_for_the_other() {
        let mut played = piece(3_000).demand("leaps", 2_000);
        played.demands[0].hand = Some(Hand::Right);
        let ability = Ability::new(&learner("level = 3\n[[pieces]]\ntitle = \"A\"\n"), &[Some(&played)]);
        let points = [Some(Hand::Right), Some(Hand::Left), None].map(|hand| ability.points("leaps", hand));
        assert_eq!(points, [2_000, 1_500, 2_000]);
    }

    #[test]
    fn a_hand_alone_has_the_scale_in_that_hand_only() {
        let ability = Ability::new(&learner("[[scales]]\nkey = \"C\"\nhands = \"left\"\nquarter_bpm = 120\n"), &[]);
        assert_eq!(ability.rate(Hand::Left), 8_000);
        assert_eq!(ability.rate(Hand::Right), usual_rate(2_000));
    }
}

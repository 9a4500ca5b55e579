//! Which new scales would cover most of the crossings of the shelf.
//!
//! In: the pieces shown, and what the player has. Out: [`NextScales`]: up to three scales that together cover the most,
//! and further ones each the best next, with the running share. Shares are of fingering effort, of the crossings that
//! any scale practises.

use std::collections::BTreeMap;

use serde::Serialize;

use super::Entry;
use crate::crossing::Crossing;
use crate::drills::{candidate, candidates};
use crate::readiness::cover::Cover;
use crate::readiness::practice::{PREPARED_PERCENT, Practised, Question, part_of};
use crate::readiness::{Ability, Verdict};
use crate::scales::Scale;
use crate::summary::CrossingDemand;

/// Which pieces were counted.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Of {
    /// All that are shown.
    #[default]
    Shelf,
    /// Those that are ready or a stretch for the player, or later for want of scales alone.
    WithinReach,
}

/// New scales in the order to learn them.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize)]
pub struct NextScales {
    /// Which pieces were counted.
    pub of: Of,
    /// How many pieces with crossings these are.
    pub pieces: usize,
    /// Share of the effort practised already, in thousandths.
    pub share_now: i64,
    /// Share that no scale practises, of all crossings.
    pub beyond_scales: i64,
    /// The scales.
    pub scales: Vec<NextScale>,
}

/// One of them.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct NextScale {
    /// Name.
    pub scale: String,
    /// Share practised once this one and those before it have been learnt, in thousandths.
    pub share: i64,
    /// Pieces with a crossing that it practises for the first time.
    pub serves: usize,
    /// Pieces whose crossings are prepared once this one and those before it have been learnt, and were not before.
    pub opens: usize,
}

/// Levels above the player up to which a piece counts as within reach whatever its scales, in thousandths. Chosen by
/// us: the limit of a stretch.
const WITHIN_REACH: i64 = 1_300;

/// Chooses up to `count` scales.
pub fn choose_next_scales(entries: &[Entry], ability: Option<&Ability>, count: usize) -> NextScales {
    let within_reach =
        |entry: &&Entry| entry.standing.as_ref().is_none_or(|s| s.verdict > Verdict::Later || s.above <= WITHIN_REACH);
    let reach: Vec<&Entry> = entries.iter().filter(within_reach).collect();
    let (of, pieces) = match ability {
        Some(_) if !reach.is_empty() => (Of::WithinReach, reach),
        _ => (Of::Shelf, entries.iter().collect()),
    };
    let nothing = Practised::default();
    let practised = ability.map_or(&nothing, |ability| &ability.practised);
    let question = Question::new(&crossings_of_all(pieces.iter().copied()), practised);
    let chosen = choose(&question, &pieces, count);

    let total = u128::from(question.cover().total()) + u128::from(question.beyond_scales);
    let mut next = NextScales {
        of,
        pieces: pieces.iter().filter(|entry| !entry.piece.crossings.is_empty()).count(),
        share_now: question.share(&question.covered),
        beyond_scales: (u128::from(question.beyond_scales) * 1000).checked_div(total).map_or(0, |share| share as i64),
        scales: Vec::new(),
    };
    let questions: Vec<Question> =
        pieces.iter().map(|entry| Question::new(&entry.piece.crossings, practised)).collect();
    let prepared =
        |question: &Question, scales: &[usize]| question.share(&question.with(scales)) >= PREPARED_PERCENT as i64 * 10;
    for (place, index) in chosen.iter().enumerate() {
        let (before, after) = (&chosen[..place], &chosen[..=place]);
        let serves = |question: &&Question| question.with(after) != question.with(before);
        let opens = |question: &&Question| prepared(question, after) && !prepared(question, before);
        next.scales.push(NextScale {
            scale: candidates().get(*index).map(ToString::to_string).unwrap_or_default(),
            share: question.share(&question.with(after)),
            serves: questions.iter().filter(serves).count(),
            opens: questions.iter().filter(opens).count(),
        });
    }
    next
}

/// What a scale must cover more when no piece is made of it, in thousandths of all effort. Chosen by us.
const STRANGER: u64 = 15;

/// The best scales, those that pieces drill or run through before others; of equals those of more pieces.
fn choose(question: &Question, pieces: &[&Entry], count: usize) -> Vec<usize> {
    let mut wanted = vec![0_usize; candidates().len()];
    for entry in pieces {
        let drills = entry.piece.drills.iter().map(|drill| &drill.scale);
        let mut scales: Vec<usize> = drills
            .chain(entry.piece.passages.iter().filter(|p| p.kind == "scale run").filter_map(|p| p.key.as_ref()))
            .filter_map(|name| Scale::parse(name, None).ok().and_then(candidate))
            .collect();
        scales.sort_unstable();
        scales.dedup();
        for scale in scales {
            wanted[scale] += 1;
        }
    }
    let mut order: Vec<usize> = (0..candidates().len()).collect();
    // A stable sort, so that the usual preference decides among equals.
    order.sort_by_key(|index| std::cmp::Reverse(wanted[*index]));
    let sets: Vec<_> = order.iter().map(|index| question.sets[*index].clone()).collect();
    let stranger = part_of(u128::from(question.cover().total()), STRANGER);
    let cost = |index: &usize| question.costs[*index].saturating_add(if wanted[*index] == 0 { stranger } else { 0 });
    let costs: Vec<u64> = order.iter().map(cost).collect();
    let cover = Cover { weights: &question.weights, sets: &sets, costs: &costs };
    cover.best(&question.covered, count).into_iter().map(|place| order[place]).collect()
}

/// The crossings of all pieces, equal ones as one.
pub fn crossings_of_all<'a>(pieces: impl Iterator<Item = &'a Entry>) -> Vec<CrossingDemand> {
    let mut efforts: BTreeMap<Crossing, u64> = BTreeMap::new();
    for demand in pieces.flat_map(|entry| &entry.piece.crossings) {
        let effort = efforts.entry(demand.crossing).or_default();
        *effort = effort.saturating_add(demand.effort);
    }
    efforts
        .into_iter()
        .map(|(crossing, effort)| CrossingDemand { crossing, count: 1, effort, measure: String::new() })
        .collect()
}

impl NextScales {
    /// In a sentence: `these two new scales take the crossings practised from 71 % to 88 %`.
    pub fn sentence(&self) -> String {
        let of = match self.of {
            Of::Shelf => "of the shelf",
            Of::WithinReach => "of the pieces within reach",
        };
        let now = self.share_now / 10;
        let Some(last) = self.scales.last() else {
            return match self.pieces {
                0 => format!("no crossings {of}: no scale is asked for"),
                _ => format!(
                    "{now} % of the crossings {of} are practised by the scales known; no other scale adds to it"
                ),
            };
        };
        let number = match self.scales.len() {
            1 => "this new scale takes".to_owned(),
            2 => "these two new scales take".to_owned(),
            3 => "these three new scales take".to_owned(),
            count => format!("these {count} new scales take"),
        };
        format!("{number} the crossings {of} that are practised from {now} % to {} %", last.share / 10)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::readiness::testing::{learner, piece};
    use crate::summary::PieceSummary;

    fn shelf(pieces: &[PieceSummary], text: &str) -> (Vec<Entry>, Ability) {
        let ability = Ability::new(&learner(text), &[]);
        let named = pieces.iter().enumerate().map(|(index, piece)| (format!("{index:02}.mxl"), piece.clone()));
        (named.map(|(file, piece)| Entry::new(file, piece, Some(&ability))).collect(), ability)
    }

    // Worked by hand. Three pieces run through E-flat major, one through C major, which the player has. The one scale
    // that makes all of them practised is E-flat major itself.
    #[test]
    fn the_scale_that_the_shelf_is_made_of_comes_first_and_completes_it() {
        let runs = |scale: &str| piece(4_000).runs(scale, 4_000);
        let pieces = [runs("E-flat major"), runs("E-flat major"), runs("E-flat major"), runs("C major")];
        let (entries, ability) = shelf(&pieces, "level = 4\n[[scales]]\nkey = \"C\"\noctaves = 2\n");
        let next = choose_next_scales(&entries, Some(&ability), 1);
        assert_eq!(next.pieces, 4);
        assert_eq!(next.scales.len(), 1);
        assert_eq!((next.scales[0].scale.as_str(), next.scales[0].share), ("E-flat major", 1000));
        assert_eq!((next.scales[0].serves, next.scales[0].opens), (3, 3));
        assert!(next.share_now < 900, "{next:?}");
        assert!(next.sentence().contains("this new scale takes the crossings of the pieces within reach"));
    }

    #[test]
    fn pieces_far_above_the_player_do_not_choose_the_scales() {
        let pieces = [piece(4_000).runs("A major", 4_000), piece(8_500).runs("E-flat major", 4_000)];
        let (entries, ability) = shelf(&pieces, "level = 4");
        let next = choose_next_scales(&entries, Some(&ability), 2);
        assert_eq!((next.of, next.pieces), (Of::WithinReach, 1));
        assert_eq!(choose_next_scales(&entries, None, 2).pieces, 2);
    }

    #[test]
    fn a_shelf_without_crossings_asks_for_no_scale() {
        let (entries, ability) = shelf(&[piece(2_000)], "");
        let next = choose_next_scales(&entries, Some(&ability), 2);
        assert_eq!(next.scales, []);
        assert!(next.sentence().contains("no scale is asked for"));
    }

    proptest! {
        #[test]
        fn the_running_share_never_falls_and_a_piece_more_never_lowers_what_is_covered(
            scales in prop::collection::vec(0_usize..49, 1..5), more in 0_usize..49, count in 1_usize..4,
        ) {
            let runs = |index: &usize| piece(4_000).runs(&candidates()[*index].to_string(), 4_000);
            let pieces: Vec<PieceSummary> = scales.iter().map(runs).collect();
            let (entries, _) = shelf(&pieces, "level = 4");
            let next = choose_next_scales(&entries, None, count);
            let shares: Vec<i64> = std::iter::once(next.share_now).chain(next.scales.iter().map(|s| s.share)).collect();
            prop_assert!(shares.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", shares);

            // What a piece more brings can only be covered in addition: the most that so many scales can cover grows.
            let covered = |pieces: &[PieceSummary]| {
                let (entries, _) = shelf(pieces, "level = 4");
                let question = Question::new(&crossings_of_all(entries.iter()), &Practised::default());
                let cover = Cover { costs: &[], ..question.cover() };
                cover.weight(&question.with(&cover.best(&question.covered, count)))
            };
            let larger: Vec<PieceSummary> = pieces.iter().cloned().chain([runs(&more)]).collect();
            prop_assert!(covered(&larger) >= covered(&pieces));

            // A piece more that the player has played can only add to what is practised.
            let mut ability = Ability::new(&learner("level = 4"), &[]);
            let before = choose_next_scales(&entries, Some(&ability), count).share_now;
            ability.learn_piece(&runs(&more), "more");
            prop_assert!(choose_next_scales(&entries, Some(&ability), count).share_now >= before);
        }
    }
}

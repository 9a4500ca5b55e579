//! The comparisons: level, each dimension, crossings, speed, span.
//!
//! Every limit is a constant with its reason. Sizes are decided on whole numbers; the sentences follow.

use super::ability::{Ability, run_rate};
use super::practice::{PREPARED_PERCENT, ScalesNeeded, scales_needed};
use super::{Concern, Gap, GapSize, advice};
use crate::crossing::Practice;
use crate::drills::{candidate, candidates};
use crate::learner::intervals;
use crate::level::level_in_tenths;
use crate::scales::Scale;
use crate::summary::{Demand, Milli, PieceSummary};
use crate::units::Hand;

/// Levels above the player's that are no gap yet, in thousandths. Chosen by us: less than the error of an estimated
/// level.
const LEVEL_MET: Milli = 400;

/// Levels above the player's that are a stretch. Chosen by us: about one level, with the error of the estimate.
const LEVEL_STRETCH: Milli = 1_300;

/// Points of one dimension beyond what the player has shown that are no gap yet. Chosen by us: a quarter of a level.
const POINTS_MET: Milli = 250;

/// Points of one dimension that are a stretch. Chosen by us: most of a level from one cause alone.
const POINTS_STRETCH: Milli = 800;

/// New scales that a stretch may need. Chosen by us: what two to four weeks of practice add.
const SCALES_STRETCH: usize = 2;

/// Level below the player's from which missing scales are no gap any more: such a piece is read, not studied.
const LEVEL_EASY: Milli = -1_000;

/// Speed of runs, in per cent of what is comfortable, that is no gap yet, and that is a stretch. Chosen by us: a fifth
/// faster is a few weeks on the metronome, two thirds faster is another level of technique.
const SPEED_MET: Milli = 110;
const SPEED_STRETCH: Milli = 165;

/// The sizes of all gaps but those of crossings and spans, without a word: what a plan asks thousands of times. The level
/// comes first, so that a piece far off is dismissed at once.
pub(super) fn sizes_but_crossings<'a>(
    piece: &'a PieceSummary,
    ability: &'a Ability,
) -> impl Iterator<Item = GapSize> + 'a {
    let hands = Hand::BOTH.into_iter().filter(|hand| ability.plays[*hand as usize]);
    let demands = piece.demands.iter().filter(|demand| concerns(ability, demand.hand));
    std::iter::once_with(|| level_size(piece, ability))
        .chain(hands.map(|hand| speed_size(piece, ability, hand)))
        .chain(demands.map(|demand| demand_size(demand, ability)))
}

/// The sizes of the spans.
pub(super) fn span_sizes<'a>(piece: &'a PieceSummary, ability: &'a Ability) -> impl Iterator<Item = GapSize> + 'a {
    let hands = Hand::BOTH.into_iter().filter(|hand| ability.plays[*hand as usize]);
    hands.map(|hand| span_size(piece, ability, hand))
}

fn level_size(piece: &PieceSummary, ability: &Ability) -> GapSize {
    size(piece.level.value - ability.level, LEVEL_MET, LEVEL_STRETCH)
}

fn crossings_size(piece: &PieceSummary, ability: &Ability, new_scales: usize) -> GapSize {
    let beyond = piece.level.value - ability.level;
    match new_scales {
        0 => GapSize::None,
        count if count <= SCALES_STRETCH || beyond <= LEVEL_MET => GapSize::Small,
        _ => GapSize::Large,
    }
}

fn speed_size(piece: &PieceSummary, ability: &Ability, hand: Hand) -> GapSize {
    let comfortable = ability.rate(hand).max(1);
    size(run_rate(piece, hand).saturating_mul(100), SPEED_MET * comfortable, SPEED_STRETCH * comfortable)
}

fn span_size(piece: &PieceSummary, ability: &Ability, hand: Hand) -> GapSize {
    let (comfortable, _) = ability.spans[hand as usize];
    let wide = piece.reaches[hand as usize].iter().any(|reach| reach.semitones > comfortable && reach.count > 0);
    if wide { GapSize::Small } else { GapSize::None }
}

fn demand_size(demand: &Demand, ability: &Ability) -> GapSize {
    size(demand.points - ability.points(&demand.name, demand.hand), POINTS_MET, POINTS_STRETCH)
}

/// Whether something of this hand is the player's.
fn concerns(ability: &Ability, hand: Option<Hand>) -> bool {
    hand.is_none_or(|hand| ability.plays[hand as usize])
}

/// New scales that a piece needs for the hands that play it; none for a piece that is read rather than studied.
pub(super) fn new_scales(piece: &PieceSummary, ability: &Ability) -> ScalesNeeded {
    let drills = piece.drills.iter().map(|drill| &drill.scale);
    let runs = piece.passages.iter().filter(|passage| passage.kind == "scale run").filter_map(|run| run.key.as_ref());
    let preferred: Vec<usize> =
        drills.chain(runs).filter_map(|name| Scale::parse(name, None).ok().and_then(candidate)).collect();
    let played = piece.crossings.iter().filter(|demand| ability.plays[demand.crossing.hand as usize]);
    let needed = scales_needed(played, &ability.practised, &preferred);
    if piece.level.value - ability.level <= LEVEL_EASY {
        return ScalesNeeded { scales: Vec::new(), share_then: needed.share_now, ..needed };
    }
    needed
}

/// All comparisons in a fixed order, and the new scales that the piece needs.
pub(super) fn all(piece: &PieceSummary, ability: &Ability) -> (Vec<Gap>, ScalesNeeded) {
    let level = level(piece, ability);
    let (crossings, scales) = crossings(piece, ability);
    let mut gaps = vec![level, crossings];
    let hands = || Hand::BOTH.into_iter().filter(|hand| ability.plays[*hand as usize]);
    gaps.extend(hands().filter_map(|hand| speed(piece, ability, hand)));
    gaps.extend(demands(piece, ability));
    gaps.extend(hands().filter_map(|hand| span(piece, ability, hand)));
    (gaps, scales)
}

fn size(beyond: Milli, met: Milli, stretch: Milli) -> GapSize {
    if beyond <= met {
        GapSize::None
    } else if beyond <= stretch {
        GapSize::Small
    } else {
        GapSize::Large
    }
}

fn shown(thousandths: Milli) -> f64 {
    thousandths as f64 / 1000.0
}

fn level(piece: &PieceSummary, ability: &Ability) -> Gap {
    let beyond = piece.level.value - ability.level;
    let size = level_size(piece, ability);
    let (needs, has) = (shown(piece.level.value), shown(ability.level));
    let range = match (piece.level.low, piece.level.high) {
        (low, high) if low == high => format!("likely {:.0}", shown(low)),
        (low, high) => format!("likely {:.0} to {:.0}", shown(low), shown(high)),
    };
    let (piece_level, own_level) = (level_in_tenths(needs), level_in_tenths(has));
    let reason = match size {
        GapSize::None if beyond < LEVEL_EASY => format!("level {piece_level} ({range}) lies well below {own_level}"),
        GapSize::None => format!("level {piece_level} ({range}) is within reach of {own_level}"),
        _ => format!("level {piece_level} ({range}) is {:.1} above {own_level}", needs - has),
    };
    let closes = match size {
        GapSize::None => Vec::new(),
        GapSize::Small => vec!["patience: the piece itself is the step".to_owned()],
        GapSize::Large => {
            let next = level_in_tenths(shown(ability.level + LEVEL_STRETCH.min(beyond)));
            vec![format!("pieces of level {own_level} to {next} first, and then again from there")]
        }
    };
    Gap { concern: Concern::Level, hand: None, needs, has, unit: "level", size, reason, measures: Vec::new(), closes }
}

fn crossings(piece: &PieceSummary, ability: &Ability) -> (Gap, ScalesNeeded) {
    let played: Vec<_> = piece.crossings.iter().filter(|demand| ability.plays[demand.crossing.hand as usize]).collect();
    let needed = new_scales(piece, ability);
    let size = crossings_size(piece, ability, needed.scales.len());
    let names: Vec<String> =
        needed.scales.iter().filter_map(|index| candidates().get(*index)).map(ToString::to_string).collect();
    let percent = needed.share_now / 10;
    let reason = match (played.is_empty(), names.len()) {
        (true, _) => "no thumb passes under and no finger over".to_owned(),
        (_, 0) => format!("the scales known practise {percent} % of its crossings"),
        (_, 1) => format!("one new scale for its crossings, of which {percent} % are practised so far"),
        (_, count) => format!("{count} new scales for its crossings, of which {percent} % are practised so far"),
    };
    let mut hardest: Vec<_> =
        played.iter().filter(|demand| ability.practised.best(&demand.crossing) != Some(Practice::Exact)).collect();
    hardest.sort_by_key(|demand| std::cmp::Reverse(demand.effort));
    let mut measures: Vec<String> = Vec::new();
    for demand in hardest {
        if measures.len() < 5 && !measures.contains(&demand.measure) {
            measures.push(demand.measure.clone());
        }
    }
    let closes = if names.is_empty() {
        Vec::new()
    } else {
        vec![format!("learn {}: then {} % are practised", join(&names), needed.share_then / 10)]
    };
    let gap = Gap {
        concern: Concern::Crossings,
        hand: None,
        needs: PREPARED_PERCENT as f64,
        has: shown(needed.share_now) * 100.0,
        unit: "% of crossing effort",
        size,
        reason,
        measures,
        closes,
    };
    (gap, needed)
}

fn speed(piece: &PieceSummary, ability: &Ability, hand: Hand) -> Option<Gap> {
    let asked = run_rate(piece, hand);
    if asked <= 0 {
        return None;
    }
    let comfortable = ability.rate(hand).max(1);
    let size = speed_size(piece, ability, hand);
    let (needs, has) = (shown(asked), shown(comfortable));
    let fastest = piece
        .passages
        .iter()
        .find(|passage| passage.hand == hand && passage.rate == asked && passage.kind != "trill")
        .map(|passage| passage.measures.clone());
    let [first, last] = fastest.unwrap_or_default();
    let reason = match size {
        GapSize::None => format!("the {}'s runs, {needs:.1} notes a second, are comfortable", hand.name()),
        _ => format!("the {}'s runs go at {needs:.1} notes a second, comfortable is {has:.1}", hand.name()),
    };
    let closes = if size == GapSize::None { Vec::new() } else { vec![advice::speed(asked, comfortable)] };
    let measures = if first == last { vec![first] } else { vec![first, last] };
    Some(Gap { concern: Concern::Speed, hand: Some(hand), needs, has, unit: "notes/s", size, reason, measures, closes })
}

/// Never more than a small gap: what closes it is another way to play the place.
fn span(piece: &PieceSummary, ability: &Ability, hand: Hand) -> Option<Gap> {
    let reaches = &piece.reaches[hand as usize];
    let (comfortable, largest) = ability.spans[hand as usize];
    let widest = reaches.iter().map(|reach| reach.semitones).max()?;
    let beyond = |limit: i32| reaches.iter().filter(move |reach| reach.semitones > limit);
    let count = |limit| beyond(limit).map(|reach| reach.count).sum::<usize>();
    let (wide, too_wide) = (count(comfortable), count(largest));
    let size = span_size(piece, ability, hand);
    let chords = |count: usize| if count == 1 { "one chord".to_owned() } else { format!("{count} chords") };
    let reason = match (wide, too_wide) {
        (0, _) => format!("the {} never opens beyond {}", hand.name(), intervals::with_article(widest)),
        (wide, 0) => format!(
            "{} of the {} wider than {}, the widest {}",
            chords(wide),
            hand.name(),
            intervals::with_article(comfortable),
            intervals::with_article(widest)
        ),
        (_, too_wide) => format!(
            "{} of the {} beyond its largest span, {}; the widest is {}",
            chords(too_wide),
            hand.name(),
            intervals::with_article(largest),
            intervals::with_article(widest)
        ),
    };
    let limit = if too_wide > 0 { largest } else { comfortable };
    let measures: Vec<String> =
        if wide == 0 { Vec::new() } else { beyond(limit).map(|reach| reach.measure.clone()).take(5).collect() };
    let closes = match (wide, too_wide) {
        (0, _) => Vec::new(),
        (_, 0) => {
            vec!["play such chords from a loose wrist, and release one end rather than hold a stretch".to_owned()]
        }
        _ => vec![
            "roll these chords, leave out a doubled note, or let the other hand take one: do not force the stretch"
                .to_owned(),
        ],
    };
    Some(Gap {
        concern: Concern::Span,
        hand: Some(hand),
        needs: f64::from(widest),
        has: f64::from(comfortable),
        unit: "semitones",
        size,
        reason,
        measures,
        closes,
    })
}

fn demands<'a>(piece: &'a PieceSummary, ability: &'a Ability) -> impl Iterator<Item = Gap> + 'a {
    piece.demands.iter().filter(|demand| concerns(ability, demand.hand)).map(|demand| {
        let has = ability.points(&demand.name, demand.hand);
        let size = demand_size(demand, ability);
        let whose = demand.hand.map_or(String::new(), |hand| format!(" in the {}", hand.name()));
        let reason = match size {
            GapSize::None => format!("{}{whose} is familiar", demand.name),
            _ => format!(
                "{}{whose} ({:.1} {}) adds {:.1} to the level, against {:.1} so far",
                demand.name,
                demand.value,
                demand.unit,
                shown(demand.points),
                shown(has)
            ),
        };
        let closes = if size == GapSize::None { Vec::new() } else { vec![advice::demand(&demand.name)] };
        Gap {
            concern: Concern::Demand(demand.name.clone()),
            hand: demand.hand,
            needs: shown(demand.points),
            has: shown(has),
            unit: "levels",
            size,
            reason,
            measures: demand.measures.clone(),
            closes,
        }
    })
}

/// `A, B and C`.
fn join(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::testing::{learner, piece};
    use super::super::{Readiness, Verdict, assess_readiness};
    use super::*;

    fn judge(piece: &PieceSummary, text: &str) -> Readiness {
        assess_readiness(piece, &Ability::new(&learner(text), &[]))
    }

    fn gap<'a>(readiness: &'a Readiness, concern: &Concern) -> &'a Gap {
        readiness.gaps.iter().find(|gap| gap.concern == *concern).unwrap()
    }

    #[test]
    fn the_level_alone_makes_ready_stretch_and_later() {
        for (level, expected) in [
            (2_000, Verdict::Ready),
            (4_400, Verdict::Ready),
            (4_500, Verdict::Stretch),
            (5_300, Verdict::Stretch),
            (5_400, Verdict::Later),
            (9_000, Verdict::Later),
        ] {
            assert_eq!(judge(&piece(level), "level = 4").verdict, expected, "{level}");
        }
    }

    // Worked by hand. A piece of the player's level that runs through D major: who has C major only (all its crossings
    // on white keys) still has most crossings, since D major's right hand crosses like C major's but for the black keys;
    // E-flat major crosses elsewhere.
    #[test]
    fn a_missing_scale_is_a_stretch_and_learning_it_closes_the_gap() {
        let text = "level = 4\n[[scales]]\nkey = \"C\"\noctaves = 2\n";
        let piece = piece(4_000).runs("E-flat major", 5_000);
        let without = judge(&piece, text);
        assert_eq!(without.verdict, Verdict::Stretch);
        assert_eq!(without.scales.scales.len(), 1);
        let with = judge(&piece, &format!("{text}[[scales]]\nkey = \"E-flat\"\noctaves = 2\n"));
        assert_eq!((with.verdict, with.scales.share_now), (Verdict::Ready, 1000));
    }

    #[test]
    fn many_missing_scales_are_later_unless_the_piece_is_easy() {
        let hard = ["C major", "E harmonic minor", "B-flat major"]
            .into_iter()
            .fold(piece(4_800), |piece, scale| piece.runs(scale, 5_000));
        let judged = judge(&hard, "level = 4");
        assert!(judged.scales.scales.len() > SCALES_STRETCH, "{:?}", judged.scales);
        assert_eq!(judged.verdict, Verdict::Later);
        assert_eq!(judge(&hard, "level = 4.8").verdict, Verdict::Stretch);
        assert_eq!(judge(&hard, "level = 6").verdict, Verdict::Ready);
    }

    // Level 4 is taken to run at 1.5 + 4 * 1.2 = 6.3 notes a second.
    #[test]
    fn runs_a_little_faster_are_a_stretch_and_much_faster_later() {
        let scales = "[[scales]]\nkey = \"C\"\noctaves = 2\n";
        let at = |rate, more: &str| judge(&piece(4_000).runs("C major", rate), &format!("level = 4\n{scales}{more}"));
        assert_eq!(at(6_900, "").verdict, Verdict::Ready);
        assert_eq!(at(8_000, "").verdict, Verdict::Stretch);
        assert_eq!(at(11_000, "").verdict, Verdict::Later);
        let gap = gap(&at(8_000, ""), &Concern::Speed).clone();
        assert_eq!(gap.reason, "the right hand's runs go at 8.0 notes a second, comfortable is 6.3");
        assert_eq!(gap.measures, ["5", "6"]);
        assert_eq!(at(8_000, "quarter_bpm = 112\n").verdict, Verdict::Ready, "7.5 notes a second and a tenth more");
    }

    #[test]
    fn wide_chords_are_a_stretch_at_most_and_say_how_to_play_them() {
        let wide = piece(3_000).reach(Hand::Left, 16);
        let average = judge(&wide, "level = 4");
        assert_eq!(average.verdict, Verdict::Stretch);
        let gap_ = gap(&average, &Concern::Span);
        assert_eq!(gap_.reason, "one chord of the left hand beyond its largest span, a ninth; the widest is a tenth");
        assert!(gap_.closes[0].contains("do not force"));
        let large = judge(&wide, "level = 4\n[hands]\ncomfortable_span = \"tenth\"\n");
        assert_eq!(large.verdict, Verdict::Ready);
        let one_hand = judge(&wide, "level = 4\n[hands.left]\nplays = false\n");
        assert_eq!(one_hand.verdict, Verdict::Ready, "the left hand's part is not this player's");
    }

    #[test]
    fn a_new_dimension_is_a_gap_of_its_own() {
        let played = piece(4_000).demand("speed", 1_500);
        let ability = Ability::new(&learner("[[pieces]]\ntitle = \"A\"\n"), &[Some(&played)]);
        let leaps = assess_readiness(&piece(4_000).demand("speed", 1_500).demand("leaps", 700), &ability);
        assert_eq!(leaps.verdict, Verdict::Stretch);
        assert_eq!(gap(&leaps, &Concern::Demand("leaps".into())).size, GapSize::Small);
        assert_eq!(gap(&leaps, &Concern::Demand("speed".into())).size, GapSize::None);
        assert!(leaps.sentence().starts_with("stretch: leaps (1.0 units) adds 0.7 to the level"));
        assert_eq!(assess_readiness(&piece(4_000).demand("leaps", 1_500), &ability).verdict, Verdict::Later);
    }

    /// A shelf piece drawn at random.
    fn any_piece() -> impl Strategy<Value = PieceSummary> {
        let scales = prop::collection::vec(0_usize..49, 0..4);
        let demands = prop::collection::vec((0_usize..4, 0_i64..2_000), 0..4);
        (1_000_i64..9_000, scales, demands, 1_000_i64..12_000, 7_i32..20, 7_i32..20).prop_map(
            |(level, scales, demands, rate, right, left)| {
                let mut piece = piece(level).reach(Hand::Right, right).reach(Hand::Left, left);
                for index in scales {
                    piece = piece.runs(&candidates()[index].to_string(), rate);
                }
                for (name, points) in demands {
                    piece = piece.demand(["speed", "leaps", "chords", "rhythm"][name], points);
                }
                piece
            },
        )
    }

    fn any_scales() -> impl Strategy<Value = Vec<String>> {
        let entry = (0_usize..49, 0_usize..4, 1_u8..4, prop::option::of(30_u16..200)).prop_map(
            |(scale, hands, octaves, bpm)| {
                let hands = ["right", "left", "apart", "together"][hands];
                let speed = bpm.map_or(String::new(), |bpm| format!("quarter_bpm = {bpm}\n"));
                format!(
                    "[[scales]]\nkey = \"{}\"\nhands = \"{hands}\"\noctaves = {octaves}\n{speed}",
                    candidates()[scale]
                )
            },
        );
        prop::collection::vec(entry, 0..5)
    }

    proptest! {
        #[test]
        fn knowing_more_scales_never_lowers_readiness(
            piece in any_piece(), known in any_scales(), more in any_scales(), level in prop::option::of(1_u8..10),
        ) {
            let head = level.map_or(String::new(), |level| format!("level = {level}\n"));
            let before = judge(&piece, &format!("{head}{}", known.concat()));
            let after = judge(&piece, &format!("{head}{}{}", known.concat(), more.concat()));
            prop_assert!(after.verdict >= before.verdict, "{:?} {:?}", before.gaps, after.gaps);
            prop_assert!(after.scales.share_now >= before.scales.share_now);
        }

        #[test]
        fn a_smaller_span_never_raises_readiness(
            piece in any_piece(), known in any_scales(), large in 5_i32..20, less in 0_i32..5,
        ) {
            let with = |span: i32| {
                judge(&piece, &format!("level = 5\n{}[hands]\ncomfortable_span = {span}\n", known.concat())).verdict
            };
            prop_assert!(with(large - less.min(large - 3)) <= with(large));
        }

        #[test]
        fn another_piece_that_went_well_never_lowers_what_is_practised(
            piece in any_piece(), first in any_piece(), second in any_piece(),
        ) {
            let mut ability = Ability::new(&learner("[[pieces]]\ntitle = \"A\"\n"), &[Some(&first)]);
            let before = assess_readiness(&piece, &ability);
            ability.learn_piece(&second, "B");
            let after = assess_readiness(&piece, &ability);
            prop_assert!(after.scales.share_now >= before.scales.share_now);
            prop_assert!(after.verdict >= before.verdict);
        }
    }
}

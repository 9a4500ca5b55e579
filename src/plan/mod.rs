//! A series of lessons: in which order to add scales and pieces.
//!
//! In: a shelf of summaries, a learner. Out: a [`Plan`]: lessons that each add at most so many scales and one piece that
//! is a stretch by then, with alternatives; the pieces that are ready already; and those that no order of this shelf
//! reaches, with the reason. A [`PlanGraph`] says what must come before what.
//!
//! Abilities only ever grow, so whatever order the pieces are learnt in, the same pieces can be reached in the end: that
//! set is found exactly. Which of the many good orders to take is a choice (see `course.rs`).

mod course;
mod graph;

use crate::learner::Learner;
use crate::readiness::{Ability, Concern, Gap, GapSize, Verdict, assess_readiness, candidates, make_schedule};
use crate::shelf::Entry;

pub use graph::{EdgeKind, NodeKind, PlanEdge, PlanGraph, PlanNode};

use course::{Course, Step};

/// What is asked of a plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlanOptions {
    /// New scales a lesson at most.
    pub scales_a_lesson: usize,
    /// Lessons at most; a plan with a goal is as long as it has to be.
    pub lessons: usize,
    /// Alternatives to each piece at most.
    pub alternatives: usize,
    /// File of the piece to arrive at; then only the lessons that lead there are kept.
    pub goal: Option<String>,
}

impl Default for PlanOptions {
    /// Chosen by us: two scales are what a week or two of practice can take in beside a piece; a dozen lessons are a
    /// term.
    fn default() -> Self {
        Self { scales_a_lesson: 2, lessons: 12, alternatives: 2, goal: None }
    }
}

/// One lesson.
#[derive(Clone, PartialEq, Debug)]
pub struct Lesson {
    /// From 1.
    pub number: usize,
    /// Week in which it begins, from 1.
    pub week: usize,
    /// Weeks that its drills take.
    pub weeks: usize,
    /// New scales.
    pub scales: Vec<String>,
    /// The new piece, as an index into the shelf; none in a lesson that only prepares the scales of the next.
    pub piece: Option<usize>,
    /// What the piece is by then: a stretch, or ready where the shelf has no stretch left that leads on.
    pub verdict: Verdict,
    /// What is new in it, in sentences.
    pub because: Vec<String>,
    /// Other pieces that would do in its place with the same scales, as indices into the shelf.
    pub alternatives: Vec<usize>,
    /// Share of the shelf's crossings practised after the lesson, in thousandths.
    pub share: i64,
}

/// A piece that no order reaches.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Unreachable {
    /// Index into the shelf.
    pub piece: usize,
    /// What stands in the way even after everything that can be reached has been learnt.
    pub why: String,
    /// What would bridge the gap.
    pub bridge: String,
}

/// The plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Plan {
    /// Where the player stands, in a sentence.
    pub basis: String,
    /// Share of the shelf's crossings practised before the first lesson, in thousandths.
    pub share_now: i64,
    /// Lessons in order.
    pub lessons: Vec<Lesson>,
    /// Pieces that are ready before the first lesson, as indices into the shelf.
    pub ready_now: Vec<usize>,
    /// Pieces that become reachable but are in no lesson: ready or a stretch after the last lesson or later.
    pub also_reachable: usize,
    /// Pieces that no order of this shelf reaches.
    pub unreachable: Vec<Unreachable>,
    /// What must come before what.
    pub graph: PlanGraph,
}

/// Why there is no plan.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum PlanError {
    /// No piece to plan with.
    #[error("no piece on the shelf to plan with")]
    EmptyShelf,
    /// The goal is not on the shelf.
    #[error("the goal `{0}` is not on the shelf")]
    NoSuchGoal(String),
    /// The goal is beyond what the shelf leads to.
    #[error("no order of these pieces reaches the goal: {0}")]
    GoalUnreachable(String),
}

/// Makes a plan. The shelf's order does not matter; equal choices go by file name.
///
/// # Errors
/// When the shelf is empty, or the goal is not on it or cannot be reached.
pub fn make_plan(
    shelf: &[Entry],
    learner: &Learner,
    ability: &Ability,
    options: &PlanOptions,
) -> Result<Plan, PlanError> {
    if shelf.is_empty() {
        return Err(PlanError::EmptyShelf);
    }
    let course = Course::new(shelf, ability, options);
    let goal = options.goal.as_ref().map(|goal| course.find(goal).ok_or_else(|| PlanError::NoSuchGoal(goal.clone())));
    let goal = goal.transpose()?;
    let reach = course.reachable();
    let unreachable: Vec<Unreachable> =
        reach.missed.iter().map(|piece| explain(*piece, shelf, &reach.ability)).collect();
    if let Some(goal) = goal
        && let Some(missed) = unreachable.iter().find(|missed| missed.piece == goal)
    {
        return Err(PlanError::GoalUnreachable(missed.why.clone()));
    }

    let order = match goal {
        Some(goal) => course.order_towards(goal),
        None => course.order(),
    };
    let steps = course.lessons(&order).unwrap_or_default();
    // A goal is arrived at, however long the way.
    let shown = if goal.is_some() { steps.len() } else { steps.len().min(options.lessons) };
    let steps = &steps[..shown];
    let lessons = tell(steps, &course, shelf, learner, ability);
    let taken = lessons.iter().filter_map(|lesson| lesson.piece).collect::<Vec<_>>();
    let ready_now: Vec<usize> =
        course.by_file().filter(|piece| course.is_ready(*piece, ability) && !taken.contains(piece)).collect();
    let also_reachable = shelf.len() - taken.len() - ready_now.len() - unreachable.len();
    let graph = graph::build(steps, &course, shelf, ability);
    Ok(Plan {
        basis: format!("the player's level is taken as {}", ability.level_and_source()),
        share_now: course.share(ability),
        lessons,
        ready_now,
        also_reachable,
        unreachable,
        graph,
    })
}

/// Puts steps into words and weeks.
fn tell(steps: &[Step], course: &Course<'_>, shelf: &[Entry], learner: &Learner, start: &Ability) -> Vec<Lesson> {
    /// Weeks for each scale of a lesson without a piece. Common practice, no source: one or two weeks hands apart.
    const WEEKS_A_SCALE: usize = 1;
    let mut ability = start.clone();
    let mut lessons: Vec<Lesson> = Vec::new();
    let mut week = 1;
    for (index, step) in steps.iter().enumerate() {
        let before = ability.clone();
        for scale in &step.scales {
            ability.learn_scale(*scale);
        }
        let (weeks, because, verdict) = match step.piece.and_then(|piece| shelf.get(piece)) {
            Some(entry) => {
                let readiness = assess_readiness(&entry.piece, &before);
                let new = |gap: &&Gap| {
                    gap.size > GapSize::None || (gap.concern == Concern::Crossings && !step.scales.is_empty())
                };
                let because = readiness.gaps.iter().filter(new).map(|gap| gap.reason.clone()).take(3).collect();
                // The scales are learnt within the lesson, so what they close no longer counts.
                let then = assess_readiness(&entry.piece, &ability).verdict;
                let stretch = then == Verdict::Ready && !step.scales.is_empty();
                let verdict = if stretch { Verdict::Stretch } else { then };
                (make_schedule(&entry.piece, learner, &before, verdict).weeks.len(), because, verdict)
            }
            None => (WEEKS_A_SCALE * step.scales.len(), vec![course.what_for(steps, index)], Verdict::Ready),
        };
        if let Some(entry) = step.piece.and_then(|piece| shelf.get(piece)) {
            ability.learn_piece(&entry.piece, &entry.file);
        }
        let weeks = weeks.max(1);
        lessons.push(Lesson {
            number: index + 1,
            week,
            weeks,
            scales: step.scales.iter().filter_map(|scale| candidates().get(*scale)).map(ToString::to_string).collect(),
            piece: step.piece,
            verdict,
            because,
            alternatives: step.alternatives.clone(),
            share: course.share(&ability),
        });
        week += weeks;
    }
    lessons
}

fn explain(piece: usize, shelf: &[Entry], ability: &Ability) -> Unreachable {
    let Some(entry) = shelf.get(piece) else {
        return Unreachable { piece, why: String::new(), bridge: String::new() };
    };
    let readiness = assess_readiness(&entry.piece, ability);
    let widest = readiness.gaps.first();
    let mut why: Vec<&str> =
        readiness.gaps.iter().filter(|gap| gap.size == GapSize::Large).map(|gap| gap.reason.as_str()).collect();
    if why.is_empty() {
        why.push("too many things are new at once");
    }
    Unreachable {
        piece,
        why: format!("after everything that can be reached, {}", why.join("; ")),
        bridge: widest.and_then(|gap| gap.closes.first()).cloned().unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;
    use crate::readiness::testing::{learner, piece};
    use crate::readiness::{verdict_but_crossings, verdict_with_scales};
    use crate::summary::PieceSummary;

    fn shelf(pieces: Vec<(&str, PieceSummary)>, ability: &Ability) -> Vec<Entry> {
        pieces.into_iter().map(|(file, piece)| Entry::new(file.into(), piece.titled(file), Some(ability))).collect()
    }

    fn start(text: &str) -> (Learner, Ability) {
        let learner = learner(text);
        let ability = Ability::new(&learner, &[]);
        (learner, ability)
    }

    fn told(plan: &Plan, shelf: &[Entry]) -> Vec<String> {
        let piece = |index: Option<usize>| index.map_or("-".to_owned(), |index| shelf[index].file.clone());
        plan.lessons.iter().map(|l| format!("{}: {}", l.scales.join(" + "), piece(l.piece))).collect()
    }

    // Worked by hand, in thousandths of a level. The player is at 3000. `a` (3500) is a stretch of half a level and takes the
    // player a third of the way, to 3166; then `b` (4200) is 1034 up and leads to 3510; then `d` (4700) is 1190 up and
    // leads to 3906, from where `e` (8000) is out of reach. `r` is ready from the start.
    #[test]
    fn the_ladder_is_climbed_rung_by_rung() {
        let (learner, ability) = start("level = 3");
        let shelf = shelf(
            vec![
                ("d", piece(4_700)),
                ("a", piece(3_500)),
                ("e", piece(8_000)),
                ("b", piece(4_200)),
                ("r", piece(2_000)),
            ],
            &ability,
        );
        let plan = make_plan(&shelf, &learner, &ability, &PlanOptions::default()).unwrap();
        assert_eq!(told(&plan, &shelf), [": a", ": b", ": d"]);
        assert!(plan.lessons.iter().all(|lesson| lesson.verdict == Verdict::Stretch));
        assert_eq!(plan.lessons[0].alternatives, [3]);
        assert_eq!(plan.ready_now, [4]);
        assert_eq!(plan.unreachable.len(), 1);
        assert_eq!(plan.unreachable[0].piece, 2);
        assert!(
            plan.unreachable[0].why.contains("level 8.0 (likely 7 to 9) is 4.1 above 3.9"),
            "{:?}",
            plan.unreachable
        );
        assert!(plan.unreachable[0].bridge.contains("pieces of level 3.9 to 5.2 first"));
        assert_eq!(plan.also_reachable, 0);
        // Half the tempo and a fifth more each week: five weeks for each.
        assert_eq!(plan.lessons.iter().map(|lesson| lesson.week).collect::<Vec<_>>(), [1, 6, 11]);
    }

    // The same shelf, with `d` as the goal: `a` can be left out, since `b` is a stretch from 3000 already, and leads to
    // 3400, from where `d` is just 1300 up.
    #[test]
    fn a_goal_keeps_only_the_lessons_that_lead_there() {
        let (learner, ability) = start("level = 3");
        let pieces = vec![("a", piece(3_500)), ("b", piece(4_200)), ("d", piece(4_700)), ("e", piece(8_000))];
        let shelf = shelf(pieces, &ability);
        let goal = |goal: &str| PlanOptions { goal: Some(goal.into()), ..PlanOptions::default() };
        let plan = make_plan(&shelf, &learner, &ability, &goal("d")).unwrap();
        assert_eq!(told(&plan, &shelf), [": b", ": d"]);
        let before = plan.graph.edges.iter().filter(|edge| edge.kind == EdgeKind::Before).count();
        assert_eq!(before, 1, "b comes before d");
        assert!(matches!(make_plan(&shelf, &learner, &ability, &goal("e")), Err(PlanError::GoalUnreachable(_))));
        assert!(matches!(make_plan(&shelf, &learner, &ability, &goal("x")), Err(PlanError::NoSuchGoal(_))));
        assert_eq!(make_plan(&[], &learner, &ability, &goal("d")), Err(PlanError::EmptyShelf));
    }

    // A chord beyond the hand makes a piece a stretch, but there is nothing to learn in it for the next one.
    #[test]
    fn a_wide_chord_alone_makes_no_lesson() {
        let (learner, ability) = start("level = 4\n[hands]\nlargest_span = \"seventh\"\n");
        let shelf = shelf(vec![("wide", piece(3_000).reach(crate::units::Hand::Left, 12))], &ability);
        let plan = make_plan(&shelf, &learner, &ability, &PlanOptions::default()).unwrap();
        assert_eq!((plan.lessons.len(), plan.unreachable.len(), plan.also_reachable), (0, 0, 1));
    }

    // C major is known. `s` runs through E-flat major, so its lesson brings that scale (or one that practises the same
    // crossings), after which `t` in the same scale needs none.
    #[test]
    fn a_lesson_brings_the_scales_that_its_piece_needs_and_no_others() {
        let (learner, ability) = start("level = 4\n[[scales]]\nkey = \"C\"\noctaves = 2\n");
        let runs = |level| piece(level).runs("E-flat major", 5_000);
        let shelf = shelf(vec![("s", runs(4_500)), ("t", runs(5_200)), ("u", piece(4_100))], &ability);
        let plan = make_plan(&shelf, &learner, &ability, &PlanOptions::default()).unwrap();
        assert_eq!(plan.lessons.len(), 2, "{:?}", told(&plan, &shelf));
        assert_eq!(plan.lessons[0].scales.len(), 1);
        assert_eq!(plan.lessons[1].scales.len(), 0);
        assert_eq!(plan.ready_now, [2]);
        assert!(plan.share_now < plan.lessons[0].share);
        let kinds: BTreeSet<NodeKind> = plan.graph.nodes.iter().map(|node| node.kind).collect();
        assert_eq!(kinds.len(), 4, "{:?}", plan.graph);
    }

    #[test]
    fn more_scales_than_a_lesson_holds_are_spread_over_lessons_before_the_piece() {
        let (learner, ability) = start("level = 5");
        let scales = ["C major", "E harmonic minor", "B-flat major"];
        let all = scales.into_iter().fold(piece(5_300), |piece, scale| piece.runs(scale, 5_000));
        let shelf = shelf(vec![("all", all)], &ability);
        let options = PlanOptions { scales_a_lesson: 1, ..PlanOptions::default() };
        let plan = make_plan(&shelf, &learner, &ability, &options).unwrap();
        assert!(plan.lessons.len() >= 3);
        let (last, before) = plan.lessons.split_last().unwrap();
        assert!(before.iter().all(|lesson| lesson.piece.is_none() && lesson.scales.len() == 1));
        assert_eq!((last.piece, last.scales.len()), (Some(0), 1));
        assert!(before[0].because[0].contains("`all`"));
        let weeks: Vec<usize> = plan.lessons.iter().map(|lesson| lesson.week).collect();
        assert!(weeks.windows(2).all(|pair| pair[0] < pair[1]));
    }

    /// Up to seven pieces with gaps of several kinds.
    fn any_shelf() -> impl Strategy<Value = Vec<PieceSummary>> {
        let one = (
            2_000_i64..7_500,
            prop::option::of(0_usize..49),
            prop::collection::vec((0_usize..3, 0_i64..2_500), 0..3),
            0_i64..11_000,
        );
        let one = one.prop_map(|(level, scale, demands, rate)| {
            let mut piece = piece(level);
            if let Some(scale) = scale {
                piece = piece.runs(&candidates()[scale].to_string(), rate);
            }
            for (name, points) in demands {
                piece = piece.demand(["speed", "leaps", "chords"][name], points);
            }
            piece
        });
        prop::collection::vec(one, 1..6)
    }

    fn entries(pieces: &[PieceSummary], ability: &Ability) -> Vec<Entry> {
        let names = ["a", "b", "c", "d", "e", "f", "g"];
        shelf(names.into_iter().zip(pieces.iter().cloned()).collect(), ability)
    }

    /// The pieces that some order learns, by trying every order.
    fn brute_reachable(shelf: &[Entry], ability: &Ability) -> BTreeSet<usize> {
        fn extend(shelf: &[Entry], learnt: &mut Vec<usize>, ability: &Ability, reached: &mut BTreeSet<usize>) {
            for (index, entry) in shelf.iter().enumerate() {
                if !learnt.contains(&index) && verdict_but_crossings(&entry.piece, ability) > Verdict::Later {
                    reached.insert(index);
                    let mut more = ability.clone();
                    more.learn_piece(&entry.piece, &entry.file);
                    learnt.push(index);
                    extend(shelf, learnt, &more, reached);
                    learnt.pop();
                }
            }
        }
        let mut reached = BTreeSet::new();
        extend(shelf, &mut Vec::new(), ability, &mut reached);
        reached
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]

        #[test]
        fn what_a_plan_calls_unreachable_no_order_reaches(pieces in any_shelf()) {
            let (learner, ability) = start("level = 3\n[[pieces]]\nlevel = 3\n");
            let shelf = entries(&pieces, &ability);
            let plan = make_plan(&shelf, &learner, &ability, &PlanOptions { lessons: 60, ..PlanOptions::default() }).unwrap();
            let reached = brute_reachable(&shelf, &ability);
            for index in 0..shelf.len() {
                let unreachable = plan.unreachable.iter().any(|missed| missed.piece == index);
                prop_assert_eq!(unreachable, !reached.contains(&index), "piece {}", index);
            }
        }

        #[test]
        fn every_lesson_respects_the_order_and_its_limits(pieces in any_shelf(), most in 1_usize..4) {
            let (learner, mut ability) = start("level = 3\n[[scales]]\nkey = \"C\"\noctaves = 2\n");
            let shelf = entries(&pieces, &ability);
            let options = PlanOptions { scales_a_lesson: most, ..PlanOptions::default() };
            let plan = make_plan(&shelf, &learner, &ability, &options).unwrap();
            let mut share = plan.share_now;
            let mut taken = BTreeSet::new();
            for lesson in &plan.lessons {
                prop_assert!(lesson.scales.len() <= most);
                for scale in &lesson.scales {
                    let index = candidates().iter().position(|known| known.to_string() == *scale).unwrap();
                    ability.learn_scale(index);
                }
                if let Some(piece) = lesson.piece {
                    let (verdict, needed) = verdict_with_scales(&shelf[piece].piece, &ability);
                    prop_assert!(verdict > Verdict::Later);
                    prop_assert!(needed.scales.is_empty(), "its scales have been learnt: {:?}", needed);
                    prop_assert!(taken.insert(piece), "no piece comes twice");
                    for other in &lesson.alternatives {
                        prop_assert!(*other != piece && verdict_but_crossings(&shelf[*other].piece, &ability) > Verdict::Later);
                    }
                    ability.learn_piece(&shelf[piece].piece, "");
                }
                prop_assert!(lesson.share >= share, "the share practised never falls");
                share = lesson.share;
            }
            let graph = &plan.graph;
            prop_assert!(graph.edges.iter().all(|edge| edge.from < edge.to), "every edge goes forward: no cycle");
            let lesson = |node: usize| graph.nodes[node].lesson;
            for edge in graph.edges.iter().filter(|edge| edge.kind == EdgeKind::Before) {
                prop_assert!(lesson(edge.from) < lesson(edge.to));
            }
        }

        #[test]
        fn no_lesson_on_the_way_to_a_goal_can_be_left_out(pieces in any_shelf(), goal in 0_usize..6) {
            let (learner, ability) = start("level = 3");
            let shelf = entries(&pieces, &ability);
            let file = shelf[goal % shelf.len()].file.clone();
            let options = PlanOptions { goal: Some(file.clone()), ..PlanOptions::default() };
            let Ok(plan) = make_plan(&shelf, &learner, &ability, &options) else {
                prop_assert!(!brute_reachable(&shelf, &ability).contains(&(goal % shelf.len())));
                return Ok(());
            };
            let order: Vec<usize> = plan.lessons.iter().filter_map(|lesson| lesson.piece).collect();
            prop_assert_eq!(&shelf[*order.last().unwrap()].file, &file);
            let can = |order: &[usize]| {
                let mut ability = ability.clone();
                order.iter().all(|piece| {
                    let can = verdict_but_crossings(&shelf[*piece].piece, &ability) > Verdict::Later;
                    ability.learn_piece(&shelf[*piece].piece, "");
                    can
                })
            };
            prop_assert!(can(&order));
            for place in 0..order.len() - 1 {
                let mut shorter = order.clone();
                shorter.remove(place);
                prop_assert!(!can(&shorter), "lesson {} of {:?} is not needed", place, order);
            }
        }

        #[test]
        fn the_order_of_the_files_does_not_matter(pieces in any_shelf(), turn in 0_usize..6) {
            let (learner, ability) = start("level = 3");
            let shelf = entries(&pieces, &ability);
            let mut turned = shelf.clone();
            turned.rotate_left(turn % shelf.len());
            turned.reverse();
            let plan = |shelf: &[Entry]| {
                let plan = make_plan(shelf, &learner, &ability, &PlanOptions::default()).unwrap();
                (told(&plan, shelf), plan.graph)
            };
            prop_assert_eq!(plan(&shelf), plan(&turned));
        }
    }
}

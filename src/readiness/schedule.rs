//! A schedule in weeks: which drill with which hands, over how many octaves and how fast, and when to open the piece.
//!
//! In: the drills of a piece, what the player has of them, minutes a day. Out: a [`Schedule`]. The order is common
//! practice (no source): hands apart for a week or two, then together; two octaves first, then as many as the piece
//! wants; the awkward transition isolated at the start; the speed up a step a week; the piece opened once the hands have
//! the drills, slowly at first.

use std::collections::VecDeque;

use serde::Serialize;

use super::Verdict;
use super::ability::Ability;
use crate::drills::candidate;
use crate::drills::metronome::{Mark, mark_for, step_for};
use crate::learner::{HandsKnown, KnownScale, Learner};
use crate::scales::Scale;
use crate::summary::{DrillNeed, Milli, PieceSummary};
use crate::units::Hand;

/// Weeks planned at most. Chosen by us: half a year; what needs longer needs other pieces in between.
const MOST_WEEKS: usize = 26;

/// Part of the daily minutes that goes to drills. Common practice, no source: a third, the rest to pieces.
const DRILL_PART: f64 = 1.0 / 3.0;

/// Minutes of drills a day at most. Chosen by us: more of the same movement tires the hand.
const MOST_DRILL_MINUTES: f64 = 20.0;

/// Minutes that one drill takes on a day. Chosen by us: enough for two dozen slow repetitions.
const DRILL_MINUTES: f64 = 5.0;

/// Drills worked on at a time. Chosen by us: fingerings learnt side by side are confused.
const MOST_AT_A_TIME: usize = 3;

/// Minutes of practice that a step needs before the next. Chosen by us: five days of five minutes.
const STEP_MINUTES: f64 = 25.0;

/// Speed of a step after the one before, in per cent. Chosen by us: about three marks of the metronome.
const FASTER_PERCENT: Milli = 120;

/// Speed at which an unknown drill is begun, in per cent of its goal. Chosen by us.
const BEGIN_PERCENT: Milli = 40;

/// Speed at which hands together begin, in per cent of the hands apart. Chosen by us.
const TOGETHER_PERCENT: Milli = 75;

/// Speed, in per cent of the goal, at which the octaves grow. Chosen by us: two octaves flow before three are tried.
const GROW_PERCENT: Milli = 80;

/// Tempo at which a piece that is a stretch is opened, in per cent. Common practice, no source: half.
const OPEN_PERCENT: Milli = 50;

/// Drills that a schedule takes on. Chosen by us: the rest of a long list is met in the piece.
const MOST_DRILLS: usize = 4;

/// Weeks in order.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Schedule {
    /// One entry a week.
    pub weeks: Vec<Week>,
    /// Week in which the piece is opened, from 1; none when it is for later, or not within the weeks.
    pub open_in_week: Option<usize>,
    /// Whether everything reaches its goal within the weeks.
    pub complete: bool,
}

/// One week.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Week {
    /// From 1.
    pub week: usize,
    /// Drills of every day.
    pub drills: Vec<WeekDrill>,
    /// Work on the piece itself, once it is open.
    pub piece: Option<PieceWork>,
}

/// One drill of one week.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekDrill {
    /// Name of the scale.
    pub scale: String,
    /// `hands apart`, `hands together`, `right hand` or `left hand`.
    pub hands: &'static str,
    /// Octaves.
    pub octaves: u8,
    /// Speed.
    #[serde(flatten)]
    pub mark: Mark,
    /// Minutes on each day of practice.
    pub minutes_a_day: f64,
    /// The transition to isolate first, in words.
    pub isolate: Option<String>,
}

/// The piece in one week.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct PieceWork {
    /// `hands apart` or `hands together`.
    pub hands: &'static str,
    /// Quarter notes a minute.
    pub quarter_bpm: u16,
    /// Per cent of the piece's tempo.
    pub percent: u8,
}

impl Schedule {
    /// What there is to say below the weeks.
    pub fn note(&self) -> Option<&'static str> {
        if !self.complete {
            Some("Half a year is not enough for all of it: other pieces come first.")
        } else if self.open_in_week.is_none() {
            Some("These drills prepare; the piece itself waits until the gaps above are closed.")
        } else {
            None
        }
    }
}

impl WeekDrill {
    /// `E-flat major, hands apart, 2 octaves, four notes to the beat at quarter = 48, 5 minutes; first C to B-flat alone`.
    pub fn sentence(&self) -> String {
        let octaves = if self.octaves == 1 { "1 octave".to_owned() } else { format!("{} octaves", self.octaves) };
        let isolate =
            self.isolate.as_ref().map_or_else(String::new, |place| format!("; first {place}, alone and slowly"));
        format!("{}, {}, {octaves}, {}, {} minutes{isolate}", self.scale, self.hands, self.mark, self.minutes_a_day)
    }
}

impl PieceWork {
    /// `the piece, hands apart, at quarter = 60 (50 % of its tempo)`.
    pub fn sentence(&self) -> String {
        match self.percent {
            100 => format!("the piece, {}, at its tempo, quarter = {}", self.hands, self.quarter_bpm),
            percent => {
                format!("the piece, {}, at quarter = {} ({percent} % of its tempo)", self.hands, self.quarter_bpm)
            }
        }
    }
}

/// One step of a drill.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Step {
    hands: HandsKnown,
    octaves: u8,
    rate: Milli,
    isolate: bool,
}

/// A drill on its way.
struct Course<'a> {
    need: &'a DrillNeed,
    steps: Vec<Step>,
    at: usize,
    minutes: f64,
}

impl Course<'_> {
    fn step(&self) -> Option<&Step> {
        self.steps.get(self.at)
    }

    /// Past the stage of hands apart.
    fn opens_piece(&self) -> bool {
        self.step().is_none_or(|step| matches!(step.hands, HandsKnown::Together) || self.at >= 2)
    }

    fn percent(&self) -> Milli {
        let goal = self.need.rate.max(1);
        self.step().or(self.steps.last()).map_or(100, |step| (step.rate * 100 / goal).min(100))
    }
}

/// Makes the schedule for one piece: its drills as far as the player does not have them at the speed of the piece, and the
/// piece itself, unless it is for later.
pub fn make_schedule(piece: &PieceSummary, learner: &Learner, ability: &Ability, verdict: Verdict) -> Schedule {
    let courses = piece.drills.iter().map(|need| Course { need, steps: steps(need, ability), at: 0, minutes: 0.0 });
    let mut waiting: VecDeque<Course<'_>> =
        courses.filter(|course| !course.steps.is_empty()).take(MOST_DRILLS).collect();
    let drill_minutes = (learner.minutes_a_day * DRILL_PART).min(MOST_DRILL_MINUTES);
    let at_a_time = ((drill_minutes / DRILL_MINUTES) as usize).clamp(1, MOST_AT_A_TIME);
    let mut active: Vec<Course<'_>> = Vec::new();
    let mut schedule = Schedule::default();
    // Share of its tempo that the piece itself has come to, in per cent.
    let mut reached = if verdict == Verdict::Ready { 100 } else { OPEN_PERCENT };
    let mut is_done = false;

    while !is_done && schedule.weeks.len() < MOST_WEEKS {
        let week = schedule.weeks.len() + 1;
        while active.len() < at_a_time
            && let Some(next) = waiting.pop_front()
        {
            active.push(next);
        }
        let ready = waiting.is_empty() && active.iter().all(Course::opens_piece);
        if ready && verdict > Verdict::Later && schedule.open_in_week.is_none() {
            schedule.open_in_week = Some(week);
        }
        let minutes = (drill_minutes / active.len().max(1) as f64 * 2.0).round() / 2.0;
        let work = schedule.open_in_week.map(|since| {
            let percent = active.iter().map(Course::percent).min().unwrap_or(100).min(reached);
            reached = (reached * FASTER_PERCENT / 100).min(100);
            is_done = percent == 100 && active.is_empty();
            // Two weeks hands apart, unless there is nothing to learn.
            piece_work(piece, percent, verdict == Verdict::Ready || week >= since + 2)
        });
        if active.is_empty() && work.is_none() {
            break;
        }
        let drills = active.iter().filter_map(|course| week_drill(course, minutes)).collect();
        schedule.weeks.push(Week { week, drills, piece: work });
        for course in &mut active {
            course.minutes += minutes * f64::from(learner.days_a_week);
            if course.minutes >= STEP_MINUTES {
                course.minutes = 0.0;
                course.at += 1;
            }
        }
        active.retain(|course| course.step().is_some());
    }
    schedule.complete = active.is_empty() && waiting.is_empty() && (is_done || verdict == Verdict::Later);
    schedule
}

fn piece_work(piece: &PieceSummary, percent: Milli, together: bool) -> PieceWork {
    let bpm = (piece.quarter_bpm * percent as f64 / 100.0).round().clamp(1.0, 999.0) as u16;
    PieceWork {
        hands: if together { "hands together" } else { "hands apart" },
        quarter_bpm: bpm,
        percent: percent.clamp(1, 100) as u8,
    }
}

fn week_drill(course: &Course<'_>, minutes_a_day: f64) -> Option<WeekDrill> {
    let step = course.step()?;
    let is_last = course.at + 1 == course.steps.len();
    Some(WeekDrill {
        scale: course.need.scale.clone(),
        hands: step.hands.name(),
        octaves: step.octaves,
        mark: if is_last { mark_for(step.rate) } else { step_for(step.rate) },
        minutes_a_day,
        isolate: course.need.isolate.clone().filter(|_| step.isolate),
    })
}

/// The steps from what the player has of a scale to what the piece wants; empty when nothing is missing.
fn steps(need: &DrillNeed, ability: &Ability) -> Vec<Step> {
    let wanted: Vec<Hand> =
        Hand::BOTH.into_iter().filter(|h| need.hands[*h as usize] && ability.plays[*h as usize]).collect();
    let apart = match wanted.as_slice() {
        [] => return Vec::new(),
        [Hand::Right] => HandsKnown::Right,
        [Hand::Left] => HandsKnown::Left,
        _ => HandsKnown::Apart,
    };
    let both = wanted.len() == 2;
    let goal = need.rate.max(500);
    let begin = (goal * BEGIN_PERCENT / 100).max(1_000).min(goal);
    let known = best_known(need, &wanted, ability);
    let known_rate = known.and_then(|known| known.notes_per_second).map(|rate| (rate * 1000.0) as Milli);
    let together_known = known.is_some_and(|known| known.hands == HandsKnown::Together);
    let octaves_known = known.map_or(0, |known| known.octaves);
    // Where no speed is given, a known scale is taken to be at three fifths of the goal.
    let has = known.map(|_| known_rate.unwrap_or(goal * 60 / 100));
    if has.is_some_and(|rate| rate >= goal) && octaves_known >= need.octaves && (together_known || !both) {
        return Vec::new();
    }

    let first_octaves = need.octaves.min(2);
    let mut steps = Vec::new();
    let mut rate = begin;
    if has.is_none() {
        for isolate in [true, true] {
            steps.push(Step { hands: apart, octaves: first_octaves, rate, isolate });
            rate = (rate * FASTER_PERCENT / 100).min(goal);
        }
    } else if let Some(has) = has {
        rate = has.max(begin).min(goal);
    }
    let hands = if both { HandsKnown::Together } else { apart };
    if both && !together_known {
        rate = (rate * TOGETHER_PERCENT / 100).max(begin.min(goal));
    }
    // The same rising steps for both stages: two octaves up to four fifths of the goal, then all of them.
    loop {
        let grown = rate * 100 >= goal * GROW_PERCENT;
        let octaves = if grown { need.octaves } else { first_octaves };
        steps.push(Step { hands, octaves, rate, isolate: false });
        if rate >= goal {
            break;
        }
        rate = (rate * FASTER_PERCENT / 100).max(rate + 1).min(goal);
    }
    steps
}

/// What the player has of the scale with the hands that are wanted: together before apart, then the faster.
fn best_known<'a>(need: &DrillNeed, wanted: &[Hand], ability: &'a Ability) -> Option<&'a KnownScale> {
    let scale = Scale::parse(&need.scale, None).ok().and_then(candidate)?;
    let fits =
        |known: &&KnownScale| candidate(known.scale) == Some(scale) && wanted.iter().all(|hand| known.hands.has(*hand));
    let rank = |known: &KnownScale| {
        (known.hands == HandsKnown::Together, known.notes_per_second.map_or(0, |rate| (rate * 1000.0) as Milli))
    };
    ability.scales.iter().filter(fits).max_by_key(|known| rank(known))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::testing::{learner, piece};
    use super::*;
    use crate::drills::metronome::rate_of;

    fn need(scale: &str, rate: Milli) -> DrillNeed {
        DrillNeed {
            scale: scale.into(),
            hands: [true, true],
            octaves: 3,
            rate,
            covers: 800,
            isolate: Some("C to B-flat".into()),
            measures: vec!["5".into()],
        }
    }

    fn plan_for(verdict: Verdict, needs: Vec<DrillNeed>, text: &str) -> Schedule {
        let learner = learner(text);
        let piece = PieceSummary { drills: needs, ..piece(4_000) };
        make_schedule(&piece, &learner, &Ability::new(&learner, &[]), verdict)
    }

    fn plan(needs: Vec<DrillNeed>, text: &str) -> Schedule {
        plan_for(Verdict::Stretch, needs, text)
    }

    // Worked by hand: goal 8 notes a second, begun at 3.2. Apart 3.2 and 3.84; together from 3.45 (75 % of 4.6) by
    // fifths: 3.45, 4.14, 4.97, 5.96, 7.16 (more than 80 %: three octaves), 8. Then the piece at tempo.
    #[test]
    fn a_new_scale_goes_apart_then_together_and_its_speed_and_octaves_grow() {
        let schedule = plan(vec![need("E-flat major", 8_000)], "minutes_a_day = 30");
        let seen: Vec<String> = schedule
            .weeks
            .iter()
            .flat_map(|week| &week.drills)
            .map(|d| format!("{} {} oct {}x{}", d.hands, d.octaves, d.mark.notes_a_beat, d.mark.quarter_bpm))
            .collect();
        assert_eq!(
            seen,
            [
                "hands apart 2 oct 4x48",
                "hands apart 2 oct 4x56",
                "hands together 2 oct 4x50",
                "hands together 2 oct 4x60",
                "hands together 2 oct 4x72",
                "hands together 2 oct 4x88",
                "hands together 3 oct 4x104",
                "hands together 3 oct 4x120",
            ]
        );
        assert_eq!(schedule.weeks[0].drills[0].isolate.as_deref(), Some("C to B-flat"));
        assert_eq!(schedule.weeks[2].drills[0].isolate, None);
        assert_eq!(schedule.open_in_week, Some(3));
        assert_eq!(schedule.weeks[1].piece, None);
        let first = schedule.weeks[2].piece.as_ref().unwrap();
        assert_eq!((first.hands, first.percent, first.quarter_bpm), ("hands apart", 43, 41));
        let last = schedule.weeks.last().unwrap().piece.as_ref().unwrap();
        assert_eq!((last.hands, last.percent, last.quarter_bpm), ("hands together", 100, 96));
        assert!(schedule.complete);
    }

    #[test]
    fn a_scale_at_the_speed_of_the_piece_needs_no_weeks() {
        let text = "[[scales]]\nkey = \"E-flat\"\noctaves = 3\nquarter_bpm = 120\n";
        let schedule = plan_for(Verdict::Ready, vec![need("E-flat major", 8_000)], text);
        assert_eq!((schedule.weeks.len(), schedule.open_in_week), (1, Some(1)));
        assert!(schedule.weeks[0].drills.is_empty());
        assert_eq!(schedule.weeks[0].piece.as_ref().unwrap().hands, "hands together");
    }

    // Half the tempo, then a fifth more each week: 50, 60, 72, 86, 100; hands apart for the first two.
    #[test]
    fn a_stretch_without_drills_is_opened_at_once_at_half_its_tempo() {
        let schedule = plan(Vec::new(), "");
        let works: Vec<(&str, u8)> = schedule
            .weeks
            .iter()
            .filter_map(|week| week.piece.as_ref())
            .map(|work| (work.hands, work.percent))
            .collect();
        let (apart, together) = ("hands apart", "hands together");
        assert_eq!(works, [(apart, 50), (apart, 60), (together, 72), (together, 86), (together, 100)]);
        assert!(schedule.complete);
    }

    #[test]
    fn a_piece_for_later_is_not_opened_but_its_drills_are_begun() {
        let schedule = plan_for(Verdict::Later, vec![need("E-flat major", 8_000)], "");
        assert_eq!(schedule.open_in_week, None);
        assert_eq!(schedule.weeks.len(), 8);
        assert!(schedule.weeks.iter().all(|week| week.piece.is_none() && week.drills.len() == 1));
        assert!(plan_for(Verdict::Later, Vec::new(), "").weeks.is_empty());
    }

    #[test]
    fn a_known_scale_begins_where_the_player_is() {
        let text = "[[scales]]\nkey = \"E-flat\"\noctaves = 2\nquarter_bpm = 96\n";
        let schedule = plan(vec![need("E-flat major", 8_000)], text);
        let first = &schedule.weeks[0].drills[0];
        assert_eq!((first.hands, first.mark.quarter_bpm), ("hands together", 96));
        assert_eq!(schedule.open_in_week, Some(1));
    }

    #[test]
    fn fewer_minutes_take_more_weeks_and_fewer_drills_at_a_time() {
        let needs = || vec![need("E-flat major", 8_000), need("D major", 6_000)];
        let (much, little) =
            (plan(needs(), "minutes_a_day = 60"), plan(needs(), "minutes_a_day = 15\ndays_a_week = 4"));
        assert_eq!(much.weeks[0].drills.len(), 2);
        assert_eq!(little.weeks[0].drills.len(), 1);
        assert!(little.weeks.len() > much.weeks.len());
        assert!(little.open_in_week > much.open_in_week);
    }

    #[test]
    fn a_hand_that_does_not_play_is_not_drilled() {
        let schedule = plan(vec![need("E-flat major", 8_000)], "[hands.left]\nplays = false");
        assert!(schedule.weeks.iter().flat_map(|week| &week.drills).all(|drill| drill.hands == "right hand"));
    }

    proptest! {
        #[test]
        fn speeds_never_fall_within_a_stage_and_end_at_the_goal(
            rate in 300_i64..20_000, octaves in 1_u8..5, minutes in 1_u32..200, days in 1_u32..8,
            known in prop::option::of((1_u8..4, 20_u32..300, 0_usize..4)),
        ) {
            let mut text = format!("minutes_a_day = {minutes}\ndays_a_week = {days}\n");
            if let Some((octaves, bpm, hands)) = known {
                let hands = ["right", "left", "apart", "together"][hands];
                let scale = format!("[[scales]]\nkey = \"D\"\nhands = \"{hands}\"\noctaves = {octaves}\nquarter_bpm = {bpm}\n");
                text.push_str(&scale);
            }
            let schedule = plan(vec![DrillNeed { octaves, ..need("D major", rate) }], &text);
            prop_assert!(schedule.weeks.len() <= MOST_WEEKS);
            let drills: Vec<&WeekDrill> = schedule.weeks.iter().flat_map(|week| &week.drills).collect();
            for pair in drills.windows(2) {
                prop_assert!(pair[0].octaves <= pair[1].octaves);
                if pair[0].hands == pair[1].hands {
                    prop_assert!(rate_of(pair[0].mark) <= rate_of(pair[1].mark) + 40);
                }
            }
            if schedule.complete && let Some(last) = drills.last() {
                prop_assert_eq!(last.mark, mark_for(rate.max(500)));
                prop_assert_eq!(last.octaves, octaves);
            }
            if let Some(open) = schedule.open_in_week {
                prop_assert!(open >= 1 && open <= schedule.weeks.len());
                let percents: Vec<u8> =
                    schedule.weeks.iter().filter_map(|week| week.piece.as_ref()).map(|work| work.percent).collect();
                prop_assert!(percents.windows(2).all(|pair| pair[0] <= pair[1]), "{:?}", percents);
            }
        }
    }
}

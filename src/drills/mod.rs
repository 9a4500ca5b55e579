//! The scales to drill before a piece is opened.
//!
//! In: what both hands do in a piece, and the scales the player knows. Out: [`Drills`]: a short list of scales, each with
//! hand, direction, octaves, speed, the measures it serves and the one transition to isolate; and how much of the work on
//! crossings they cover.
//!
//! A crossing of the piece is practised by a scale whose textbook fingering contains it. The drills are the scales that
//! together cover most effort at the least price (see [`choice`]), where a scale is cheaper if runs of the piece are made
//! of it or if it lies near to one the player knows.

pub mod advice;
mod candidates;
pub mod choice;
mod drill;
mod graph;
pub(crate) mod metronome;

pub(crate) use candidates::{OCTAVES, steps_of};
pub use candidates::{Practising, ScaleMask, candidate, candidates, scales_practising};
pub use drill::{Drill, Reason, ReasonKind, Transition};
pub use graph::{CrossingGroup, PracticeGraph};
pub use metronome::{Mark, mark_for};

use self::choice::{Choice, Element};
use crate::crossing::Practice;
use crate::keys::LocalKeys;
use crate::movements::Movement;
use crate::passages::{Material, Passage, PassageKind};
use crate::scales::{Key, Scale};
use crate::score::Score;
use crate::units::Hand;

/// Most drills for one piece. Chosen by us: more are not practised in the weeks before a piece.
const MOST_DRILLS: usize = 6;

/// What a scale costs, in thousandths of the effort of all crossings that any scale practises: it must add so much to be
/// worth the time. Chosen by us: one part in twenty-five for a scale in a key of the piece, and twice that for a strange
/// one, which a player would not expect there; the chromatic scale counts as strange.
const PRICE: i64 = 40;
const PRICE_STRANGE: i64 = 80;

/// What is left of the price, in per cent, where the player knows a scale near to it or the scale itself. Chosen by us.
const NEAR_PERCENT: i64 = 60;
const KNOWN_PERCENT: i64 = 25;

/// What a scale gains for the runs that are made of it, if all runs are, in the same thousandths. Chosen by us: a scale
/// that makes up a tenth of the runs is worth its price for them alone.
const BONUS_OF_RUNS: i64 = 400;

/// Fewest crossings of a piece that a scale without runs is drilled for. Chosen by us: one or two are better practised
/// where they stand.
const LEAST_CROSSINGS: usize = 3;

/// What one hand does in a piece.
#[derive(Clone, Copy, Debug)]
pub struct Part<'a> {
    /// Its movements.
    pub movements: &'a [Movement],
    /// Its passages.
    pub passages: &'a [Passage],
}

/// The drills of a piece.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Drills {
    /// The scales, the most useful first.
    pub list: Vec<Drill>,
    /// Share of the effort of all crossings that the drills cover, 0 to 1; 1 where there is no crossing.
    pub by_drills: f64,
    /// Share that the known scales cover, each with the hands that know it.
    pub by_known_scales: f64,
    /// Share that no scale practises: crossings of arpeggios and of other textures.
    pub beyond_scales: f64,
}

/// Recommends drills for a piece. `keys` are those of the same score, `known` the scales that the player has, by hand.
pub fn recommend_drills(score: &Score, keys: &LocalKeys, right: Part, left: Part, known: &[(Scale, Hand)]) -> Drills {
    let movements = [right.movements, left.movements].concat();
    let graph = PracticeGraph::new(&movements);
    let runs = runs_by_scale(right.passages.iter().chain(left.passages));
    let mut chosen = choose(&graph, &runs, |scale| price(scale, keys, known));
    drop_chance(&graph, &runs, &mut chosen);
    // What the runs are made of comes first, then what covers most.
    let in_runs = |index: &usize| runs.get(*index).map_or(0, |runs| notes_of(runs));
    chosen.sort_by_key(|index| std::cmp::Reverse(in_runs(index)));
    let total = graph.effort();
    let share = |part: u64, of_nothing: f64| if total == 0 { of_nothing } else { part as f64 / total as f64 };
    Drills {
        by_drills: share(graph.covered_by(&chosen), 1.0),
        by_known_scales: share(covered_by_known(&graph, known), 1.0),
        beyond_scales: share(graph.effort_beyond_scales(), 0.0),
        list: drill::make_drills(score, &graph, &movements, &chosen, &runs),
    }
}

/// The scale runs of the piece, for each of the [`candidates`].
fn runs_by_scale<'a>(passages: impl Iterator<Item = &'a Passage>) -> Vec<Vec<&'a Passage>> {
    let mut runs = vec![Vec::new(); candidates().len()];
    for passage in passages.filter(|passage| passage.kind == PassageKind::ScaleRun) {
        let Some(Material::Scale(scale)) = passage.material else { continue };
        if let Some(of_scale) = candidate(scale).and_then(|index| runs.get_mut(index)) {
            of_scale.push(passage);
        }
    }
    runs
}

fn notes_of(runs: &[&Passage]) -> i64 {
    runs.iter().map(|run| run.notes as i64).sum()
}

fn choose(graph: &PracticeGraph, runs: &[Vec<&Passage>], price: impl Fn(Scale) -> i64) -> Vec<usize> {
    let mut elements = Vec::new();
    let whole = |effort: u64| i64::try_from(effort).unwrap_or(i64::MAX);
    for group in graph.groups() {
        // One part is covered by what comes near, the rest only by the very same.
        let practising = scales_practising(&group.crossing);
        let near = whole(graph::covered(group.effort, Practice::Nearly));
        elements.push(Element { scales: practising.nearly, weight: near });
        elements.push(Element { scales: practising.exact, weight: whole(group.effort) - near });
    }
    let practised = elements.iter().filter(|element| element.scales != 0);
    let unit = practised.map(|element| element.weight).fold(0, i64::saturating_add).max(1_000);
    let all_notes = runs.iter().map(|runs| notes_of(runs)).sum::<i64>().max(1);
    let cost = |(scale, runs): (&Scale, &Vec<&Passage>)| {
        let thousandths = price(*scale) - BONUS_OF_RUNS * notes_of(runs) / all_notes;
        unit.saturating_mul(thousandths) / 1_000
    };
    let costs = candidates().iter().zip(runs).map(cost).collect();
    Choice { elements, costs, most: MOST_DRILLS }.best()
}

/// Leaves out scales without runs that are there for a few crossings only, the least useful first, as those may then be
/// served by another one.
fn drop_chance(graph: &PracticeGraph, runs: &[Vec<&Passage>], chosen: &mut Vec<usize>) {
    for place in (0..chosen.len()).rev() {
        let has_runs = chosen.get(place).and_then(|index| runs.get(*index)).is_some_and(|runs| !runs.is_empty());
        let served = graph.assigned_to(chosen).filter(|(_, best)| best.is_some_and(|(_, served)| served == place));
        let count: usize = served.map(|(group, _)| group.movements.len()).sum();
        if !has_runs && count < LEAST_CROSSINGS {
            chosen.remove(place);
        }
    }
}

/// The price of a scale in a piece with these keys, for a player who knows these scales.
fn price(scale: Scale, keys: &LocalKeys, known: &[(Scale, Hand)]) -> i64 {
    // The relative key shares the signature, and its forms come up wherever the key does.
    let at_home =
        scale.key().is_some_and(|key| keys.used().any(|used| used.main() == key.main() || apart(used, key) == 0));
    let near = |other: Scale| match (scale.key(), other.key()) {
        (Some(a), Some(b)) => apart(a, b) == 0 || apart(a, b) == 1 && a.mode() == b.mode(),
        _ => false,
    };
    let percent = if known.iter().any(|(other, _)| candidate(*other) == candidate(scale)) {
        KNOWN_PERCENT
    } else if known.iter().any(|(other, _)| near(*other)) {
        NEAR_PERCENT
    } else {
        100
    };
    if at_home { PRICE * percent / 100 } else { PRICE_STRANGE * percent / 100 }
}

/// How far two keys are apart on the circle of fifths, relatives being together.
fn apart(a: Key, b: Key) -> i32 {
    let apart = (i32::from(a.fifths()) - i32::from(b.fifths())).rem_euclid(12);
    apart.min(12 - apart)
}

/// Effort that the known scales cover, each only for the hand that knows it.
fn covered_by_known(graph: &PracticeGraph, known: &[(Scale, Hand)]) -> u64 {
    let of_hand = |hand| {
        let scales = known.iter().filter(move |(_, whose)| *whose == hand);
        let scales: Vec<usize> = scales.filter_map(|(scale, _)| candidate(*scale)).collect();
        let assigned = graph.assigned_to(&scales).filter(|(group, _)| group.crossing.hand == hand);
        assigned
            .filter_map(|(group, best)| best.map(|(practice, _)| graph::covered(group.effort, practice)))
            .fold(0, u64::saturating_add)
    };
    Hand::BOTH.into_iter().map(of_hand).fold(0, u64::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crossing::CrossingKind;
    use crate::fingering::estimate_fingering;
    use crate::hands::Line;
    use crate::keys::find_keys;
    use crate::movements::measure_movements;
    use crate::passages::detect_passages;
    use crate::player::Player;
    use crate::testing::{score, steady};
    use crate::units::Motion;

    /// The drills of a score typed as text, at 120 quarters a minute.
    fn drills(text: &str, known: &[(Scale, Hand)]) -> Drills {
        let (score, hands) = score(text);
        let tempo = steady(120.0);
        let keys = find_keys(&score);
        let play = |line: &Line| {
            let fingering = estimate_fingering(&score, line, &keys, &tempo, &Player::default());
            let movements = measure_movements(&score, line, &fingering, &tempo);
            let passages = detect_passages(&score, line, &fingering, &movements, &keys, &tempo);
            (movements, passages)
        };
        let [right, left] = [&hands.right, &hands.left].map(play);
        let part = |(movements, passages)| Part { movements, passages };
        recommend_drills(&score, &keys, part((&right.0, &right.1)), part((&left.0, &left.1)), known)
    }

    fn scale(name: &str) -> Scale {
        Scale::parse(name, None).unwrap()
    }

    fn names(drills: &Drills) -> Vec<String> {
        drills.list.iter().map(|drill| drill.scale.to_string()).collect()
    }

    const E_FLAT_DOWN: &str = "key=-3major Eb6-3/16 D6 C6 Bb5 Ab5 G5 F5 Eb5 D5 C5 Bb4 Ab4 G4 F4 Eb4 r";

    // Common practice, no source: the hardest moment of E-flat major is the right hand coming down from C to B-flat.
    #[test]
    fn a_run_of_e_flat_major_asks_for_that_scale_and_its_swing() {
        let drills = drills(&format!("R: {E_FLAT_DOWN} r/1"), &[]);
        assert_eq!(names(&drills), ["E-flat major"]);
        let drill = &drills.list[0];
        assert_eq!((drill.hand, drill.direction, drill.octaves), (Some(Hand::Right), Some(Motion::Down), 2));
        assert_eq!((drill.goal.notes_a_beat, drill.goal.quarter_bpm), (4, 120), "as fast as the run");
        assert_eq!((drill.start.notes_a_beat, drill.start.quarter_bpm), (4, 60));
        let swing = drill.isolate.unwrap();
        assert_eq!((swing.kind, swing.from.to_string(), swing.to.to_string()), {
            (CrossingKind::FingerOver, "C6".to_owned(), "Bb5".to_owned())
        });
        assert_eq!((swing.from_finger.number(), swing.to_finger.number(), swing.measure), (1, 4, Some(0)));
        assert!(drills.by_drills > 0.99 && drills.beyond_scales < 0.01, "{drills:?}");
        assert_eq!(drill.because[0].kind, ReasonKind::Runs);
        assert_eq!(drill.because[0].measures, [0]);
    }

    #[test]
    fn hands_that_need_one_scale_share_a_drill() {
        let text = "R: key=0 C4/16 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6/8\n\
                    L: key=0 C3/16 D3 E3 F3 G3 A3 B3 C4 B3 A3 G3 F3 E3 D3 C3/8";
        let drills = drills(text, &[]);
        assert_eq!(names(&drills), ["C major"]);
        assert_eq!((drills.list[0].hand, drills.list[0].direction), (None, None));
    }

    #[test]
    fn a_piece_under_five_fingers_needs_no_drill() {
        let drills = drills("R: key=0 C4-1/4 D4-2 E4-3 F4-4 G4-5 E4-3 C4-1", &[]);
        assert_eq!(drills, Drills { by_drills: 1.0, by_known_scales: 1.0, ..Drills::default() });
    }

    #[test]
    fn minor_and_chromatic_runs_ask_for_their_form() {
        let text = "R: key=-3minor C4/16 D4 Eb4 F4 G4 Ab4 B4 C5 D5 Eb5 F5 G5 Ab5 B5 C6/8 r/1 \
                    C5/16 C#5 D5 D#5 E5 F5 F#5 G5 G#5 A5 A#5 B5 C6/4";
        let mut found = names(&drills(text, &[]));
        found.sort();
        assert_eq!(found, ["C chromatic", "C harmonic minor"]);
    }

    #[test]
    fn flats_and_sharps_are_named_as_the_piece_writes_them() {
        let text = "R: key=6major F#4/16 G#4 A#4 B4 C#5 D#5 E#5 F#5 G#5 A#5 B5 C#6 D#6 E#6 F#6/8";
        let drills = drills(text, &[]);
        assert_eq!(names(&drills), ["F-sharp major"]);
        let step = drills.list[0].isolate.unwrap();
        assert!(step.from.alter >= 0 && step.to.alter >= 0, "{step:?}");
    }

    #[test]
    fn known_scales_cover_their_part_for_their_hand() {
        let text = format!("R: {E_FLAT_DOWN} r/1");
        let covered = |hand| drills(&text, &[(scale("E-flat major"), hand)]).by_known_scales;
        assert!(covered(Hand::Right) > 0.99);
        assert!(covered(Hand::Left).abs() < 1e-9);
    }

    #[test]
    fn scales_of_the_piece_and_near_to_known_ones_are_cheaper() {
        let (score, _) = score("R: key=-3major Eb4/4 G4 Bb4 Eb5 Ab4/4 C5 Eb5 Bb4 Eb4/1");
        let keys = find_keys(&score);
        let price = |name: &str, known: &[&str]| {
            let known: Vec<_> = known.iter().map(|name| (scale(name), Hand::Right)).collect();
            price(scale(name), &keys, &known)
        };
        assert_eq!([price("E-flat major", &[]), price("C harmonic minor", &[])], [PRICE; 2]);
        assert_eq!([price("E major", &[]), price("C chromatic", &[])], [PRICE_STRANGE; 2]);
        assert_eq!(price("E-flat major", &["E-flat major"]), PRICE * KNOWN_PERCENT / 100);
        assert_eq!(price("E-flat major", &["B-flat major"]), PRICE * NEAR_PERCENT / 100);
        assert_eq!(price("E major", &["C-sharp harmonic minor"]), PRICE_STRANGE * NEAR_PERCENT / 100);
        assert_eq!(price("E-flat major", &["E major"]), PRICE);
    }

    #[test]
    fn the_list_stays_short() {
        let roots = ["C", "D", "E", "F", "G", "A", "B", "Bb", "Eb", "Ab"];
        let runs = roots.map(|root| {
            let scale = scale(&format!("{root} major"));
            let run = scale.run(Motion::Up, 2, crate::units::Midi::new(48).unwrap());
            run.iter().map(|pitch| format!("{pitch}/16")).collect::<Vec<_>>().join(" ") + " r/16 r/1"
        });
        let drills = drills(&format!("R: {}", runs.join(" ")), &[]);
        assert!((2..=MOST_DRILLS).contains(&drills.list.len()), "{:?}", names(&drills));
        assert!(drills.by_drills > 0.8, "{}", drills.by_drills);
    }
}

//! Is the search exact? On short random lines it is held against trying everything, on longer ones against a greedy hand.

use proptest::prelude::*;

use super::*;
use crate::fingering::{Settings, with_problem};
use crate::keys::find_keys;
use crate::player::Player;
use crate::testing;

fn total(problem: &Problem, chosen: &[State]) -> i64 {
    let mut total = 0;
    for at in 0..chosen.len() {
        problem.charge_moment(at, chosen, &mut |_, cost| total += i64::from(cost));
    }
    total
}

fn states(problem: &Problem, at: usize) -> Vec<State> {
    let mut states = Vec::new();
    for fingers in problem.choices_of(at) {
        let first = problem.first_position(at, *fingers);
        states.extend((first..first + POSITIONS as i32).map(|position| State { fingers: *fingers, position }));
    }
    states
}

/// What a moment costs after those before it.
fn cost_of(problem: &Problem, chosen: &[State]) -> i64 {
    let mut cost = 0;
    problem.charge_moment(chosen.len() - 1, chosen, &mut |_, c| cost += i64::from(c));
    cost
}

/// The least cost over every combination of states. No rule gives back what another took, so a way that already costs
/// as much as the best is not followed.
fn brute_force(problem: &Problem, chosen: &mut Vec<State>, spent: i64, best: &mut i64) {
    let at = chosen.len();
    if at == problem.moments.len() {
        *best = (*best).min(spent);
        return;
    }
    for state in states(problem, at) {
        chosen.push(state);
        let cost = cost_of(problem, chosen);
        assert!(cost >= 0, "a rule gives back");
        if spent + cost < *best {
            brute_force(problem, chosen, spent + cost, best);
        }
        chosen.pop();
    }
}

/// The hand that looks no further than the next key.
fn greedy(problem: &Problem) -> i64 {
    let mut chosen = Vec::new();
    for at in 0..problem.moments.len() {
        let cheapest = states(problem, at).into_iter().min_by_key(|state| {
            chosen.push(*state);
            let cost = cost_of(problem, &chosen);
            chosen.pop();
            cost
        });
        chosen.extend(cheapest);
    }
    total(problem, &chosen)
}

fn with_line<T>(text: &str, quarter_bpm: f64, solve: impl FnOnce(&Problem<'_>) -> T) -> T {
    let (score, line) = testing::line(text);
    let (keys, tempo) = (find_keys(&score), testing::steady(quarter_bpm));
    with_problem(&score, &line, &keys, &tempo, &Player::default(), &Settings::default(), solve)
}

/// A note name with octave from a MIDI number.
fn name(midi: i32) -> String {
    let names = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"];
    format!("{}{}", names[midi.rem_euclid(12) as usize], midi.div_euclid(12) - 1)
}

/// A note, a chord, a held note under the next, a rest; some with a printed digit.
fn token() -> impl Strategy<Value = String> {
    let note = (50..76_i32).prop_map(name);
    prop_oneof![
        6 => (note, prop_oneof![3 => Just("/8"), 2 => Just("/16"), 1 => Just("/2")]).prop_map(|(n, v)| n + v),
        1 => (50..70_i32, 1..=12_i32).prop_map(|(low, up)| format!("[{} {}]/4", name(low), name(low + up))),
        1 => (50..76_i32).prop_map(|n| format!("{}/4>8", name(n))),
        1 => (50..76_i32, 1..=5_u8).prop_map(|(n, digit)| format!("{}-{digit}/8", name(n))),
        1 => Just("r/8".to_owned()),
    ]
}

fn line(tokens: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = String> {
    let hand = prop_oneof![Just("R"), Just("L")];
    (hand, prop::collection::vec(token(), tokens)).prop_map(|(hand, tokens)| format!("{hand}: {}", tokens.join(" ")))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_search_finds_what_trying_everything_finds(text in line(2..=4), bpm in 40.0..200.0) {
        with_line(&text, bpm, |problem| {
            let found = total(problem, &problem.solve());
            // From one above, so that the best itself is still found.
            let mut least = found + 1;
            brute_force(problem, &mut Vec::new(), 0, &mut least);
            assert_eq!(found, least, "{text}");
        });
    }

    #[test]
    fn a_hand_that_looks_one_key_ahead_never_does_better(text in line(1..=40), bpm in 40.0..200.0) {
        with_line(&text, bpm, |problem| assert!(total(problem, &problem.solve()) <= greedy(problem), "{text}"));
    }

    #[test]
    fn the_same_line_always_gets_the_same_fingers(text in line(1..=40)) {
        let [first, again] = [0; 2].map(|_| with_line(&text, 90.0, |problem| (problem.solve(), total(problem, &problem.solve()))));
        assert_eq!(first, again);
    }
}

//! What must hold of every level, on music made up at random, and the dimensions on music typed for each.

use std::fmt::Write;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use super::*;
use crate::fingering::estimate_fingering;
use crate::keys::find_keys;
use crate::movements::measure_movements;
use crate::player::Player;
use crate::testing::{score, steady};

/// Looks at typed music as the program would, at a steady tempo.
fn with<T>(text: &str, quarter_bpm: f64, is_part: bool, look: impl FnOnce(&Playing<'_>) -> T) -> T {
    let (score, hands) = score(text);
    let tempo = steady(quarter_bpm);
    let lines = [&hands.right, &hands.left];
    let keys = find_keys(&score);
    let fingerings = lines.map(|line| estimate_fingering(&score, line, &keys, &tempo, &Player::default()));
    let [right, left] = [0, 1].map(|i: usize| measure_movements(&score, lines[i], &fingerings[i], &tempo));
    look(&Playing { score: &score, hands: &hands, movements: [&right, &left], tempo: &tempo, is_part })
}

fn graded(text: &str) -> Level {
    with(text, 100.0, false, grade_level)
}

/// What is asked of one demand, without bounds.
fn asked(text: &str, demand: Demand) -> Pooled {
    with(text, 100.0, false, measure).demands[demand as usize]
}

/// One hand's part: keys, and eighths they last; no key is a rest.
type Strokes = Vec<(Vec<i32>, u32)>;

fn name(key: i32) -> String {
    const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
    format!("{}{}", NAMES[key.rem_euclid(12) as usize], key.div_euclid(12) - 1)
}

fn typed(right: &Strokes, left: &Strokes) -> String {
    let mut text = String::new();
    for (letter, strokes) in [("R", right), ("L", left)] {
        let _ = write!(text, "{letter}:");
        for (keys, eighths) in strokes {
            let value = ["8", "4", "4.", "2"][*eighths as usize - 1];
            let mut keys = keys.clone();
            keys.sort_unstable();
            keys.dedup();
            let names: Vec<String> = keys.iter().map(|key| name(*key)).collect();
            let _ = match names.as_slice() {
                [] => write!(text, " r/{value}"),
                [one] => write!(text, " {one}/{value}"),
                many => write!(text, " [{}]/{value}", many.join(" ")),
            };
        }
        text.push('\n');
    }
    text
}

fn strokes(keys: std::ops::Range<i32>) -> impl Strategy<Value = Strokes> {
    let chord = (keys, prop::collection::vec(1..12, 0..3)).prop_map(|(low, above)| {
        let mut keys = vec![low];
        keys.extend(above.iter().map(|interval| low + interval));
        keys
    });
    let stroke = prop_oneof![5 => chord, 1 => Just(Vec::new())];
    prop::collection::vec((stroke, 1_u32..5), 16..40)
}

fn music() -> impl Strategy<Value = (Strokes, Strokes)> {
    (strokes(60..80), strokes(38..56))
}

/// Demands that more notes can only raise. The fingering is found anew, and a note more may lead it another way; a stroke
/// more in one hand may be one that the other no longer has alone.
fn settled() -> impl Iterator<Item = Demand> {
    Demand::ALL.iter().copied().filter(|demand| !matches!(demand, Demand::Crossings | Demand::Independence))
}

fn assert_nothing_fell(before: &Measurements, after: &Measurements) -> Result<(), TestCaseError> {
    for demand in settled() {
        let (mut was, is) = (before.demands[demand as usize], after.demands[demand as usize]);
        if matches!(demand, Demand::Travel | Demand::Leaps) {
            // A stroke on the way moves a part of the way into the measure before, out of the windows that follow.
            was = Pooled { mean: 0.93 * was.mean, hard: 0.93 * was.hard };
        }
        prop_assert!(is.mean >= was.mean - 1e-9 && is.hard >= was.hard - 1e-9, "{}: {was:?} to {is:?}", demand.name());
    }
    Ok(())
}

/// The same music on every run, so that a test which passes goes on passing.
fn config() -> ProptestConfig {
    ProptestConfig { cases: 32, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn faster_is_never_easier((right, left) in music(), slow in 40.0..200.0_f64, faster in 1.0..2.0_f64) {
        let text = typed(&right, &left);
        with(&text, slow, false, |playing| {
            let quick = steady(slow * faster);
            let hurried = Playing { tempo: &quick, ..*playing };
            prop_assert!(grade_level(&hurried).value >= grade_level(playing).value - 1e-9);
            Ok(())
        })?;
    }

    #[test]
    fn practice_tempos_fall_to_the_end((right, left) in music()) {
        let level = graded(&typed(&right, &left));
        let values: Vec<f64> = std::iter::once(level.value).chain(level.practice.iter().map(|step| step.value)).collect();
        prop_assert!(values.windows(2).all(|pair| pair[0] >= pair[1] - 1e-9), "{values:?}");
    }

    #[test]
    fn a_note_more_in_a_chord_is_never_easier((right, left) in music(), at in 0_usize..40) {
        let before = with(&typed(&right, &left), 100.0, false, measure);
        let mut more = right.clone();
        let chords: Vec<usize> = (0..more.len()).filter(|i| more[*i].0.len() > 1).collect();
        prop_assume!(!chords.is_empty());
        let keys = &mut more[chords[at % chords.len()]].0;
        let (low, high) = (keys.iter().copied().min().unwrap(), keys.iter().copied().max().unwrap());
        let inner = (low..high).find(|key| !keys.contains(key));
        prop_assume!(inner.is_some());
        keys.extend(inner);
        let after = with(&typed(&more, &left), 100.0, false, measure);
        assert_nothing_fell(&before, &after)?;
        let (was, is) = (Model::SHIPPED.value(&before), Model::SHIPPED.value(&after));
        // A crossing may go where a finger changes; 150 cases showed none that cost 0.02.
        prop_assert!(is >= was - 0.05, "{was} to {is}");
    }

    #[test]
    fn a_stroke_in_a_rest_is_never_easier((right, left) in music(), at in 0_usize..40, key in 60..80) {
        let before = with(&typed(&right, &left), 100.0, false, measure);
        let mut more = right.clone();
        let rests: Vec<usize> = (0..more.len()).filter(|i| more[*i].0.is_empty()).collect();
        prop_assume!(!rests.is_empty());
        more[rests[at % rests.len()]].0.push(key);
        let after = with(&typed(&more, &left), 100.0, false, measure);
        assert_nothing_fell(&before, &after)?;
        prop_assert!(Model::SHIPPED.value(&after) >= Model::SHIPPED.value(&before) - 0.05);
    }

    #[test]
    fn wider_is_never_easier((right, left) in music()) {
        // Every stroke of the right hand becomes two keys, then the upper one goes up an octave.
        let doubled = |above: i32| -> Strokes {
            right.iter().map(|(keys, eighths)| (keys.iter().take(1).flat_map(|k| [*k, k + above]).collect(), *eighths)).collect()
        };
        // The two voices may meet on other keys when they are further apart, so that fewer are different.
        let mut narrow = with(&typed(&doubled(4), &left), 100.0, false, measure);
        let wide = with(&typed(&doubled(16), &left), 100.0, false, measure);
        narrow.demands[Demand::Compass as usize] = wide.demands[Demand::Compass as usize];
        assert_nothing_fell(&narrow, &wide)?;
        prop_assert!(Model::SHIPPED.value(&wide) >= Model::SHIPPED.value(&narrow) - 0.05);
    }

    #[test]
    fn an_easy_arrangement_is_never_harder_than_its_original((right, left) in music()) {
        // The tune alone over the bass alone, the bass at every other stroke, as arrangements for beginners have it.
        let tune: Strokes = right.iter().map(|(keys, eighths)| (keys.iter().copied().max().into_iter().collect(), *eighths)).collect();
        let bass = |(at, (keys, eighths)): (usize, &(Vec<i32>, u32))| -> (Vec<i32>, u32) {
            let lowest = keys.iter().copied().min().filter(|_| at.is_multiple_of(2));
            (lowest.into_iter().collect(), *eighths)
        };
        let bass: Strokes = left.iter().enumerate().map(bass).collect();
        let (original, arrangement) = (graded(&typed(&right, &left)), graded(&typed(&tune, &bass)));
        prop_assert!(arrangement.value <= original.value + 0.05, "{} {}", arrangement.value, original.value);
    }

    #[test]
    fn an_octave_higher_is_nearly_as_hard((right, left) in music(), octave in prop_oneof![Just(-12), Just(12)]) {
        let moved = |strokes: &Strokes| -> Strokes {
            strokes.iter().map(|(keys, eighths)| (keys.iter().map(|key| key + octave).collect(), *eighths)).collect()
        };
        let (here, there) = (graded(&typed(&right, &left)), graded(&typed(&moved(&right), &moved(&left))));
        prop_assert!((here.value - there.value).abs() < 0.2, "{} {}", here.value, there.value);
    }

    #[test]
    fn in_the_mirror_the_hands_change_places((right, left) in music()) {
        // The keyboard is its own mirror image about D: black keys stay black.
        let mirrored = |strokes: &Strokes| -> Strokes {
            strokes.iter().map(|(keys, eighths)| (keys.iter().map(|key| 124 - key).collect(), *eighths)).collect()
        };
        let (here, there) = (graded(&typed(&right, &left)), graded(&typed(&mirrored(&left), &mirrored(&right))));
        prop_assert!((here.value - there.value).abs() < 0.3, "{} {}", here.value, there.value);
    }

    #[test]
    fn a_repeat_written_out_only_adds_endurance((right, left) in music()) {
        // Both hands to the end of the measure in which the longer one ends, so that the second time falls on the beat as
        // the first did, and follows it at once.
        let eighths = |strokes: &Strokes| -> u32 { strokes.iter().map(|(_, eighths)| eighths).sum() };
        let end = eighths(&right).max(eighths(&left)).next_multiple_of(8);
        let filled = |strokes: &Strokes| -> Strokes {
            let missing = end - eighths(strokes);
            let rests = std::iter::repeat_n((Vec::new(), 4), missing as usize / 4);
            let rest = (missing % 4 > 0).then_some((Vec::new(), missing % 4));
            strokes.iter().cloned().chain(rests).chain(rest).collect()
        };
        let (right, left) = (filled(&right), filled(&left));
        let twice = |strokes: &Strokes| -> Strokes { [strokes.as_slice(), strokes].concat() };
        let once = with(&typed(&right, &left), 100.0, false, measure);
        let again = with(&typed(&twice(&right), &twice(&left)), 100.0, false, measure);
        let model = Model::SHIPPED;
        let content = model.content(&again.demands) - model.content(&once.demands);
        prop_assert!(content.abs() < 0.35, "content moved by {content}");
        prop_assert!(again.notes_to_learn > once.notes_to_learn);
        prop_assert!(again.notes_to_learn < 1.5 * once.notes_to_learn);
        prop_assert!(model.value(&again) >= model.value(&once) - 0.1);
    }

    #[test]
    fn the_parts_add_up_to_the_value((right, left) in music()) {
        let level = graded(&typed(&right, &left));
        let sum = level.base + level.length_points + level.reasons.iter().map(|reason| reason.points).sum::<f64>();
        prop_assert!((on_scale(sum) - level.value).abs() < 1e-9);
        prop_assert!(level.low <= level.level && level.level <= level.high);
        prop_assert!((1..=9).contains(&level.low) && (1..=9).contains(&level.high));
    }

    #[test]
    fn spots_do_not_touch((right, left) in music()) {
        let level = graded(&typed(&right, &left));
        for (i, a) in level.spots.iter().enumerate() {
            prop_assert!(level.spots[..i].iter().all(|b| a.rows.1 < b.rows.0 || b.rows.1 < a.rows.0));
            prop_assert!(level.spots[..i].iter().all(|b| b.value >= a.value));
        }
    }
}

#[test]
fn weights_of_the_model_never_make_music_easier() {
    let model = Model::SHIPPED;
    assert!(model.weights.iter().all(|weight| *weight > 0.0));
    // More content must outweigh the length that is usual for it.
    assert!(model.endurance * model.usual_length.1 < 1.0);
}

#[test]
fn silence_asks_for_nothing() {
    let level = graded("R: r/1 r r r\nL: r/1 r r r");
    assert_eq!((level.level, level.reasons.len(), level.spots.len()), (1, 0, 3.min(level.spots.len())));
    let empty = Score::default();
    let line = |hand| crate::hands::Line::from_notes(hand, Vec::new(), &empty);
    let hands = Hands { right: line(crate::units::Hand::Right), left: line(crate::units::Hand::Left) };
    let tempo = steady(100.0);
    let playing = Playing { score: &empty, hands: &hands, movements: [&[], &[]], tempo: &tempo, is_part: false };
    assert_eq!(grade_level(&playing).level, 1);
}

#[test]
fn five_fingers_are_easier_than_a_scale_and_a_scale_than_a_study() {
    let five = graded("R: C4/4 D4 E4 F4 G4 F4 E4 D4 C4/1\nL: C3/1 G2 C3");
    let scale = graded(
        "R: C4/8 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4/4 C4/1\nL: [C3 E3 G3]/2 [G2 B2] [C3 E3] [G2 D3] C3/1",
    );
    let study = graded(
        "R: key=-5 Db4/16 F4 Ab4 Db5 F5 Ab5 Db6 Ab5 F5 Db5 Ab4 F4 Db4 F4 Ab4 Db5 [Eb5 Gb5] [F5 Ab5] [Gb5 Bb5] [Ab5 C6] \
         [Bb5 Db6] [Ab5 C6] [Gb5 Bb5] [F5 Ab5] [E5 G5] [F5 Ab5] [Gb5 Bb5] [G5 Bb5] [Ab5 C6] [A5 C#6] [Bb5 D6] [B5 D#6]\n\
         L: [Db2 Db3]/8 [F3 Ab3 Db4] [Ab1 Ab2] [F3 Ab3 Cb4] [Gb1 Gb2] [Db3 Gb3 Bb3] [G1 G2] [E3 Bb3 C#4] \
         [Ab1 Ab2] [Gb3 C4] [A1 A2] [G3 C4] [Bb1 Bb2] [F3 D4] [B1 B2] [F#3 D#4]",
    );
    assert!(five.value + 0.5 < scale.value && scale.value + 2.0 < study.value, "{five:?} {scale:?} {study:?}");
    assert_eq!(five.band, Band::Elementary);
}

#[test]
fn an_excerpt_has_no_length() {
    let text = "R: C4/4 E4 G4 C5\nL: C3/1";
    let (whole, part) = (graded(text), with(text, 100.0, true, grade_level));
    assert!(whole.length_points < 0.0, "a piece of one measure is short: {}", whole.length_points);
    assert!(part.length_points.abs() < 1e-12);
    assert!(part.value > whole.value);
    assert!(part.high - part.level >= whole.high - whole.level);
}

#[test]
fn an_assumed_tempo_widens_the_range() {
    let text = "R: C4/16 E4 G4 C5 D4 F4 A4 D5 E4 G4 B4 E5 F4 A4 C5 F5\nL: C3/4 D3 E3 F3";
    with(text, 120.0, false, |playing| {
        let mut guessed = steady(120.0);
        guessed.source = crate::tempo::TempoSource::Assumed;
        let sure = grade_level(playing);
        let unsure = grade_level(&Playing { tempo: &guessed, ..*playing });
        assert!((sure.value - unsure.value).abs() < 1e-12);
        assert!(unsure.low <= sure.low && unsure.high >= sure.high);
    });
}

#[test]
fn the_excesses_of_a_level_lead_to_the_one_below() {
    let text = "R: C4/16 E4 G4 C5 Db4 F4 Ab4 Db5 E4 G#4 B4 E5 F4 A4 C5 F5\nL: C3/8 G3 Db3 Ab3 E3 B3 F3 C4";
    let level = graded(text);
    let gone: f64 = level.easier.iter().map(|excess| excess.points).sum();
    let sum = level.base + level.length_points + level.reasons.iter().map(|reason| reason.points).sum::<f64>();
    assert!(level.level > 1 && !level.easier.is_empty());
    assert!(level.easier.iter().all(|excess| excess.usual < excess.reason.value), "{:?}", level.easier);
    assert!(sum - gone <= f64::from(level.level) - 0.5 + 1e-9, "{level:?}");
}

#[test]
fn rates_are_shown_in_seconds_as_played() {
    // Sixteenths at 60 are four strokes a second, at 240 sixteen.
    let run = "C4/16 D4 E4 F4 ".repeat(32);
    for (quarter_bpm, strokes_a_second) in [(60.0, 4.0), (240.0, 16.0)] {
        let level = with(&format!("R: {run}\nL: r/1"), quarter_bpm, false, grade_level);
        let speed = level.reasons.iter().find(|reason| reason.demand == Demand::Speed).unwrap();
        assert!((speed.value - strokes_a_second).abs() < 0.01 && speed.hand == Whose::R, "{speed:?}");
    }
}

#[test]
fn one_hard_place_is_named_as_the_exception() {
    let quiet = "C4/2 D4 E4 D4 ".repeat(12);
    let storm = "C4/16 Eb5 Gb4 B5 Db4 F5 Ab4 C6 D4 F#5 A4 C#6 E4 G#5 Bb4 D6 ".repeat(3);
    let text = format!("R: {quiet}{storm}{quiet}\nL: {}", "C3/1 ".repeat(51));
    let level = graded(&text);
    let exception = level.exception.expect("the storm makes a level");
    assert!(exception.level < level.level);
    // Measures 25 to 27, counted from 0.
    assert!(exception.rows.0 <= 24 && exception.rows.1 >= 26, "{exception:?}");
}

#[test]
fn an_octave_is_a_stretch_and_a_third_is_not() {
    let third = asked("R: [C4 E4]/4 [D4 F4] [E4 G4] [F4 A4]\nL: r/1", Demand::Stretch).mean;
    let octave = asked("R: [C4 C5]/4 [D4 D5] [E4 E5] [F4 F5]\nL: r/1", Demand::Stretch).mean;
    assert!(octave > 8.0 * third, "{octave} {third}");
}

#[test]
fn leaps_count_more_than_the_same_way_in_steps() {
    let leaps = asked("R: C4/2 C5 C4 C5\nL: r/1 r", Demand::Leaps).mean;
    let steps = asked("R: C4/8 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4/4\nL: r/1 r", Demand::Leaps).mean;
    let quick = asked("R: C4/8 C5 C4 C5 C4 C5 C4 C5\nL: r/1", Demand::Leaps).mean;
    assert!(quick > leaps && leaps > 0.0 && steps > 0.0, "{quick} {leaps} {steps}");
}

#[test]
fn a_held_key_under_moving_ones_is_a_voice() {
    assert!(asked("R: C4/1>8 E4/8 F4 G4 F4 E4 D4 E4\nL: r/1", Demand::Voices).mean > 0.0);
    assert!(asked("R: C4/8 E4 F4 G4 F4 E4 D4 E4\nL: r/1", Demand::Voices).mean.abs() < 1e-12);
}

#[test]
fn two_against_three_asks_more_than_three_with_three() {
    let with_three = "R: C4/8t D4 E4 F4 E4 D4 C4 D4 E4 F4 E4 D4\nL: C3/8t E3 G3 C3 E3 G3 C3 E3 G3 C3 E3 G3";
    let against_two = "R: C4/8t D4 E4 F4 E4 D4 C4 D4 E4 F4 E4 D4\nL: C3/8 G3 C3 G3 C3 G3 C3 G3";
    let (with_three, against_two) = (asked(with_three, Demand::Independence), asked(against_two, Demand::Independence));
    assert!(against_two.mean > 1.5 * with_three.mean, "{against_two:?} {with_three:?}");
}

/// In contrary motion C major passes both thumbs at once, in parallel motion one after the other (common practice, no
/// source).
#[test]
fn thumbs_that_pass_apart_ask_more_than_thumbs_that_pass_together() {
    let right = "R: C4-1/8 D4-2 E4-3 F4-1 G4-2 A4-3 B4-4 C5-5";
    let contrary = format!("{right}\nL: C4-1/8 B3-2 A3-3 G3-1 F3-2 E3-3 D3-4 C3-5");
    let parallel = format!("{right}\nL: C3-5/8 D3-4 E3-3 F3-2 G3-1 A3-3 B3-2 C4-1");
    assert!(asked(&contrary, Demand::Independence).mean.abs() < 1e-12);
    assert!(asked(&parallel, Demand::Independence).mean > 0.0);
}

#[test]
fn hands_that_lie_in_one_another_interlock() {
    assert!(asked("R: [E4 C5]/4 [E4 C5]\nL: G4/4 A4", Demand::Interlock).mean > 0.0);
    assert!(asked("R: [E4 C5]/4 [E4 C5]\nL: G3/4 A3", Demand::Interlock).mean.abs() < 1e-12);
}

#[test]
fn syncopations_are_held_across_the_beat() {
    assert!(asked("R: C4/8 D4/4 E4 F4 G4/8\nL: C3/1", Demand::Syncopation).mean > 0.0);
    assert!(asked("R: C4/8 D4 E4/4 F4 G4\nL: C3/1", Demand::Syncopation).mean.abs() < 1e-12);
    // In six eighths the beat is a dotted quarter.
    assert!(asked("R: time=6/8 C4/4 D4/8 E4/4 F4/8\nL: C3/2.", Demand::Syncopation).mean.abs() < 1e-12);
}

#[test]
fn uneven_metres_are_told_from_even_ones() {
    assert!(asked("R: time=5/8 C4/8 D4 E4 F4 G4\nL: r/4", Demand::Metre).mean > 0.0);
    assert!(asked("R: time=6/8 C4/8 D4 E4 F4 G4 A4\nL: r/4", Demand::Metre).mean.abs() < 1e-12);
}

#[test]
fn accidentals_are_counted_against_the_signature() {
    assert!(asked("R: key=2 F#4/4 C#5 D4 E4\nL: r/1", Demand::Accidentals).mean.abs() < 1e-12);
    assert!(asked("R: key=2 F4/4 C5 D4 E4\nL: r/1", Demand::Accidentals).mean > 0.0);
}

#[test]
fn a_key_struck_again_is_no_new_key() {
    let one = asked("R: C4/4 C4 C4 C4\nL: r/1", Demand::Compass).mean;
    let four = asked("R: C4/4 D4 E4 F4\nL: r/1", Demand::Compass).mean;
    assert!((one - 1.0).abs() < 1e-9 && (four - 4.0).abs() < 1e-9);
    assert!((asked("R: C4/4 C5 C6 C5\nL: C3/1", Demand::Palette).mean - 1.0).abs() < 1e-9);
}

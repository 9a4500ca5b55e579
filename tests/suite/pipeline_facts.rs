//! What any teacher says about the scales, found by the whole program in scores with nothing but the notes: no fingers are
//! printed, and nobody says that it is a scale. Every fact here is common practice, no source.

use thumbunder::analysis::Analysis;
use thumbunder::movements::{CrossingKind, Movement};
use thumbunder::scales::{NoteName, Scale, textbook_fingering};
use thumbunder::units::{Hand, Motion};

use crate::played::analysed;

/// The crossings of the hand that plays, in playing order.
fn crossings(analysis: &Analysis, hand: Hand) -> Vec<&Movement> {
    analysis.playing(hand).movements.iter().filter(|movement| movement.crossing().is_some()).collect()
}

/// `C1-Bb4`: names with fingers.
fn brief(analysis: &Analysis, movement: &Movement) -> String {
    let name = |id: usize| NoteName::from(analysis.score.notes[id].pitch).short();
    format!("{}{}-{}{}", name(movement.from), movement.from_finger, name(movement.to), movement.to_finger)
}

/// Every crossing of a scale with its effort, over both directions of a hand.
fn efforts(scale: &str, hand: Hand) -> Vec<(Motion, String, f64)> {
    let both = Motion::BOTH.map(|motion| {
        let analysis = analysed(scale, hand, motion);
        let found = crossings(&analysis, hand);
        found.iter().map(|movement| (motion, brief(&analysis, movement), movement.effort)).collect::<Vec<_>>()
    });
    both.concat()
}

fn effort(scale: &str, hand: Hand, motion: Motion, named: &str) -> f64 {
    let all = efforts(scale, hand);
    let found = all.iter().filter(|(way, name, _)| *way == motion && name == named).map(|(.., effort)| *effort);
    found.reduce(f64::max).unwrap_or_else(|| panic!("{named} in {all:?}"))
}

#[test]
fn c_major_passes_the_thumb_under_on_f_c_f_and_comes_down_over_with_three_four_three() {
    let up = analysed("C major", Hand::Right, Motion::Up);
    let found = crossings(&up, Hand::Right);
    assert!(found.iter().all(|movement| movement.crossing().unwrap().kind == CrossingKind::ThumbUnder));
    let reached: Vec<_> = found.iter().map(|movement| up.score.notes[movement.to].pitch.to_string()).collect();
    assert_eq!(reached, ["F4", "C5", "F5"]);
    let down = analysed("C major", Hand::Right, Motion::Down);
    let found = crossings(&down, Hand::Right);
    assert!(found.iter().all(|movement| movement.crossing().unwrap().kind == CrossingKind::FingerOver));
    assert_eq!(found.iter().map(|movement| movement.to_finger.number()).collect::<Vec<_>>(), [3, 4, 3]);
}

#[test]
fn e_flat_major_starts_and_ends_on_the_third_finger_in_both_hands() {
    let scale = Scale::parse("E-flat major", None).unwrap();
    for hand in Hand::BOTH {
        for motion in Motion::BOTH {
            let analysis = analysed("E-flat major", hand, motion);
            let fingers: Vec<_> = analysis.playing(hand).fingering.fingers.iter().flatten().copied().collect();
            assert_eq!([fingers[0].number(), fingers[14].number()], [3, 3], "{hand:?} {motion:?}");
            assert_eq!(fingers, textbook_fingering(scale, hand, motion, 2), "{hand:?} {motion:?}");
        }
    }
}

#[test]
fn e_flat_major_is_by_far_hardest_in_the_right_hand_coming_down_from_c_to_b_flat() {
    let hardest = effort("E-flat major", Hand::Right, Motion::Down, "C1-Bb4");
    for hand in Hand::BOTH {
        for (motion, name, effort) in efforts("E-flat major", hand) {
            let itself = (hand, motion, name.as_str()) == (Hand::Right, Motion::Down, "C1-Bb4");
            assert!(itself || 2.0 * hardest >= 3.0 * effort, "{hand:?} {name}: {effort} against {hardest}");
        }
    }
    assert!(hardest > effort("C major", Hand::Right, Motion::Down, "C1-B4"));
}

#[test]
fn c_natural_minor_has_the_notes_of_e_flat_major_keeps_its_swing_and_is_a_little_easier() {
    let keys = |scale| {
        let degrees = Scale::parse(scale, None).unwrap().degrees(Motion::Up);
        let mut classes: Vec<u8> = degrees.iter().map(|name| name.pitch_class()).collect();
        classes.sort_unstable();
        classes
    };
    assert_eq!(keys("C natural minor"), keys("E-flat major"));
    let swing = |scale| effort(scale, Hand::Right, Motion::Down, "C1-Bb4");
    assert!((swing("C natural minor") - swing("E-flat major")).abs() < 1e-9);
    let total = |scale| efforts(scale, Hand::Right).iter().map(|(.., effort)| effort).sum::<f64>();
    assert!(total("C natural minor") < total("E-flat major"));
}

#[test]
fn c_harmonic_minor_right_hand_must_reach_a_flat_after_the_fourth_finger_crosses_over_to_b() {
    let down = analysed("C harmonic minor", Hand::Right, Motion::Down);
    let playing = down.playing(Hand::Right);
    let with_fingers = down.line(Hand::Right).notes.iter().zip(&playing.fingering.fingers);
    let on_a_flat: Vec<_> = with_fingers
        .filter(|(id, _)| NoteName::from(down.score.notes[**id].pitch).short() == "Ab")
        .map(|(_, finger)| finger.unwrap().number())
        .collect();
    assert_eq!(on_a_flat, [3, 3]);
    let crossed = effort("C harmonic minor", Hand::Right, Motion::Down, "C1-B4");
    assert!(crossed > effort("C major", Hand::Right, Motion::Down, "C1-B4"), "the reach counts");
}

#[test]
fn c_harmonic_minor_left_hand_is_awkward_from_c_to_d_and_less_so_coming_down() {
    let up = effort("C harmonic minor", Hand::Left, Motion::Up, "C1-D4");
    let down = effort("C harmonic minor", Hand::Left, Motion::Down, "D4-C1");
    assert!(up > down);
    for (motion, name, effort) in efforts("C harmonic minor", Hand::Left) {
        assert!(effort <= up, "{motion:?} {name}: {effort} against {up}");
    }
}

//! What any teacher says about the scales. Every fact here is common practice, no source.

use thumbunder::crossing::CrossingKind;
use thumbunder::scales::{Scale, ScaleCrossing, ScaleLine, scale_lines, textbook_fingering};
use thumbunder::units::{Hand, Motion};

fn line(scale: &str, hand: Hand, motion: Motion) -> ScaleLine {
    ScaleLine::new(Scale::parse(scale, None).unwrap(), hand, motion)
}

/// `C1-Bb4`: pitches without octave, with fingers.
fn brief(crossing: &ScaleCrossing) -> String {
    let name =
        |pitch: thumbunder::units::Pitch| pitch.to_string().trim_end_matches(|c: char| c.is_numeric()).to_owned();
    let fingers = (crossing.crossing.from_finger, crossing.crossing.to_finger);
    format!("{}{}-{}{}", name(crossing.from), fingers.0, name(crossing.to), fingers.1)
}

fn points(line: &ScaleLine, named: &str) -> i32 {
    let found = line.crossings.iter().find(|crossing| brief(crossing) == named);
    found.unwrap_or_else(|| panic!("{named} in {:?}", line.crossings)).awkwardness.total()
}

fn hardest(line: &ScaleLine) -> String {
    brief(line.hardest().unwrap())
}

#[test]
fn c_major_right_hand_passes_the_thumb_under_three_times_going_up_two_octaves() {
    let scale = Scale::parse("C major", None).unwrap();
    let crossings = |motion| {
        let pitches = scale.run(motion, 2, scale.lowest_key(Hand::Right, 2));
        let fingers = textbook_fingering(scale, Hand::Right, motion, 2);
        thumbunder::scales::crossings_of(Hand::Right, motion, &pitches, &fingers)
    };
    let up = crossings(Motion::Up);
    assert!(up.iter().all(|crossing| crossing.crossing.kind == CrossingKind::ThumbUnder));
    assert_eq!(up.iter().map(|crossing| crossing.to.to_string()).collect::<Vec<_>>(), ["F4", "C5", "F5"]);
    let down = crossings(Motion::Down);
    assert!(down.iter().all(|crossing| crossing.crossing.kind == CrossingKind::FingerOver));
    assert_eq!(down.iter().map(|crossing| crossing.crossing.to_finger.number()).collect::<Vec<_>>(), [3, 4, 3]);
}

#[test]
fn e_flat_major_starts_and_ends_on_the_third_finger_in_both_hands() {
    let scale = Scale::parse("E-flat major", None).unwrap();
    for hand in Hand::BOTH {
        for motion in Motion::BOTH {
            for octaves in 1..=4 {
                let fingers = textbook_fingering(scale, hand, motion, octaves);
                assert_eq!((fingers[0].number(), fingers[fingers.len() - 1].number()), (3, 3));
            }
        }
    }
}

#[test]
fn e_flat_major_is_by_far_hardest_in_the_right_hand_coming_down_from_c_to_b_flat() {
    let down = line("E-flat major", Hand::Right, Motion::Down);
    assert_eq!(hardest(&down), "C1-Bb4");
    let hardest_points = points(&down, "C1-Bb4");
    let every_line =
        Hand::BOTH.into_iter().flat_map(|hand| Motion::BOTH.map(|motion| line("E-flat major", hand, motion)));
    for line in every_line {
        for crossing in line.crossings.iter().filter(|crossing| brief(crossing) != "C1-Bb4") {
            let points = crossing.awkwardness.total();
            assert!(2 * hardest_points >= 3 * points, "{} {points} against {hardest_points}", brief(crossing));
        }
    }
}

#[test]
fn c_to_b_flat_is_harder_than_c_to_b_in_c_major() {
    let c_major = line("C major", Hand::Right, Motion::Down);
    assert!(points(&line("E-flat major", Hand::Right, Motion::Down), "C1-Bb4") > points(&c_major, "C1-B4"));
}

#[test]
fn c_natural_minor_keeps_that_swing_but_is_a_little_easier_overall() {
    let c_minor = line("C natural minor", Hand::Right, Motion::Down);
    assert_eq!(hardest(&c_minor), "C1-Bb4");
    let e_flat = line("E-flat major", Hand::Right, Motion::Down);
    assert_eq!(points(&c_minor, "C1-Bb4"), points(&e_flat, "C1-Bb4"));
    let total = |scale, hands: &[Hand]| -> i32 {
        hands.iter().flat_map(|hand| Motion::BOTH.map(|motion| line(scale, *hand, motion).awkwardness())).sum()
    };
    for hands in [&[Hand::Right][..], &Hand::BOTH] {
        let (easier, harder) = (total("C natural minor", hands), total("E-flat major", hands));
        assert!(easier < harder && 10 * easier >= 8 * harder, "{easier} against {harder}: a little");
    }
}

#[test]
fn c_harmonic_minor_right_hand_puts_the_third_finger_on_a_flat_and_must_reach_it_coming_down() {
    let scale = Scale::parse("C harmonic minor", None).unwrap();
    let run = scale.run(Motion::Down, 2, scale.lowest_key(Hand::Right, 2));
    let fingers = textbook_fingering(scale, Hand::Right, Motion::Down, 2);
    let mut a_flats = run.iter().zip(&fingers).filter(|(pitch, _)| pitch.to_string().starts_with("Ab"));
    assert!(a_flats.clone().count() == 2 && a_flats.all(|(_, finger)| finger.number() == 3));
    let down = line("C harmonic minor", Hand::Right, Motion::Down);
    assert_eq!(hardest(&down), "C1-B4");
    assert!(down.hardest().unwrap().awkwardness.reach > 0, "the third must reach A-flat");
    assert!(points(&down, "C1-B4") > points(&line("C major", Hand::Right, Motion::Down), "C1-B4"));
}

#[test]
fn c_harmonic_minor_left_hand_is_awkward_from_c_to_d_and_less_so_coming_down() {
    let up = line("C harmonic minor", Hand::Left, Motion::Up);
    let down = line("C harmonic minor", Hand::Left, Motion::Down);
    assert_eq!(hardest(&up), "C1-D4");
    assert_eq!(hardest(&down), "D4-C1");
    assert!(points(&up, "C1-D4") > points(&down, "D4-C1"));
}

#[test]
fn every_line_of_every_scale_crosses_and_has_one_transition_to_isolate() {
    assert_eq!(scale_lines().len(), 49 * 4);
    for line in scale_lines() {
        let hardest = line.hardest().unwrap();
        assert!(line.crossings.iter().all(|crossing| crossing.awkwardness.total() <= hardest.awkwardness.total()));
    }
}

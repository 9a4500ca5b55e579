//! Other hands get other fingers.
//!
//! Adult spans: Boyle, Boyle and Booker (2015; from memory) measured from seven and a half inches, an octave, to above
//! nine and a half, an eleventh. What a hand of each size plays below is common practice, no source.

use crate::fingering::estimate_fingering;
use crate::keys::find_keys;
use crate::player::{HandShape, PairLimit, Player};
use crate::testing;
use crate::units::Finger;

/// The fingers of a line under a hand, as digits.
fn digits(text: &str, shape: &HandShape) -> String {
    let (score, line) = testing::line(text);
    let player = Player { right: shape.clone(), left: shape.clone() };
    let found = estimate_fingering(&score, &line, &find_keys(&score), &testing::steady(90.0), &player);
    found.fingers.iter().map(|finger| finger.map_or('-', |finger| char::from(b'0' + finger.number()))).collect()
}

fn spans(comfortable_span: i32, largest_span: i32) -> HandShape {
    HandShape { comfortable_span, largest_span, ..HandShape::default() }
}

fn finger(number: u8) -> Finger {
    Finger::new(number).unwrap()
}

#[test]
fn a_finger_to_avoid_plays_nothing_that_another_can() {
    let scale = "R: C4/8 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4";
    for avoided in 1..=5 {
        let shape = HandShape { avoid: vec![finger(avoided)], ..HandShape::default() };
        let found = digits(scale, &shape);
        assert!(!found.contains(char::from(b'0' + avoided)), "without {avoided}: {found}");
    }
    let printed = HandShape { avoid: vec![finger(5)], ..HandShape::default() };
    assert_eq!(digits("R: C5-5/4", &printed), "5", "what is printed is law");
}

#[test]
fn a_small_hand_closes_where_a_large_hand_stays_open() {
    // A broken chord of a tenth and back: the large hand lies over it.
    let tenth = "L: C3/8 G3 E4 G3 C3 G3 E4 G3 C3";
    let (small, large) = (digits(tenth, &spans(9, 11)), digits(tenth, &spans(16, 18)));
    assert_eq!(large, "521252125");
    assert_ne!(small, large, "the small hand must move");
}

#[test]
fn two_fingers_that_must_not_open_far_do_not() {
    let chord = "R: C4/8 E4 G4 C5 G4 E4 C4";
    assert_eq!(digits(chord, &HandShape::default()), "1235321");
    let limit = PairLimit { inner: finger(1), outer: finger(2), semitones: 2 };
    let found = digits(chord, &HandShape { pair_limits: vec![limit], ..HandShape::default() });
    assert!(!found.contains("12") && !found.contains("21"), "{found}");
}

//! The fingering of every scale and arpeggio as the handbooks print it.
//!
//! In: a scale, a hand, up or down, octaves. Out: fingers in playing order, and the other beginnings and ends in use.
//!
//! A row of the table holds the fingers of one octave from the tonic upwards, which repeat (`cycle`), and what stands
//! in their place at the lowest and the highest notes of the run, where the hand starts or need not go on.
//!
//! # References
//! - Hanon, *The Virtuoso Pianist in 60 Exercises* (1873), nos. 39 (scales), 40 (chromatic) and 41 (arpeggios); from
//!   memory.
//! - What conservatory scale manuals agree on where Hanon prints no such form (the natural minors, the scales of the
//!   right hand that may begin on the second finger): common practice, no source.

use super::key::Key;
use super::note_name::NoteName;
use super::scale::{Form, Scale};
use crate::score::Mode;
use crate::units::{Finger, Hand, Motion};

/// A way to finger a run of any number of octaves, as digits from the lowest note upwards.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Row {
    /// One octave, starting on the tonic.
    cycle: &'static [u8],
    /// Instead of the cycle, on the first notes of the lowest octave.
    lowest: &'static [u8],
    /// Instead of the cycle, on the last notes of the highest octave, upper tonic included.
    highest: &'static [u8],
    /// Other digits for the lowest notes that handbooks print.
    other_lowest: &'static [&'static [u8]],
    /// Other digits for the highest notes that handbooks print.
    other_highest: &'static [&'static [u8]],
}

const fn row(cycle: &'static [u8]) -> Row {
    Row { cycle, lowest: b"", highest: b"", other_lowest: &[], other_highest: &[] }
}

impl Row {
    const fn from(self, lowest: &'static [u8]) -> Self {
        Self { lowest, ..self }
    }

    const fn to(self, highest: &'static [u8]) -> Self {
        Self { highest, ..self }
    }

    const fn or_from(self, other_lowest: &'static [&'static [u8]]) -> Self {
        Self { other_lowest, ..self }
    }

    const fn or_to(self, other_highest: &'static [&'static [u8]]) -> Self {
        Self { other_highest, ..self }
    }

    /// Every accepted fingering, low to high, the printed one first.
    fn spread(self, octaves: u8) -> Vec<Vec<Finger>> {
        let lowest = [self.lowest].into_iter().chain(self.other_lowest.iter().copied());
        let mut all = Vec::new();
        for low in lowest {
            for high in [self.highest].into_iter().chain(self.other_highest.iter().copied()) {
                let length = self.cycle.len() * usize::from(octaves) + 1;
                let mut digits: Vec<u8> = self.cycle.iter().copied().cycle().take(length).collect();
                for (place, digit) in digits.iter_mut().zip(low) {
                    *place = *digit;
                }
                for (place, digit) in digits.iter_mut().rev().zip(high.iter().rev()) {
                    *place = *digit;
                }
                let fingers: Vec<Finger> = digits.into_iter().filter_map(|digit| Finger::new(digit - b'0')).collect();
                if !all.contains(&fingers) {
                    all.push(fingers);
                }
            }
        }
        all
    }
}

/// From the thumb, as in C major: thumb, three, thumb, four.
const RIGHT_FROM_THUMB: Row = row(b"1231234").to(b"5");
/// From the fifth, as in C major.
const LEFT_FROM_FIFTH: Row = row(b"1432132").from(b"5");
/// From the fourth on a white key, as in B major: the thumbs fall on B and E.
const LEFT_FROM_FOURTH: Row = row(b"1321432").from(b"4");
/// From the fifth black key on, as in E-flat major.
const LEFT_FROM_THIRD: Row = row(b"3214321").or_to(&[b"2"]);
/// As in F-sharp minor, where the thumbs of the right hand fall on A and D.
const RIGHT_THREE_FOUR: Row = row(b"3412312").or_from(&[b"23"]);

const MAJOR_RIGHT: [Row; 12] = [
    RIGHT_FROM_THUMB,                                  // C
    row(b"2312341").or_to(&[b"3"]),                    // D-flat
    RIGHT_FROM_THUMB,                                  // D
    row(b"3123412").or_from(&[b"2"]),                  // E-flat
    RIGHT_FROM_THUMB,                                  // E
    row(b"1234123").to(b"4"),                          // F
    row(b"2341231").or_to(&[b"3"]),                    // G-flat
    RIGHT_FROM_THUMB,                                  // G
    RIGHT_THREE_FOUR,                                  // A-flat
    RIGHT_FROM_THUMB,                                  // A
    row(b"4123123").from(b"2").or_from(&[b"4", b"3"]), // B-flat
    RIGHT_FROM_THUMB,                                  // B
];

const MAJOR_LEFT: [Row; 12] = [
    LEFT_FROM_FIFTH,                      // C
    LEFT_FROM_THIRD,                      // D-flat
    LEFT_FROM_FIFTH,                      // D
    LEFT_FROM_THIRD,                      // E-flat
    LEFT_FROM_FIFTH,                      // E
    LEFT_FROM_FIFTH,                      // F
    row(b"4321321").or_to(&[b"2", b"3"]), // G-flat
    LEFT_FROM_FIFTH,                      // G
    LEFT_FROM_THIRD,                      // A-flat
    LEFT_FROM_FIFTH,                      // A
    LEFT_FROM_THIRD,                      // B-flat
    LEFT_FROM_FOURTH,                     // B
];

/// Natural and harmonic minor.
const MINOR_RIGHT: [Row; 12] = [
    RIGHT_FROM_THUMB,                                  // C
    RIGHT_THREE_FOUR,                                  // C-sharp
    RIGHT_FROM_THUMB,                                  // D
    row(b"3123412").or_from(&[b"2"]),                  // E-flat
    RIGHT_FROM_THUMB,                                  // E
    row(b"1234123").to(b"4"),                          // F
    RIGHT_THREE_FOUR,                                  // F-sharp
    RIGHT_FROM_THUMB,                                  // G
    RIGHT_THREE_FOUR,                                  // G-sharp
    RIGHT_FROM_THUMB,                                  // A
    row(b"4123123").from(b"2").or_from(&[b"4", b"3"]), // B-flat
    RIGHT_FROM_THUMB,                                  // B
];

/// Natural and harmonic minor, but for [`G_SHARP_NATURAL_LEFT`].
const MINOR_LEFT: [Row; 12] = [
    LEFT_FROM_FIFTH,                      // C
    LEFT_FROM_THIRD,                      // C-sharp
    LEFT_FROM_FIFTH,                      // D
    row(b"2143213").or_from(&[b"3"]),     // E-flat
    LEFT_FROM_FIFTH,                      // E
    LEFT_FROM_FIFTH,                      // F
    row(b"4321321").or_to(&[b"2", b"3"]), // F-sharp
    LEFT_FROM_FIFTH,                      // G
    LEFT_FROM_THIRD,                      // G-sharp
    LEFT_FROM_FIFTH,                      // A
    row(b"2132143").or_from(&[b"3"]),     // B-flat
    LEFT_FROM_FOURTH,                     // B
];

/// With F-sharp instead of F-double-sharp the thumb has only B and E to fall on.
const G_SHARP_NATURAL_LEFT: Row = row(b"3213214").or_to(&[b"2"]);

/// Melodic minor going up from C-sharp and F-sharp: the raised sixth is black, so the thumb waits for the seventh. The
/// top is played by the third finger, which leads back down.
const MELODIC_UP_RIGHT: Row = row(b"2312341").to(b"3").or_from(&[b"34"]).or_to(&[b"2"]);

/// One, three: thumb on white, third finger on black, the second where two white keys meet.
const CHROMATIC_RIGHT: [u8; 12] = *b"231312313131";
/// The mirror of the right hand: the keyboard reads the same both ways from D.
const CHROMATIC_LEFT: [u8; 12] = *b"131321313132";
/// In fours where the black keys allow, for speed: thumbs on D, E, G and B in the right hand.
const CHROMATIC_FOUR_RIGHT: [u8; 12] = *b"231212312341";
/// The mirror of the right hand.
const CHROMATIC_FOUR_LEFT: [u8; 12] = *b"121321432132";

const ARPEGGIO_RIGHT_WHITE: Row = row(b"123").to(b"5");
const ARPEGGIO_RIGHT_BLACK: Row = row(b"412").from(b"2").or_from(&[b"4"]);
const ARPEGGIO_LEFT_FOUR: Row = row(b"142").from(b"5");
const ARPEGGIO_LEFT_THREE: Row = row(b"132").from(b"5");
const ARPEGGIO_LEFT_BLACK: Row = row(b"214");

/// The fingers of a run in playing order, as printed.
pub fn textbook_fingering(scale: Scale, hand: Hand, motion: Motion, octaves: u8) -> Vec<Finger> {
    accepted_fingerings(scale, hand, motion, octaves).swap_remove(0)
}

/// Every accepted fingering of a run in playing order, the printed one first.
pub fn accepted_fingerings(scale: Scale, hand: Hand, motion: Motion, octaves: u8) -> Vec<Vec<Finger>> {
    let mut accepted = match scale_row(scale, hand, motion) {
        Some(row) => row.spread(octaves),
        None => chromatic(scale.tonic(), hand, octaves),
    };
    if motion == Motion::Down {
        for fingers in &mut accepted {
            fingers.reverse();
        }
    }
    accepted
}

/// The finger that each key of the octave (0 for C) takes within a run, its ends apart; `None` where the scale has no
/// such key.
pub fn fingers_by_key(scale: Scale, hand: Hand, motion: Motion) -> [Option<Finger>; 12] {
    let mut table = [None; 12];
    let tonic = i32::from(scale.tonic().pitch_class());
    let digits = match scale_row(scale, hand, motion) {
        Some(row) => row.cycle.to_vec(),
        None => rotated(chromatic_digits(hand)[0], scale.tonic()),
    };
    for (interval, digit) in scale.intervals(motion).iter().zip(digits) {
        table[(tonic + interval).rem_euclid(12) as usize] = Finger::new(digit - b'0');
    }
    table
}

/// The fingers of the root-position arpeggio of a key over `octaves`, in playing order: the printed ones first.
pub fn arpeggio_fingerings(key: Key, hand: Hand, motion: Motion, octaves: u8) -> Vec<Vec<Finger>> {
    let class = key.tonic().pitch_class();
    let major = key.mode() == Mode::Major;
    let rows: &[Row] = match (hand, class, major) {
        // All keys black: like all keys white.
        (Hand::Right, 6, true) | (Hand::Right, 3, false) => &[ARPEGGIO_RIGHT_WHITE],
        // B-flat minor has its only white key on top.
        (Hand::Right, 10, false) => &[row(b"231").or_to(&[b"3"])],
        (Hand::Left, 10, _) => &[row(b"321")],
        (Hand::Right, 1 | 3 | 6 | 8 | 10, _) => &[ARPEGGIO_RIGHT_BLACK],
        (Hand::Right, ..) => &[ARPEGGIO_RIGHT_WHITE, row(b"124").to(b"5")],
        // The third finger on the third of the chord where that is black, and where all three are; else the fourth.
        (Hand::Left, 2 | 4 | 6 | 9 | 11, true) => &[ARPEGGIO_LEFT_THREE, ARPEGGIO_LEFT_FOUR],
        (Hand::Left, 3, false) => &[ARPEGGIO_LEFT_FOUR, ARPEGGIO_LEFT_THREE],
        (Hand::Left, 1 | 3 | 6 | 8, _) => &[ARPEGGIO_LEFT_BLACK],
        (Hand::Left, ..) => &[ARPEGGIO_LEFT_FOUR, ARPEGGIO_LEFT_THREE],
    };
    let mut accepted: Vec<Vec<Finger>> = rows.iter().flat_map(|row| row.spread(octaves)).collect();
    if motion == Motion::Down {
        for fingers in &mut accepted {
            fingers.reverse();
        }
    }
    accepted
}

/// The row of a major or minor scale; `None` for the chromatic scale.
fn scale_row(scale: Scale, hand: Hand, motion: Motion) -> Option<Row> {
    let class = usize::from(scale.tonic().pitch_class());
    let table = match (scale.form(), hand, motion, class) {
        (Form::Chromatic, ..) => return None,
        (Form::Major, Hand::Right, ..) => &MAJOR_RIGHT,
        (Form::Major, Hand::Left, ..) => &MAJOR_LEFT,
        (Form::MelodicMinor, Hand::Right, Motion::Up, 1 | 6) => return Some(MELODIC_UP_RIGHT),
        (Form::NaturalMinor, Hand::Left, _, 8) | (Form::MelodicMinor, Hand::Left, Motion::Down, 8) => {
            return Some(G_SHARP_NATURAL_LEFT);
        }
        (_, Hand::Right, ..) => &MINOR_RIGHT,
        (_, Hand::Left, ..) => &MINOR_LEFT,
    };
    table.get(class).copied()
}

/// Digits for the keys from C upwards: the usual ones, then the accepted others.
fn chromatic_digits(hand: Hand) -> [[u8; 12]; 2] {
    match hand {
        Hand::Right => [CHROMATIC_RIGHT, CHROMATIC_FOUR_RIGHT],
        Hand::Left => [CHROMATIC_LEFT, CHROMATIC_FOUR_LEFT],
    }
}

/// The same digits, starting from the key of `tonic`.
fn rotated(mut digits: [u8; 12], tonic: NoteName) -> Vec<u8> {
    digits.rotate_left(usize::from(tonic.pitch_class()));
    digits.to_vec()
}

/// Chromatic runs, low to high. Where the hand begins inward of the run (the lowest note of the right hand, the highest
/// of the left) a white tonic takes the thumb instead of the second finger.
fn chromatic(tonic: NoteName, hand: Hand, octaves: u8) -> Vec<Vec<Finger>> {
    let length = 12 * usize::from(octaves) + 1;
    let mut accepted: Vec<Vec<Finger>> = Vec::new();
    for digits in chromatic_digits(hand) {
        let cycle = rotated(digits, tonic);
        let plain: Vec<Finger> =
            cycle.iter().cycle().take(length).filter_map(|digit| Finger::new(digit - b'0')).collect();
        let mut thumb = plain.clone();
        let inward = if hand == Hand::Right { thumb.first_mut() } else { thumb.last_mut() };
        if let Some(end) = inward.filter(|end| tonic.colour() == crate::units::KeyColour::White && !end.is_thumb()) {
            *end = Finger::THUMB;
            accepted.push(thumb);
        }
        accepted.push(plain);
    }
    accepted
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::KeyColour;

    fn digits(scale: &str, hand: Hand, motion: Motion, octaves: u8) -> String {
        let scale = Scale::parse(scale, None).unwrap();
        textbook_fingering(scale, hand, motion, octaves).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_thumb_stays_off_the_black_keys_and_the_fourth_finger_comes_once_an_octave() {
        for scale in Scale::all() {
            for (hand, motion) in [(Hand::Right, Motion::Up), (Hand::Left, Motion::Down)] {
                for motion in [motion, Motion::Up, Motion::Down] {
                    let table = fingers_by_key(scale, hand, motion);
                    let black = [1, 3, 6, 8, 10].map(|class: usize| table[class]);
                    assert!(
                        black.into_iter().flatten().all(|finger| !finger.is_thumb()),
                        "{scale} {hand:?} {motion:?}"
                    );
                    let fourths = table.iter().flatten().filter(|finger| finger.number() == 4).count();
                    assert_eq!(fourths, usize::from(scale.form() != Form::Chromatic), "{scale} {hand:?} {motion:?}");
                }
            }
        }
    }

    #[test]
    fn no_two_notes_in_a_row_take_one_finger_and_fingers_follow_the_keys() {
        for scale in Scale::all() {
            for hand in Hand::BOTH {
                for motion in Motion::BOTH {
                    for fingers in accepted_fingerings(scale, hand, motion, 3) {
                        assert_eq!(fingers.len(), scale.form().size() * 3 + 1);
                        let outward = if (hand == Hand::Right) == (motion == Motion::Up) { 1 } else { -1 };
                        for (place, pair) in fingers.windows(2).enumerate() {
                            let step = outward * (i32::from(pair[1].number()) - i32::from(pair[0].number()));
                            // The next finger, or one further at the very ends, or a crossing of the thumb.
                            let end = place == 0 || place + 2 == fingers.len();
                            let furthest = if end || scale.form() == Form::Chromatic { 2 } else { 1 };
                            let crossing = step < 0 && pair[usize::from(outward > 0)].is_thumb();
                            assert!(crossing || (1..=furthest).contains(&step), "{scale} {hand:?}: {fingers:?}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn melodic_minor_turns_on_one_finger_at_the_top() {
        for key in Key::twelve(Mode::Minor) {
            let scale = Scale::new(key, Form::MelodicMinor).unwrap();
            for hand in Hand::BOTH {
                let up = textbook_fingering(scale, hand, Motion::Up, 2);
                let down = textbook_fingering(scale, hand, Motion::Down, 2);
                assert_eq!(up.last(), down.first(), "{scale} {hand:?}");
            }
        }
    }

    #[test]
    fn ends_of_runs_have_their_own_fingers_at_any_length() {
        assert_eq!(digits("C", Hand::Right, Motion::Up, 1), "12312345");
        assert_eq!(digits("C", Hand::Right, Motion::Up, 2), "123123412312345");
        assert_eq!(digits("C", Hand::Left, Motion::Up, 2), "543213214321321");
        assert_eq!(digits("B-flat", Hand::Right, Motion::Up, 2), "212312341231234");
        assert_eq!(digits("E-flat", Hand::Right, Motion::Down, 1), "32143213");
        assert_eq!(digits("C", Hand::Right, Motion::Up, 0), "5");
        assert_eq!(digits("C chromatic", Hand::Right, Motion::Up, 1), "1313123131312");
        assert_eq!(digits("C chromatic", Hand::Left, Motion::Up, 1), "1313213131321");
        assert_eq!(digits("C", Hand::Right, Motion::Up, 255).len(), 255 * 7 + 1);
    }

    #[test]
    fn the_keyboard_and_so_the_chromatic_fingering_reads_the_same_both_ways_from_d() {
        for (right, left) in chromatic_digits(Hand::Right).iter().zip(chromatic_digits(Hand::Left)) {
            for class in 0..12 {
                assert_eq!(left[class], right[(16 - class) % 12]);
            }
        }
    }

    #[test]
    fn arpeggios_keep_the_thumb_on_white_keys_unless_all_are_black() {
        for mode in [Mode::Major, Mode::Minor] {
            for key in Key::twelve(mode) {
                let scale =
                    Scale::new(key, if mode == Mode::Major { Form::Major } else { Form::NaturalMinor }).unwrap();
                let triad: Vec<_> = [0, 2, 4].map(|degree| scale.degrees(Motion::Up)[degree].colour()).into();
                let all_black = triad.iter().all(|colour| *colour == KeyColour::Black);
                for hand in Hand::BOTH {
                    for fingers in arpeggio_fingerings(key, hand, Motion::Up, 2) {
                        assert_eq!(fingers.len(), 7);
                        for (finger, colour) in fingers.iter().zip(triad.iter().cycle()) {
                            let allowed = all_black || *colour == KeyColour::White || !finger.is_thumb();
                            assert!(allowed, "{key} {hand:?}: {fingers:?}");
                        }
                    }
                }
            }
        }
    }
}

//! Phrases that every teacher fingers alike, as tests of the weights that no file was used to choose.

mod table;

use self::table::PHRASES;
use crate::fingering::estimate_fingering;
use crate::keys::find_keys;
use crate::player::Player;
use crate::testing;
use crate::units::Finger;

/// How many digits of a phrase are found, and how many there are.
fn compare(text: &str, quarter_bpm: f64) -> (usize, usize, String) {
    let (mut score, line) = testing::line(text);
    let wanted: Vec<Option<Finger>> =
        line.notes.iter().map(|id| score.notes[*id].written.first().map(|w| w.finger)).collect();
    score.notes.iter_mut().for_each(|note| note.written.clear());
    let tempo = testing::steady(quarter_bpm);
    let found = estimate_fingering(&score, &line, &find_keys(&score), &tempo, &Player::default());
    let right = wanted.iter().zip(&found.fingers).filter(|(a, b)| a.is_some() && a == b).count();
    let digits: String = found.fingers.iter().map(|f| f.map_or('-', |f| char::from(b'0' + f.number()))).collect();
    (right, wanted.iter().flatten().count(), digits)
}

#[test]
fn phrases_are_fingered_as_every_teacher_fingers_them() {
    let (mut right, mut all) = (0, 0);
    for (name, quarter_bpm, text) in PHRASES {
        let (found, digits, got) = compare(text, *quarter_bpm);
        if found < digits {
            println!("{name}: {found} of {digits}: {got}\n    {text}");
        }
        (right, all) = (right + found, all + digits);
    }
    println!("{right} of {all}");
    assert!(right * 100 >= all * 90, "{right} of {all}");
}

//! Phrases that every teacher fingers alike, as tests of the weights that no file was used to choose.
//!
//! The digits are common practice, from memory: five-finger tunes of the first lessons, the patterns of accompaniment,
//! the broken chords and arpeggios of scale manuals, beginnings that all editions print alike.

use crate::fingering::estimate_fingering;
use crate::keys::find_keys;
use crate::player::Player;
use crate::testing;
use crate::units::Finger;

/// Name, quarters a minute, and the phrase with its digits.
const PHRASES: &[(&str, f64, &str)] = &[
    ("Lightly row", 120.0, "R: G4-5/4 E4-3 E4-3/2 F4-4/4 D4-2 D4-2/2 C4-1/4 D4-2 E4-3 F4-4 G4-5 G4-5 G4-5/2"),
    (
        "Mary had a little lamb",
        120.0,
        "R: E4-3/4 D4-2 C4-1 D4-2 E4-3 E4-3 E4-3/2 D4-2/4 D4-2 D4-2/2 E4-3/4 G4-5 G4-5/2",
    ),
    ("Jingle bells", 140.0, "R: E4-3/4 E4-3 E4-3/2 E4-3/4 E4-3 E4-3/2 E4-3/4 G4-5 C4-1 D4-2 E4-3/1"),
    ("Au clair de la lune", 110.0, "R: C4-1/4 C4-1 C4-1 D4-2 E4-3/2 D4-2 C4-1/4 E4-3 D4-2 D4-2 C4-1/1"),
    ("When the saints", 140.0, "R: C4-1/4 E4-3 F4-4 G4-5/1 C4-1/4 E4-3 F4-4 G4-5/1"),
    ("Ode to joy", 120.0, "R: E4-3/4 E4-3 F4-4 G4-5 G4-5 F4-4 E4-3 D4-2 C4-1 C4-1 D4-2 E4-3 E4-3/4. D4-2/8 D4-2/2"),
    ("five fingers, left", 100.0, "L: C3-5/8 D3-4 E3-3 F3-2 G3-1 F3-2 E3-3 D3-4 C3-5/2"),
    ("five fingers, right", 100.0, "R: C4-1/8 D4-2 E4-3 F4-4 G4-5 F4-4 E4-3 D4-2 C4-1/2"),
    ("broken triad, root", 100.0, "R: C4-1/8 E4-3 G4-5 E4-3 C4-1 E4-3 G4-5 E4-3"),
    ("broken triads of the manuals", 100.0, "R: C4-1/8t E4-3 G4-5 E4-1 G4-2 C5-5 G4-1 C5-3 E5-5 C5-1 E5-3 G5-5"),
    ("broken triads of the manuals, left", 100.0, "L: C3-5/8t E3-3 G3-1 E3-5 G3-3 C4-1 G3-5 C4-2 E4-1 C4-5 E4-3 G4-1"),
    ("broken chord of four, root", 100.0, "R: C4-1/16 E4-2 G4-3 C5-5 G4-3 E4-2 C4-1/4"),
    ("broken chord of four, first inversion", 100.0, "R: E4-1/16 G4-2 C5-4 E5-5 C5-4 G4-2 E4-1/4"),
    ("broken chord of four, second inversion", 100.0, "R: G4-1/16 C5-2 E5-4 G5-5 E5-4 C5-2 G4-1/4"),
    ("broken chord of four, left root", 100.0, "L: C3-5/16 E3-4 G3-2 C4-1 G3-2 E3-4 C3-5/4"),
    ("broken chord of four, left first inversion", 100.0, "L: E3-5/16 G3-4 C4-2 E4-1 C4-2 G3-4 E3-5/4"),
    ("broken chord of four, left second inversion", 100.0, "L: G2-5/16 C3-3 E3-2 G3-1 E3-2 C3-3 G2-5/4"),
    ("Alberti bass, tonic", 120.0, "L: C3-5/8 G3-1 E3-3 G3-1 C3-5 G3-1 E3-3 G3-1"),
    ("Alberti bass, dominant seventh", 120.0, "L: B2-5/8 G3-1 F3-2 G3-1 B2-5 G3-1 F3-2 G3-1"),
    ("Alberti bass, subdominant", 120.0, "L: C3-5/8 A3-1 F3 A3-1 C3-5 A3-1 F3 A3-1"),
    ("octaves", 100.0, "R: [C4-1 C5-5]/4 [D4-1 D5-5] [E4-1 E5-5] [F4-1 F5-5]"),
    ("triads, right", 80.0, "R: [C4-1 E4-3 G4-5]/4 r [E4-1 G4-2 C5-5] r [G4-1 C5-3 E5-5] r"),
    ("triads, left", 80.0, "L: [C3-5 E3-3 G3-1]/4 r [E3-5 G3-3 C4-1] r [G3-5 C4-2 E4-1] r"),
    ("chords of four, right", 80.0, "R: [C4-1 E4-2 G4-3 C5-5]/4 r [E4-1 G4-2 C5-4 E5-5] r [G4-1 C5-2 E5-4 G5-5] r"),
    ("chords of four, left", 80.0, "L: [C3-5 E3-4 G3-2 C4-1]/4 r [E3-5 G3-4 C4-2 E4-1] r [G2-5 C3-3 E3-2 G3-1] r"),
    ("cadence, right", 80.0, "R: [C4-1 E4-3 G4-5]/2 [C4-1 F4-3 A4-5] [B3-1 D4-2 G4-5] [C4-1 E4-3 G4-5]"),
    ("cadence, left", 80.0, "L: [C3-5 E3-3 G3-1]/2 [C3-5 F3-2 A3-1] [B2-5 F3-2 G3-1] [C3-5 E3-3 G3-1]"),
    ("legato thirds", 80.0, "R: [C4-1 E4-3]/4 [D4-2 F4-4] [E4-3 G4-5] [D4-2 F4-4] [C4-1 E4-3]"),
    ("waltz bass", 120.0, "L: C3-5/4 [E3 G3-1] [E3 G3-1] B2-5 [F3-2 G3-1] [F3-2 G3-1]"),
    (
        "minuet in G, opening",
        110.0,
        "R: D5-5/4 G4-1/8 A4-2 B4-3 C5-4 D5-5/4 G4-1 G4-1 E5-3 C5-1/8 D5-2 E5-3 F#5-4 G5-5/4 G4-1 G4-1",
    ),
    (
        "scale of an octave and back",
        100.0,
        "R: C4-1/8 D4-2 E4-3 F4-1 G4-2 A4-3 B4-4 C5-5 B4-4 A4-3 G4-2 F4-1 E4-3 D4-2 C4-1/4",
    ),
    ("trill", 120.0, "R: A4-2/32 B4-3 A4-2 B4-3 A4-2 B4-3 A4-2 B4-3"),
    ("scale in E-flat", 120.0, "R: Eb4/16 F4-1 G4-2 Ab4-3 Bb4-4 C5-1 D5-2 Eb5-3 D5-2 C5-1 Bb4-4 Ab4-3 G4-2 F4-1 Eb4/4"),
    ("sixths", 80.0, "R: [E4-1 C5-5]/4 [F4-1 D5-5] [G4-1 E5-5]"),
    ("subject in sequence", 100.0, "R: C4-1/16 D4-2 E4-3 F4-4 D4-2 E4-3 C4-1 r D4-1 E4-2 F4-3 G4-4 E4-2 F4-3 D4-1 r"),
];

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

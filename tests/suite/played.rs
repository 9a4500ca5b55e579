//! Music that the tests play: scales and chords written as MusicXML and read back by the program's own reader.

use thumbunder::analysis::{Analysis, analyse};
use thumbunder::error::Remarks;
use thumbunder::hands::{Hands, assign_hands};
use thumbunder::musicxml::read_score;
use thumbunder::scales::Scale;
use thumbunder::score::Score;
use thumbunder::sheets::{Exercise, Figure, Sheet, plain_run, write};
use thumbunder::units::{Finger, Hand, Motion, Pitch};
use thumbunder::{Limits, Options};

/// A sheet with one exercise.
pub fn sheet(exercise: Exercise) -> Sheet {
    Sheet { title: "Test".into(), exercises: vec![exercise] }
}

/// What the reader makes of a sheet; nothing on a sheet of ours may be odd to it.
pub fn read(sheet: &Sheet) -> (Score, Hands) {
    let text = write(sheet);
    let (score, mut remarks) = read_score(text.as_bytes(), &Limits::default()).unwrap();
    let hands = assign_hands(&score, &mut remarks).unwrap();
    let remarks: Vec<_> = Remarks::into_list(remarks);
    assert!(remarks.is_empty(), "{remarks:?}\n{text}");
    (score, hands)
}

/// One hand's run in one direction, with or without printed fingers: a line for the fingering to work on.
pub fn run(figure: Figure, hand: Hand, motion: Motion, octaves: u8, fingered: bool) -> (Score, Hands) {
    read(&sheet(plain_run(figure, hand, motion, octaves, fingered)))
}

/// The notes of a hand as read, with their first printed finger.
pub fn played(score: &Score, hands: &Hands, hand: Hand) -> Vec<(Pitch, Option<Finger>)> {
    let notes = hands.line(hand).notes.iter().map(|id| &score.notes[*id]);
    notes.map(|note| (note.pitch, note.written.first().map(|written| written.finger))).collect()
}

/// One hand's bare run, with nothing printed, through the whole program.
pub fn analysed(scale: &str, hand: Hand, motion: Motion) -> Analysis {
    let figure = Figure::Scale(Scale::parse(scale, None).unwrap());
    let text = write(&sheet(plain_run(figure, hand, motion, 2, false)));
    analyse(text.as_bytes(), &Options::default()).unwrap()
}

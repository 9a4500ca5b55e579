//! How long the fingering takes by the number of notes, single and in chords.
//!
//! `cargo bench --bench fingering` prints divan's table: the notes a second should stay the same from row to row.
#![allow(clippy::unwrap_used)] // a program for developers

use std::fmt::Write;

use thumbunder::Limits;
use thumbunder::error::Remarks;
use thumbunder::fingering::estimate_fingering;
use thumbunder::hands::{Hands, assign_hands};
use thumbunder::keys::{LocalKeys, find_keys};
use thumbunder::musicxml::read_score;
use thumbunder::player::Player;
use thumbunder::score::Score;
use thumbunder::tempo::{Tempo, TempoSource};

fn main() {
    divan::main();
}

/// So many notes for a right hand, `chord` of them at a time, in sixteenths, wandering over three octaves by a rule that
/// makes runs, turns and leaps.
fn score(notes: usize, chord: usize) -> (Score, Hands, LocalKeys, Tempo) {
    let mut xml = String::from("<score-partwise><part-list><score-part id='P'/></part-list><part id='P'>");
    for slice in 0..notes / chord {
        if slice % 16 == 0 {
            let end = if slice > 0 { "</measure>" } else { "" };
            write!(xml, "{end}<measure number='{}'><attributes><divisions>4</divisions></attributes>", slice / 16)
                .unwrap();
        }
        for voice in 0..chord {
            let degree = slice * slice / 7 % 20 + 2 * voice;
            let (step, octave) = (char::from(b"CDEFGAB"[degree % 7]), 3 + degree / 7);
            let with = if voice > 0 { "<chord/>" } else { "" };
            let pitch = format!("<pitch><step>{step}</step><octave>{octave}</octave></pitch>");
            write!(xml, "<note>{with}{pitch}<duration>1</duration></note>").unwrap();
        }
    }
    xml.push_str("</measure></part></score-partwise>");
    let (score, _) = read_score(xml.as_bytes(), &Limits::default()).unwrap();
    let hands = assign_hands(&score, &mut Remarks::default()).unwrap();
    let keys = find_keys(&score);
    (score, hands, keys, Tempo::constant(100.0, TempoSource::Written))
}

#[divan::bench(args = [1_000, 10_000, 100_000], consts = [1, 3, 5], sample_count = 10)]
fn notes_in_chords_of<const CHORD: usize>(bencher: divan::Bencher<'_, '_>, notes: usize) {
    let (score, hands, keys, tempo) = score(notes, CHORD);
    bencher.counter(divan::counter::ItemsCount::new(notes)).bench(|| {
        [&hands.right, &hands.left].map(|line| estimate_fingering(&score, line, &keys, &tempo, &Player::default()))
    });
}

//! What is read from real scores, against a reading that independent readers agree on.
//!
//! The data is no part of the project: `THUMBUNDER_DATA` names its folder, else `../shared/data` beside the checkout is
//! looked at; without it the test says so and checks nothing.

#![allow(clippy::print_stdout, reason = "a test that is skipped says so")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use thumbunder::hands::assign_hands;
use thumbunder::units::Hand;
use thumbunder::{Limits, musicxml};

/// The folder with the data, if it is there.
pub fn data() -> Option<PathBuf> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/data");
    let folder = std::env::var_os("THUMBUNDER_DATA").map_or(beside, PathBuf::from);
    let found = folder.join("notes/index.csv").is_file().then_some(folder);
    if found.is_none() {
        println!("skipped: no data folder (set THUMBUNDER_DATA)");
    }
    found
}

/// Onset, key, duration, hand; times in thousandths of a quarter.
type Row = (i64, u8, i64, char);

fn rows(csv: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let mut rows = Vec::new();
    for row in reader.deserialize::<BTreeMap<String, String>>() {
        let row = row.unwrap();
        let thousandths = |name: &str| (row[name].parse::<f64>().unwrap() * 1000.0).round() as i64;
        if row["grace"] == "0" {
            rows.push((
                thousandths("onset"),
                row["midi"].parse().unwrap(),
                thousandths("duration"),
                row["hand"].parse().unwrap(),
            ));
        }
    }
    rows
}

fn read(path: &Path) -> Vec<Row> {
    let (score, mut remarks) = musicxml::read_score(&std::fs::read(path).unwrap(), &Limits::default()).unwrap();
    let hands = assign_hands(&score, &mut remarks).unwrap();
    let thousandths = |time: f64| (time * 1000.0).round() as i64;
    let mut rows = Vec::new();
    for hand in Hand::BOTH {
        for note in hands.line(hand).notes.iter().map(|id| &score.notes[*id]).filter(|note| !note.is_grace()) {
            let (onset, duration) = (thousandths(note.onset.to_f64()), thousandths(note.duration.to_f64()));
            rows.push((onset, note.midi.number(), duration, hand.letter()));
        }
    }
    rows
}

/// Pairs of equal rows, a thousandth of a quarter apart at most in each time.
fn matched(truth: &[Row], got: &[Row]) -> usize {
    let mut pool: BTreeMap<Row, usize> = BTreeMap::new();
    for row in got {
        *pool.entry(*row).or_default() += 1;
    }
    let near = [(0, 0), (0, -1), (0, 1), (-1, 0), (-1, -1), (-1, 1), (1, 0), (1, -1), (1, 1)];
    let take = |pool: &mut BTreeMap<Row, usize>, (onset, midi, duration, hand): Row| {
        near.iter().any(|(a, b)| match pool.get_mut(&(onset + a, midi, duration + b, hand)) {
            Some(left) if *left > 0 => {
                *left -= 1;
                true
            }
            _ => false,
        })
    };
    truth.iter().filter(|row| take(&mut pool, **row)).count()
}

#[test]
fn real_scores_are_read_as_independent_readers_agree() {
    let Some(data) = data() else { return };
    let (mut hits, mut expected, mut given) = (0, 0, 0);
    let mut reader = csv::Reader::from_path(data.join("notes/index.csv")).unwrap();
    for item in reader.deserialize::<BTreeMap<String, String>>() {
        let item = item.unwrap();
        let truth = rows(&std::fs::read_to_string(data.join("notes").join(&item["truth"])).unwrap());
        let got = read(&data.join(&item["score"]));
        hits += matched(&truth, &got);
        expected += truth.len();
        given += got.len();
    }
    let f1 = 2.0 * hits as f64 / (expected + given) as f64;
    println!("F1 {f1:.5} over {expected} notes");
    assert!(f1 >= 0.9995, "F1 {f1:.5}: {hits} of {expected} notes found, {given} given");
}

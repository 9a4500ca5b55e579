//! How long the whole of `assess` takes, from bytes to the text report, beside parsing the same bytes into a tree with
//! roxmltree and nothing else.
//!
//! `cargo bench --bench assess` prints the ratios over all scores, stage by stage and for each report, then divan's times
//! and allocations for the largest.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods)] // a program for developers, with files and a clock

mod scores;

use std::hint::black_box;

use scores::{SCORES, Score, Timed, compare, largest, parse};
use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::error::Remarks;
use thumbunder::fingering::{Fingering, estimate_fingering};
use thumbunder::hands::{Hands, assign_hands};
use thumbunder::keys::{LocalKeys, find_keys};
use thumbunder::musicxml::read_score;
use thumbunder::player::Player;
use thumbunder::report::{html, json, text};
use thumbunder::score;
use thumbunder::tempo::{Tempo, choose_tempo};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

/// What stands before the fingers: the score, its hands, tempo and keys.
type Prepared = (score::Score, Hands, Tempo, LocalKeys);

fn read(score: &Score) -> (score::Score, Remarks) {
    read_score(score.xml.as_bytes(), &Options::default().limits).unwrap()
}

fn prepare(score: &Score) -> Prepared {
    let (score, mut remarks) = read(score);
    let hands = assign_hands(&score, &mut remarks).unwrap();
    let tempo = choose_tempo(&score, &hands, None, &mut remarks);
    let keys = find_keys(&score);
    (score, hands, tempo, keys)
}

fn finger(score: &Score) -> [Fingering; 2] {
    let (score, hands, tempo, keys) = prepare(score);
    [&hands.right, &hands.left].map(|line| estimate_fingering(&score, line, &keys, &tempo, &Player::default()))
}

fn assess(score: &Score) -> String {
    let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
    text::render(&analysis, "score", None, text::Style::default())
}

/// The yardstick, then longer and longer parts of the flow, then the other reports.
const RUNS: [Timed; 8] = [
    ("roxmltree, tree only", |score| drop(black_box(parse(&score.xml)))),
    ("reading", |score| drop(black_box(read(score)))),
    ("... hands, tempo, keys", |score| drop(black_box(prepare(score)))),
    ("... fingers", |score| drop(black_box(finger(score)))),
    ("whole analysis", |score| drop(black_box(analyse(score.xml.as_bytes(), &Options::default())))),
    ("whole analysis, text report", |score| drop(black_box(assess(score)))),
    ("whole analysis, JSON", |score| {
        let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
        let _ = black_box(json::render(&analysis, "score", None));
    }),
    ("whole analysis, page", |score| {
        let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
        drop(black_box(html::render(&analysis, "score", None, &html::Pictures::default())));
    }),
];

fn main() {
    let readable = |score: &&Score| analyse(score.xml.as_bytes(), &Options::default()).is_ok();
    compare(&SCORES.iter().filter(readable).collect::<Vec<_>>(), &RUNS);
    divan::main();
}

#[divan::bench(sample_count = 20)]
fn parse_largest_with_roxmltree(bencher: divan::Bencher<'_, '_>) {
    let score = largest();
    bencher.counter(divan::counter::BytesCount::of_str(&score.xml)).bench(|| parse(&score.xml));
}

#[divan::bench(sample_count = 20)]
fn assess_largest(bencher: divan::Bencher<'_, '_>) {
    let score = largest();
    bencher.counter(divan::counter::BytesCount::of_str(&score.xml)).bench(|| assess(score));
}

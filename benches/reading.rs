//! How long reading a score takes, beside parsing the same bytes into a tree with roxmltree and nothing else.
//!
//! `cargo bench --bench reading` prints the ratios over all scores, then divan's times and allocations for the largest.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods)] // a program for developers, with files and a clock

mod scores;

use std::hint::black_box;

use scores::{SCORES, Score, Timed, compare, largest, parse};
use thumbunder::{Limits, musicxml};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

const RUNS: [Timed; 3] = [
    ("roxmltree, tree only", |score| drop(black_box(parse(&score.xml)))),
    ("the XML", |score| drop(black_box(musicxml::read_score(score.xml.as_bytes(), &Limits::default())))),
    ("the file, unpacked first", |score| drop(black_box(musicxml::read_score(&score.bytes, &Limits::default())))),
];

fn main() {
    compare(&SCORES.iter().collect::<Vec<&Score>>(), &RUNS);
    divan::main();
}

#[divan::bench(sample_count = 20)]
fn parse_largest_with_roxmltree(bencher: divan::Bencher<'_, '_>) {
    let score = largest();
    bencher.counter(divan::counter::BytesCount::of_str(&score.xml)).bench(|| parse(&score.xml));
}

#[divan::bench(sample_count = 20)]
fn read_largest(bencher: divan::Bencher<'_, '_>) {
    let score = largest();
    let bytes = score.xml.as_bytes();
    bencher
        .counter(divan::counter::BytesCount::new(bytes.len()))
        .bench(|| musicxml::read_score(bytes, &Limits::default()));
}

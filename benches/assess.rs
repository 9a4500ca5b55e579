//! How long the whole of `assess` takes, from bytes to the text report, beside parsing the same bytes into a tree with
//! roxmltree and nothing else.
//!
//! `cargo bench --bench assess` prints the ratio over all scores (interleaved runs in one process, so that both meet the
//! same machine) and the share of each stage, then divan's times and allocations for the largest score.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods)] // a program for developers, with files and a clock

mod scores;

use std::hint::black_box;
use std::time::Duration;

use scores::{SCORES, Score, largest, parse, timed};
use thumbunder::analysis::analyse;
use thumbunder::report::{html, json, text};
use thumbunder::{Options, musicxml};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

/// Rounds over all scores for the ratio; the fastest run of each score counts.
const ROUNDS: usize = 11;

fn assess(score: &Score) -> String {
    let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
    text::render(&analysis, "score", None, text::Style::default())
}

/// A name, and what is timed under it.
type Timed = (&'static str, fn(&Score));

/// What is timed: the yardstick, then longer and longer parts of the flow, then the other reports.
const RUNS: [Timed; 6] = [
    ("roxmltree, tree only", |score| drop(black_box(parse(&score.xml)))),
    ("reading", |score| {
        let _ = black_box(musicxml::read_score(score.xml.as_bytes(), &Options::default().limits));
    }),
    ("whole analysis", |score| drop(black_box(analyse(score.xml.as_bytes(), &Options::default())))),
    ("whole analysis, text report", |score| drop(black_box(assess(score)))),
    ("whole analysis, JSON", |score| {
        let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
        let _ = black_box(json::render(&analysis, "score", None));
    }),
    ("whole analysis, page", |score| {
        let analysis = analyse(score.xml.as_bytes(), &Options::default()).unwrap();
        drop(black_box(html::render(&analysis, "score", None)));
    }),
];

fn main() {
    let scores: Vec<&Score> =
        SCORES.iter().filter(|score| analyse(score.xml.as_bytes(), &Options::default()).is_ok()).collect();
    let mut best = vec![[Duration::MAX; RUNS.len()]; scores.len()];
    for _ in 0..ROUNDS {
        for (score, best) in scores.iter().zip(&mut best) {
            for (best, (_, run)) in best.iter_mut().zip(RUNS) {
                *best = timed(|| run(score)).min(*best);
            }
        }
    }
    let bytes: usize = scores.iter().map(|score| score.xml.len()).sum();
    println!("{} scores, {:.1} MB of XML", scores.len(), bytes as f64 / 1e6);
    let total = |which: usize| best.iter().map(|best| best[which]).sum::<Duration>();
    for (which, (name, _)) in RUNS.iter().enumerate() {
        let ratio = total(which).as_secs_f64() / total(0).as_secs_f64();
        println!("{name:<28} {:>10.2?}  ratio {ratio:.2}", total(which));
    }
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

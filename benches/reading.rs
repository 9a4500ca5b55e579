//! How long reading a score takes, beside parsing the same bytes into a tree with roxmltree and nothing else.
//!
//! `cargo bench --bench reading` prints the ratio over all scores (interleaved runs in one process, so that both meet the
//! same machine), then divan's times and allocations for the largest score.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods)] // a program for developers, with files and a clock

mod scores;

use std::hint::black_box;
use std::time::Duration;

use scores::{SCORES, largest, parse, timed};
use thumbunder::{Limits, musicxml};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

/// Rounds over all scores for the ratio; the fastest run of each score counts.
const ROUNDS: usize = 15;

fn main() {
    let bytes: usize = SCORES.iter().map(|score| score.xml.len()).sum();
    let mut best = vec![[Duration::MAX; 3]; SCORES.len()];
    for _ in 0..ROUNDS {
        for (score, best) in SCORES.iter().zip(&mut best) {
            let runs = [
                timed(|| drop(black_box(parse(&score.xml)))),
                timed(|| drop(black_box(musicxml::read_score(score.xml.as_bytes(), &Limits::default())))),
                timed(|| drop(black_box(musicxml::read_score(&score.bytes, &Limits::default())))),
            ];
            for (best, run) in best.iter_mut().zip(runs) {
                *best = run.min(*best);
            }
        }
    }
    let total = |which: usize| best.iter().map(|best| best[which]).sum::<Duration>();
    let [tree, read, unpacked] = [total(0), total(1), total(2)];
    println!("{} scores, {:.1} MB of XML", SCORES.len(), bytes as f64 / 1e6);
    println!("roxmltree, tree only:             {tree:>10.2?}");
    println!("reading the XML:                  {read:>10.2?}  ratio {:.2}", read.as_secs_f64() / tree.as_secs_f64());
    println!(
        "reading the file, unpacked first: {unpacked:>10.2?}  ratio {:.2}",
        unpacked.as_secs_f64() / tree.as_secs_f64()
    );
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

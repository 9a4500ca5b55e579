//! How the time of the whole of `assess` grows with the number of notes, as a table and a plot.
//!
//! `cargo run --release --example time_by_notes -- PLOT.svg` times scores of 100 to 1,000,000 notes, from bytes to the
//! text report on one thread, and writes the plot of docs/speed.md. Times are those of the processor, where the system
//! tells them, so that other work on the machine counts little. `... -- --write KIND NOTES FILE` writes one of the
//! scores instead, for `/usr/bin/time -v thumbunder assess FILE`; `... -- --time FILE` times a file beside roxmltree.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "a program for developers, with files and a clock")]

mod plot;
mod scores;

use std::error::Error;
use std::time::{Duration, Instant};

use scores::Kind;
use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::report::text;

/// Numbers of notes.
const SIZES: [usize; 9] = [100, 300, 1_000, 3_000, 10_000, 30_000, 100_000, 300_000, 1_000_000];

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["--write", kind, notes, file] => {
            let kind = Kind::ALL.into_iter().find(|known| known.name() == *kind).ok_or("no such kind")?;
            Ok(std::fs::write(file, kind.score(notes.parse()?))?)
        }
        ["--time", file] => {
            time_beside_tree(&std::fs::read_to_string(file)?);
            Ok(())
        }
        [file] => Ok(std::fs::write(file, plot::svg(&Kind::ALL.map(measure)))?),
        _ => Err("usage: time_by_notes PLOT.svg | --write KIND NOTES FILE | --time FILE".into()),
    }
}

/// Times scores of one kind: notes, and seconds.
fn measure(kind: Kind) -> (&'static str, Vec<(f64, f64)>) {
    println!("{}\n{:>9} {:>9} {:>11} {:>11}", kind.name(), "notes", "MB", "seconds", "µs a note");
    let row = |notes: usize| {
        let xml = kind.score(notes);
        let seconds = fastest(|| assess(&xml)).as_secs_f64();
        let each = seconds * 1e6 / notes as f64;
        println!("{notes:>9} {:>9.2} {seconds:>11.5} {each:>11.2}", xml.len() as f64 / 1e6);
        (notes as f64, seconds)
    };
    (kind.name(), SIZES.into_iter().map(row).collect())
}

fn assess(xml: &str) {
    let mut options = Options::default();
    options.limits.xml_bytes = u64::MAX;
    let analysis = analyse(xml.as_bytes(), &options);
    let report = analysis.map(|analysis| text::render(&analysis, "score", None, text::Style::default()));
    assert!(std::hint::black_box(report).is_ok(), "a score that is made here can be read");
}

/// Times a score beside roxmltree.
fn time_beside_tree(xml: &str) {
    let tree = fastest(|| drop(std::hint::black_box(roxmltree::Document::parse(xml))));
    let whole = fastest(|| assess(xml));
    println!("roxmltree {tree:.2?}, whole {whole:.2?}, ratio {:.2}", whole.as_secs_f64() / tree.as_secs_f64());
}

/// Batches of runs, of which the fastest counts, and how long one lasts at least: the system counts in ticks of some
/// milliseconds.
const BATCHES: usize = 4;
const BATCH: Duration = Duration::from_millis(100);

/// How long a run takes.
fn fastest(run: impl Fn()) -> Duration {
    let begin = Instant::now();
    run();
    let runs = (BATCH.as_secs_f64() / begin.elapsed().as_secs_f64()).ceil() as u32;
    let batch = || {
        let start = spent(begin);
        (0..runs).for_each(|_| run());
        spent(begin).saturating_sub(start) / runs
    };
    (0..BATCHES).map(|_| batch()).min().unwrap_or_default()
}

/// Time that this thread has had of the processor, as Linux tells it; elsewhere the time since `begin`.
fn spent(begin: Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|text| text.split(' ').next()?.parse().ok());
    nanoseconds.map_or_else(|| begin.elapsed(), Duration::from_nanos)
}

//! How long reading a score takes, beside parsing the same bytes into a tree with roxmltree and nothing else.
//!
//! `cargo bench --bench reading` prints the ratio over all scores (interleaved runs in one process, so that both meet the
//! same machine), then divan's times and allocations for the largest score. Scores: `corpus/` and, where it is there, the
//! folder that `THUMBUNDER_DATA` names.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods)] // a program for developers, with files and a clock

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use thumbunder::{Limits, musicxml};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

/// Rounds over all scores for the ratio; the fastest run of each score counts.
const ROUNDS: usize = 15;

struct Score {
    bytes: Vec<u8>,
    /// The XML inside, for roxmltree.
    xml: String,
}

static SCORES: LazyLock<Vec<Score>> = LazyLock::new(|| {
    let mut paths = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let data = std::env::var("THUMBUNDER_DATA").map_or_else(|_| root.join("../shared/data"), PathBuf::from);
    for folder in [root.join("corpus"), data] {
        collect(&folder, &mut paths);
    }
    paths.sort();
    paths.iter().filter_map(|path| load(path)).collect()
});

fn collect(folder: &Path, paths: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, paths);
        } else if path.extension().is_some_and(|end| ["musicxml", "xml", "mxl"].iter().any(|known| end == *known)) {
            paths.push(path);
        }
    }
}

/// `None` for the few that are not UTF-8, which roxmltree does not read.
fn load(path: &Path) -> Option<Score> {
    let bytes = std::fs::read(path).unwrap();
    let mut xml = Vec::new();
    if path.extension().is_some_and(|end| end == "mxl") {
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).unwrap();
        let names: Vec<String> = archive.file_names().flatten().map(std::borrow::Cow::into_owned).collect();
        let name = names.iter().find(|name| !name.starts_with("META-INF") && name.ends_with("xml")).unwrap();
        std::io::copy(&mut archive.by_name(name).unwrap(), &mut xml).unwrap();
    } else {
        xml.clone_from(&bytes);
    }
    let xml = String::from_utf8(xml).ok()?;
    Some(Score { bytes, xml })
}

fn parse(xml: &str) -> roxmltree::Document<'_> {
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    roxmltree::Document::parse_with_options(xml, options).unwrap()
}

fn timed(run: impl FnOnce()) -> Duration {
    let start = Instant::now();
    run();
    start.elapsed()
}

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

fn largest() -> &'static Score {
    SCORES.iter().max_by_key(|score| score.xml.len()).unwrap()
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

//! The scores that the benchmarks run over (`corpus/` and, where it is there, the folder that `THUMBUNDER_DATA` names),
//! and the table in which they compare what they time.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// One score.
pub struct Score {
    /// The file.
    #[allow(dead_code, reason = "not every benchmark unpacks")]
    pub bytes: Vec<u8>,
    /// The XML inside, for roxmltree.
    pub xml: String,
}

/// All scores, by path.
pub static SCORES: LazyLock<Vec<Score>> = LazyLock::new(|| {
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

/// The tree and nothing else.
pub fn parse(xml: &str) -> roxmltree::Document<'_> {
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    roxmltree::Document::parse_with_options(xml, options).unwrap()
}

/// A name, and what is timed under it.
pub type Timed = (&'static str, fn(&Score));

/// Rounds over all scores; the fastest run of each score counts.
const ROUNDS: usize = 11;

/// Prints how long each run takes over all scores, and its ratio to the first. The runs take turns in one process, so
/// that all meet the same machine.
pub fn compare(scores: &[&Score], runs: &[Timed]) {
    let mut best = vec![vec![Duration::MAX; runs.len()]; scores.len()];
    for _ in 0..ROUNDS {
        for (score, best) in scores.iter().zip(&mut best) {
            for (best, (_, run)) in best.iter_mut().zip(runs) {
                let start = Instant::now();
                run(score);
                *best = start.elapsed().min(*best);
            }
        }
    }
    let bytes: usize = scores.iter().map(|score| score.xml.len()).sum();
    println!("{} scores, {:.1} MB of XML; the fastest of {ROUNDS} runs", scores.len(), bytes as f64 / 1e6);
    let total = |which: usize| best.iter().map(|best| best[which]).sum::<Duration>();
    for (which, (name, _)) in runs.iter().enumerate() {
        let ratio = total(which).as_secs_f64() / total(0).as_secs_f64();
        println!("{name:<28} {:>10.2?}  ratio {ratio:.2}", total(which));
    }
}

/// The score with most XML.
pub fn largest() -> &'static Score {
    SCORES.iter().max_by_key(|score| score.xml.len()).unwrap()
}

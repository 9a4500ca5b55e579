//! Measures the pieces of a data folder anew and writes the table that `fit_level` reads.
//!
//! `cargo run --release --example measure_levels -- DATA` expects in DATA the folders `progressive` (`order.csv` with
//! file, order, band and level; `scores/`) and `ladder` (`levels.csv` with file and level; `scores/`), and prints the
//! table. Titles and families come from `src/level/data/pieces.csv`; no note of any score is written.
#![allow(clippy::print_stdout, clippy::disallowed_methods)]

use std::error::Error;
use std::path::{Path, PathBuf};

use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::level::{Demand, Playing, measure};

fn main() -> Result<(), Box<dyn Error>> {
    let data = PathBuf::from(std::env::args().nth(1).ok_or("usage: measure_levels DATA")?);
    let pieces = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/level/data/pieces.csv");
    let mut out = csv::Writer::from_writer(std::io::stdout());
    let mut header: Vec<String> =
        ["id", "title", "set", "family", "part", "order", "level", "quarter_bpm", "notes_to_learn"]
            .map(String::from)
            .to_vec();
    for demand in Demand::ALL {
        header.push(format!("{}_mean", demand.id()));
        header.push(format!("{}_hard", demand.id()));
    }
    out.write_record(&header)?;
    for record in csv::Reader::from_path(pieces)?.records() {
        let record = record?;
        let field = |i: usize| record.get(i).unwrap_or_default();
        let course = field(2) == "course";
        let folder = if course { "progressive" } else { "ladder" };
        let path =
            data.join(folder).join("scores").join(format!("{}.{}", field(0), if course { "xml" } else { "mxl" }));
        let opening = if course { "8" } else { "16" };
        for part in ["whole", "opening"] {
            let measures = (part == "opening").then(|| ("1".to_owned(), opening.to_owned()));
            let row = measure_file(&path, measures)?;
            let mut line: Vec<String> =
                [field(0), field(1), field(2), field(3), part, field(4), field(5)].map(String::from).to_vec();
            line.extend(row);
            out.write_record(&line)?;
        }
    }
    out.flush()?;
    Ok(())
}

/// Tempo, notes to learn and both values of every demand.
fn measure_file(path: &Path, measures: Option<(String, String)>) -> Result<Vec<String>, Box<dyn Error>> {
    let analysis = analyse(&std::fs::read(path)?, &Options { measures, ..Options::default() })?;
    let found = measure(&Playing {
        score: &analysis.score,
        hands: &analysis.hands,
        movements: [&analysis.right.movements, &analysis.left.movements],
        tempo: &analysis.tempo,
        is_part: analysis.excerpt.is_some(),
    });
    let mut values = vec![format!("{:.1}", analysis.tempo.quarter_bpm), format!("{:.2}", found.notes_to_learn)];
    for pooled in found.demands {
        values.push(format!("{:.4}", pooled.mean));
        values.push(format!("{:.4}", pooled.hard));
    }
    Ok(values)
}

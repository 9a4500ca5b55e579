//! The pieces of `corpus/` with the levels that their composers meant. The fit never sees them.

use std::error::Error;
use std::path::Path;

use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::level::{Measurements, Playing, measure};

/// One piece.
#[derive(Clone, Debug)]
pub struct Piece {
    pub title: String,
    /// Level as meant.
    pub meant: f64,
    pub measured: Measurements,
}

/// Measures every piece of the catalogue.
pub fn measured(corpus: &Path) -> Result<Vec<Piece>, Box<dyn Error>> {
    let mut reader = csv::Reader::from_path(corpus.join("catalogue.csv"))?;
    let headers = reader.headers()?.clone();
    let column = |name: &str| headers.iter().position(|h| h == name).ok_or(format!("no column `{name}`"));
    let (file, title, level) = (column("file")?, column("title")?, column("level")?);
    let mut pieces = Vec::new();
    for record in reader.records() {
        let record = record?;
        let analysis = analyse(&std::fs::read(corpus.join(&record[file]))?, &Options::default())?;
        let measured = measure(&Playing {
            score: &analysis.score,
            hands: &analysis.hands,
            movements: [&analysis.right.movements, &analysis.left.movements],
            tempo: &analysis.tempo,
            is_part: false,
        });
        pieces.push(Piece { title: record[title].to_owned(), meant: record[level].parse()?, measured });
    }
    Ok(pieces)
}

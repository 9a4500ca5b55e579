//! The shelf as CSV, for a spreadsheet: one row a file, broken ones with their reason in the last column.
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-` or `@` for a formula. Cells that come from a file are text
//! and stay text: such a cell is written with an apostrophe before it, which is how spreadsheets mark text (as the Open
//! Worldwide Application Security Project advises against formula injection). Numbers are written bare.

use csv::Writer;

use super::view as words;
use crate::shelf::{Entry, Shelf};
use crate::summary::Milli;

/// Columns, in order; new ones are added at the end only.
pub const COLUMNS: [&str; 26] = [
    "file",
    "title",
    "composer",
    "era",
    "level",
    "level_low",
    "level_high",
    "band",
    "readiness",
    "why",
    "new_scales",
    "quarter_bpm",
    "tempo_source",
    "key",
    "measures",
    "seconds",
    "notes_right",
    "notes_left",
    "right_percent",
    "demands",
    "passages",
    "drills",
    "edition",
    "crossings_with_digit_percent",
    "remarks",
    "error",
];

/// Renders the shelf.
pub fn render(shelf: &Shelf) -> Result<String, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for entry in &shelf.entries {
        writer.write_record(row(entry))?;
    }
    for broken in &shelf.broken {
        let mut cells = vec![String::new(); COLUMNS.len()];
        if let Some(first) = cells.first_mut() {
            *first = text(&broken.file);
        }
        if let Some(last) = cells.last_mut() {
            *last = text(&broken.reason);
        }
        writer.write_record(cells)?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn row(entry: &Entry) -> Vec<String> {
    let piece = &entry.piece;
    let standing = entry.standing.as_ref();
    vec![
        text(&entry.file),
        text(entry.title()),
        text(piece.composer.as_deref().unwrap_or("")),
        piece.era.map_or("", |era| era.name()).to_owned(),
        level(piece.level.value),
        level(piece.level.low),
        level(piece.level.high),
        words::band(piece.level.value).to_owned(),
        words::readiness(entry).to_owned(),
        standing.map_or(String::new(), |standing| text(&standing.sentence)),
        standing.map_or(String::new(), |standing| standing.new_scales.join("; ")),
        format!("{:.0}", piece.quarter_bpm),
        piece.tempo_source.name().to_owned(),
        piece.key.clone().unwrap_or_default(),
        piece.measures.to_string(),
        format!("{:.0}", piece.seconds),
        piece.notes[0].to_string(),
        piece.notes[1].to_string(),
        (piece.right_share / 10).to_string(),
        text(&words::demands(piece)),
        text(&words::passages(piece).join("; ")),
        piece.drills.iter().map(|drill| drill.scale.as_str()).collect::<Vec<_>>().join("; "),
        piece.edition.preparation.name().to_owned(),
        piece.edition.crossings_with_digit.percent().map_or(String::new(), |percent| percent.to_string()),
        piece.remarks.to_string(),
        String::new(),
    ]
}

/// A level as it was measured, with at least one decimal: `4.0`, `3.46`.
pub(in crate::report) fn level(level: Milli) -> String {
    format!("{:?}", level as f64 / 1000.0)
}

/// A cell that no spreadsheet takes for a formula.
pub(in crate::report) fn text(cell: &str) -> String {
    let cell: String = cell.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    // The full-width signs are taken for the plain ones by some spreadsheets.
    let risky = cell.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if risky { format!("'{cell}") } else { cell }
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::shelf;
    use super::*;

    #[test]
    fn titles_that_look_like_formulas_stay_text() {
        for (cell, expected) in [
            ("=1+1", "'=1+1"),
            ("+49 Minuets", "'+49 Minuets"),
            ("-", "'-"),
            ("@home", "'@home"),
            (" =cmd()", "' =cmd()"),
            ("\t=1", "' =1"),
            ("Air, with \"quotes\"", "Air, with \"quotes\""),
            ("two\nlines", "two lines"),
            ("", ""),
        ] {
            assert_eq!(text(cell), expected, "{cell:?}");
        }
    }

    #[test]
    fn levels_are_exact_to_the_thousandth_that_they_are_kept_in() {
        assert_eq!([3_000, 3_460, 3_499].map(level), ["3.0", "3.46", "3.499"]);
    }

    #[test]
    fn every_row_has_every_column_and_reads_back() {
        let csv = render(&shelf()).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), COLUMNS);
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), 3);
        assert_eq!(&rows[0][1], "'=1+1");
        assert_eq!((&rows[0][4], &rows[0][8]), ("4.6", "stretch"));
        assert_eq!(&rows[2][0], "a/broken.xml");
        assert!(rows[2][25].contains("line 3"));
    }
}

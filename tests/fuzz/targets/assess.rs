//! Any bytes through the whole analysis and every report.
#![no_main]

use libfuzzer_sys::fuzz_target;
use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::report::{html, json, notes_csv, text};

fuzz_target!(|bytes: &[u8]| {
    let Ok(analysis) = analyse(bytes, &Options::default()) else { return };
    let _ = text::render(&analysis, "score", None, text::Style::default());
    let _ = html::render(&analysis, "score", None, &html::Pictures::default());
    let _ = json::render(&analysis, "score", None).unwrap();
    let (right, left) = (&analysis.right.fingering, &analysis.left.fingering);
    let _ = notes_csv::render(&analysis.score, &analysis.hands, Some(right), Some(left));
});

//! Measures how many of the crossings in real music the major and minor scales contain: the figures of
//! `docs/crossings.md`.
//!
//! `cargo run --release --example crossings_in_scales -- SCORE...` prints a table; crossings are those of the inferred
//! (or printed) fingering, and a scale contains what its textbook fingering crosses.
#![allow(clippy::print_stdout, clippy::print_stderr, clippy::disallowed_methods)]

use std::collections::BTreeMap;

use thumbunder::Options;
use thumbunder::analysis::analyse;
use thumbunder::drills::{candidates, scales_practising};
use thumbunder::scales::Form;
use thumbunder::units::Hand;

/// Crossings counted: all, in a scale exactly, in a scale or nearly.
#[derive(Clone, Copy, Default)]
struct Count {
    all: usize,
    exact: usize,
    nearly: usize,
}

fn main() {
    // Bits of the major and minor scales: everything but the chromatic one.
    let scales = candidates()
        .iter()
        .enumerate()
        .filter(|(_, scale)| scale.form() != Form::Chromatic)
        .fold(0, |mask, (index, _)| mask | 1 << index);
    let mut rows: BTreeMap<String, Count> = BTreeMap::new();
    let mut scores = 0;
    for path in std::env::args_os().skip(1) {
        let bytes = std::fs::read(&path).unwrap_or_default();
        let analysis = match analyse(&bytes, &Options::default()) {
            Ok(analysis) => analysis,
            Err(error) => {
                eprintln!("{}: {error}", path.display());
                continue;
            }
        };
        scores += 1;
        for movement in Hand::BOTH.iter().flat_map(|hand| &analysis.playing(*hand).movements) {
            let Some(crossing) = movement.crossing() else { continue };
            let (kind, practising) = (crossing.kind, scales_practising(&crossing));
            let finger = movement.from_finger.max(movement.to_finger);
            for row in ["all crossings".to_owned(), kind.name().to_owned(), format!("{}, finger {finger}", kind.name())]
            {
                let count = rows.entry(row).or_default();
                count.all += 1;
                count.exact += usize::from(practising.exact & scales != 0);
                count.nearly += usize::from(practising.nearly & scales != 0);
            }
        }
    }
    println!("{scores} scores\n");
    println!("| crossings | number | in a scale | in a scale or nearly |\n|---|---|---|---|");
    for (name, count) in rows {
        let share = |part: usize| 100.0 * part as f64 / count.all.max(1) as f64;
        println!("| {name} | {} | {:.1} % | {:.1} % |", count.all, share(count.exact), share(count.nearly));
    }
}

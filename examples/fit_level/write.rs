//! Writes the constants that the program includes.

use std::fmt::Write;

use thumbunder::level::{Demand, Model};

/// The text of `src/level/weights.rs`, as `cargo fmt` would leave it.
pub fn constants(model: &Model) -> String {
    let mut text = String::from(
        "//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from\n\
         //! `data/measurements.csv`; do not edit.\n\n\
         use super::model::Model;\n\n\
         impl Model {\n    /// The weights that the program ships with.\n    pub const SHIPPED: Self = Self {\n",
    );
    let pair = |(a, b): (f64, f64)| format!("({}, {})", number(a), number(b));
    let mut put = |name: &str, value: &str| {
        let _ = writeln!(text, "        {name}: {value},");
    };
    put("base", &number(model.base));
    put("weights", &array(|d| number(model.weights[d])));
    put("least", &array(|d| number(model.least[d])));
    put("caps", &array(|d| number(model.caps[d])));
    put("usual_length", &pair(model.usual_length));
    put("endurance", &number(model.endurance));
    put("usual_points", &array(|d| pair(model.usual_points[d])));
    put("likely", &number(model.likely));
    put("likely_part", &pair(model.likely_part));
    text.push_str("    };\n}\n");
    text
}

/// One entry a line, each with the name of its demand.
fn array(entry: impl Fn(usize) -> String) -> String {
    let entries: Vec<String> = Demand::ALL.iter().map(|demand| entry(*demand as usize) + ",").collect();
    let width = entries.iter().map(String::len).max().unwrap_or(0);
    let mut text = "[\n".to_owned();
    for (entry, demand) in entries.iter().zip(Demand::ALL) {
        let _ = writeln!(text, "            {entry:width$} // {}", demand.name());
    }
    text + "        ]"
}

/// Six decimals, in threes: the weight of a square millimetre is small.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = if text == "-0.000000" { "0.000000" } else { &text };
    let (head, tail) = text.split_at(text.len() - 3);
    format!("{head}_{tail}")
}

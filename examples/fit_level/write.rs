//! Writes the constants that the program includes.

use std::fmt::Write;

use thumbunder::level::{Demand, Model};

/// The text of `src/level/weights.rs`.
pub fn constants(model: &Model) -> String {
    let mut text = String::from(
        "//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from\n\
         //! `data/measurements.csv`; do not edit.\n\n\
         use super::model::Model;\n\n\
         impl Model {\n    /// The weights that the program ships with.\n    pub const SHIPPED: Self = Self {\n",
    );
    let pair = |(a, b): (f64, f64)| format!("({}, {})", number(a), number(b));
    let mut put = |line: String| {
        let _ = writeln!(text, "        {line}");
    };
    put(format!("base: {},", number(model.base)));
    put("weights: [".to_owned());
    for demand in Demand::ALL {
        put(format!("    {}, // {}", number(model.weights[*demand as usize]), demand.name()));
    }
    put("],".to_owned());
    put("caps: [".to_owned());
    for demand in Demand::ALL {
        put(format!("    {}, // {}", number(model.caps[*demand as usize]), demand.name()));
    }
    put("],".to_owned());
    put(format!("usual_length: {},", pair(model.usual_length)));
    put(format!("endurance: {},", number(model.endurance)));
    put("usual_points: [".to_owned());
    for demand in Demand::ALL {
        put(format!("    {}, // {}", pair(model.usual_points[*demand as usize]), demand.name()));
    }
    put("],".to_owned());
    put(format!("likely: {},", number(model.likely)));
    put(format!("likely_part: {},", pair(model.likely_part)));
    text.push_str("    };\n}\n");
    text
}

/// Six decimals, in threes: the weight of a square millimetre is small.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = if text == "-0.000000" { "0.000000" } else { &text };
    let (head, tail) = text.split_at(text.len() - 3);
    format!("{head}_{tail}")
}

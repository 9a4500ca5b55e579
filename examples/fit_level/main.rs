//! Fits the weights of the level to the table of measurements, says how well that works on pieces it has not seen, and
//! writes the constants.
//!
//! `cargo run --release --example fit_level` prints the tables of `docs/level.md`; with `--write` it also writes
//! `src/level/weights.rs` and renews those tables.
#![allow(clippy::print_stdout, clippy::disallowed_methods)]

use std::error::Error;
use std::path::Path;

mod catalogue;
mod docs;
mod fit;
mod report;
mod scores;
mod table;
mod validate;
mod write;

use fit::Settings;

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let samples = table::read(&std::fs::read(root.join("src/level/data/measurements.csv"))?)?;
    let settings = Settings::shipped();
    let unseen = validate::leave_families_out(&samples, &settings);
    let model = validate::shipped_model(&samples, &settings, &unseen);
    let sections = report::sections(&samples, &settings, &unseen, &model, &catalogue::measured(&root.join("corpus"))?);
    for (name, text) in &sections {
        println!("{name}\n\n{text}");
    }
    if std::env::args().any(|argument| argument == "--write") {
        std::fs::write(root.join("src/level/weights.rs"), write::constants(&model))?;
        let docs = root.join("docs/level.md");
        std::fs::write(&docs, docs::renewed(&std::fs::read_to_string(&docs)?, &sections)?)?;
    }
    Ok(())
}

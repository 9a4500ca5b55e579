//! The face of the library on the command line: the only place that knows of files, terminals and exit statuses.
//!
//! [`args`] says what may be typed, one module a command does it, [`files`] reads and writes, [`screen`] speaks to the
//! person, [`exit`] folds what happened into an exit status.

mod args;
mod assess;
mod cache;
mod completions;
mod drill;
#[cfg(feature = "engrave")]
mod engrave;
mod engraving;
mod exit;
mod files;
mod fingering;
mod gather;
mod guard;
mod learner;
mod notes;
mod plan;
mod scale;
mod screen;
mod shelf;
mod shelf_args;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use exit::Fault;

/// Runs the command that was typed. Wrong usage never gets here: clap reports it and leaves with status 2.
pub fn run() -> ExitCode {
    let args = Args::parse();
    let screen = screen::Screen::new(args.color);
    let done = match args.command {
        Command::Assess(typed) => assess::run(&typed, screen),
        Command::Notes(typed) => notes::run(&typed, screen),
        Command::Fingering(typed) => fingering::run(&typed, screen),
        Command::Scale(typed) => scale::run(&typed, screen),
        Command::Drill(typed) => drill::run(&typed, screen),
        Command::Learner(typed) => learner::run(&typed, screen),
        Command::Shelf(typed) => shelf::run(&typed, screen),
        Command::Plan(typed) => plan::run(&typed, screen),
        Command::Completions(typed) => completions::run(&typed),
    };
    exit::status(done, screen)
}

fn csv_fault(error: &csv::Error) -> Fault {
    Fault::failed(format!("failed to write CSV: {error}"))
}

fn json_fault(error: &serde_json::Error) -> Fault {
    Fault::failed(format!("failed to write JSON: {error}"))
}

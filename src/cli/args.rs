//! What may be typed: commands, options, and the help a person reads.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

use super::screen::When;

const EXAMPLES: &str = "\
Examples:
  thumbunder completions bash > thumbunder.bash

Exit status: 0 all reported, 1 some file failed (the others are still
reported), 2 wrong usage.";

/// Reads a piano score, says how hard it is for each hand and why, and prescribes the scales to drill first.
#[derive(Parser, Debug)]
#[command(version, max_term_width = 80, after_help = EXAMPLES, disable_help_subcommand = true)]
pub struct Args {
    /// Colour in text reports: on a terminal (`NO_COLOR` is respected), always, or never
    #[arg(long, global = true, value_enum, default_value_t = When::Auto, value_name = "WHEN", hide_possible_values = true)]
    pub color: When,
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Print the completion script of a shell
    Completions(CompletionsArgs),
}

/// `completions`
#[derive(clap::Args, Debug)]
pub struct CompletionsArgs {
    /// Which shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

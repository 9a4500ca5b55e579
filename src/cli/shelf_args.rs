//! What may be typed after `learner`, `shelf` and `plan`.

use std::path::PathBuf;

use clap::{Subcommand, ValueEnum};
use thumbunder::edition::Preparation;
use thumbunder::passages::PassageKind;
use thumbunder::readiness::Verdict;
use thumbunder::scales::Scale;
use thumbunder::shelf::{Filter, KeyFilter, Order, Query, Range};
use thumbunder::summary::Era;
use thumbunder::units::Hand;

use super::args::LimitArgs;

pub const LEARNER_EXAMPLES: &str = "\
Examples:
  thumbunder learner new -o wren.toml
  thumbunder learner check wren.toml";

pub const SHELF_EXAMPLES: &str = "\
Examples:
  thumbunder shelf ~/music
  thumbunder shelf ~/music --learner wren.toml --readiness stretch
  thumbunder shelf ~/music --level 3-5 --passage 'scale run' --hand left
  thumbunder shelf ~/music --learner wren.toml --format html -o shelf.html

A second run over files that have not changed is read from a cache.";

pub const PLAN_EXAMPLES: &str = "\
Examples:
  thumbunder plan ~/music --learner wren.toml
  thumbunder plan ~/music --learner wren.toml --goal sonatina.mxl
  thumbunder plan ~/music --learner wren.toml --format svg -o path.svg";

/// `learner`
#[derive(clap::Args, Debug)]
pub struct LearnerArgs {
    #[command(subcommand)]
    pub command: LearnerCommand,
}

/// What to do with a learner file.
#[derive(Subcommand, Debug)]
pub enum LearnerCommand {
    /// Write a learner file with every line explained, to fill in
    New {
        /// Write to this file instead of standard output; a file that exists is kept
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// Say what a learner file holds, or what is wrong with it
    Check {
        /// The learner file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

/// Where scores are found, for `shelf` and `plan`.
#[derive(clap::Args, Debug)]
pub struct GatherArgs {
    /// Folders to walk; scores are known by their content where the ending misleads. Files are taken as they are
    #[arg(value_name = "FOLDER", required = true)]
    pub folders: Vec<PathBuf>,
    /// Files assessed at a time; as many as there are processors unless told otherwise
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub jobs: Option<u16>,
    /// Neither read from nor write to the cache
    #[arg(long)]
    pub no_cache: bool,
    /// Keep the cache in this folder instead of the user's own
    #[arg(long, value_name = "FOLDER", conflicts_with = "no_cache")]
    pub cache: Option<PathBuf>,
    #[command(flatten)]
    pub limits: LimitArgs,
}

/// `shelf`
#[derive(clap::Args, Debug)]
pub struct ShelfArgs {
    #[command(flatten)]
    pub gather: GatherArgs,
    /// Judge every piece for the player of this file (see `learner new`)
    #[arg(long, value_name = "FILE")]
    pub learner: Option<PathBuf>,
    #[command(flatten)]
    pub query: QueryArgs,
    /// New scales to suggest
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(0..=12))]
    pub scales: u8,
    /// What to write
    #[arg(long, value_enum, default_value_t = ShelfFormat::Text)]
    pub format: ShelfFormat,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// Which pieces, in which order.
#[derive(clap::Args, Debug)]
#[command(next_help_heading = "Which pieces")]
pub struct QueryArgs {
    /// Level: 4, 3-5, 4.5-
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true)]
    level: Option<Range>,
    /// A key signature in the piece: `E-flat major`, or `minor`
    #[arg(long, value_name = "KEY", value_parser = Filter::parse_key)]
    key: Option<KeyFilter>,
    /// right or left: the hand of the passage or drill asked for; alone, the hand that bears more
    #[arg(long, value_name = "HAND", value_parser = hand)]
    hand: Option<Hand>,
    /// A kind of passage: `scale run`, `octaves`, ...
    #[arg(long, value_name = "KIND", value_parser = passage)]
    passage: Option<String>,
    /// A scale among the drills: `C minor`
    #[arg(long, value_name = "SCALE", value_parser = |text: &str| Scale::parse(text, None))]
    drill: Option<Scale>,
    /// Minutes of playing: -3, 2-5
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true)]
    length: Option<Range>,
    /// ready, stretch, later; several with commas
    #[arg(long, value_name = "WORDS", value_parser = Filter::parse_readiness)]
    readiness: Option<Words<Verdict>>,
    /// renaissance, baroque, classical, romantic, modern, where the file tells
    #[arg(long, value_name = "WORDS", value_parser = Filter::parse_era)]
    era: Option<Words<Era>>,
    /// How well the print is prepared: well, partly, bare
    #[arg(long, value_name = "WORDS", value_parser = Filter::parse_edition)]
    edition: Option<Words<Preparation>>,
    /// Text in title, composer or file name
    #[arg(long, value_name = "TEXT")]
    find: Option<String>,
    /// next, level, title, composer, era, key, tempo, length, readiness, edition, hand, file; `-` before one turns it
    /// around, several with commas
    #[arg(long, value_name = "ORDERS", allow_hyphen_values = true, value_parser = orders)]
    sort: Option<Words<(Order, bool)>>,
}

/// Several words typed as one value; clap would take a plain vector for values typed one by one.
type Words<T> = Vec<T>;

impl QueryArgs {
    /// What was typed, as the library takes it.
    pub fn query(&self) -> Query {
        let filter = Filter {
            level: self.level,
            key: self.key,
            hand: self.hand,
            passage: self.passage.clone(),
            drill: self.drill,
            minutes: self.length,
            readiness: self.readiness.clone().unwrap_or_default(),
            era: self.era.clone().unwrap_or_default(),
            edition: self.edition.clone().unwrap_or_default(),
            text: self.find.clone(),
        };
        Query { filter, orders: self.sort.clone().unwrap_or_default() }
    }

    /// Whether readiness is asked for, which needs a learner.
    pub fn asks_for_readiness(&self) -> bool {
        self.readiness.is_some() || self.sort.iter().flatten().any(|(order, _)| matches!(order, Order::Readiness))
    }
}

fn hand(text: &str) -> Result<Hand, String> {
    match text.to_lowercase().as_str() {
        "right" | "r" => Ok(Hand::Right),
        "left" | "l" => Ok(Hand::Left),
        _ => Err("expected right or left".to_owned()),
    }
}

fn passage(text: &str) -> Result<String, String> {
    Filter::parse_passage(text, &PassageKind::NAMES).map_err(|error| error.to_string())
}

fn orders(text: &str) -> Result<Vec<(Order, bool)>, String> {
    text.split(',').map(|order| Order::parse(order).map_err(|error| error.to_string())).collect()
}

/// How `shelf` writes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum ShelfFormat {
    /// To read on a terminal
    Text,
    /// For a spreadsheet
    Csv,
    /// For other programs
    Json,
    /// A page to sort and filter, for screen, phone and paper, that needs nothing else
    Html,
}

/// `plan`
#[derive(clap::Args, Debug)]
pub struct PlanArgs {
    #[command(flatten)]
    pub gather: GatherArgs,
    /// Whose plan: the player of this file (see `learner new`)
    #[arg(long, value_name = "FILE", required = true)]
    pub learner: PathBuf,
    /// New scales a lesson at most
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub scales: u8,
    /// Lessons at most
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = clap::value_parser!(u8).range(1..=60))]
    pub lessons: u8,
    /// Alternatives to each piece at most
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(0..=12))]
    pub alternatives: u8,
    /// Keep only what leads to this piece, by file or title
    #[arg(long, value_name = "PIECE")]
    pub goal: Option<String>,
    /// What to write
    #[arg(long, value_enum, default_value_t = PlanFormat::Text)]
    pub format: PlanFormat,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// How `plan` writes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum PlanFormat {
    /// To read on a terminal
    Text,
    /// For a spreadsheet
    Csv,
    /// For other programs, with the graph of what comes before what
    Json,
    /// A picture of the path
    Svg,
    /// A page with the picture and the lessons
    Html,
}

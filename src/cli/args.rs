//! What may be typed: commands, options, and the help a person reads.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use thumbunder::units::Hand;
use thumbunder::{Limits, Options};

use super::screen::When;
use super::shelf_args::{LEARNER_EXAMPLES, LearnerArgs, PLAN_EXAMPLES, PlanArgs, SHELF_EXAMPLES, ShelfArgs};

const EXAMPLES: &str = "\
Examples:
  thumbunder assess minuet.mxl
  thumbunder assess *.musicxml --format json -o pieces.json
  thumbunder notes minuet.mxl | head
  thumbunder scale E-flat major
  thumbunder drill --scale Eb -o practice.musicxml
  thumbunder shelf ~/music --learner wren.toml
  thumbunder plan ~/music --learner wren.toml

Exit status: 0 all reported, 1 some file failed (the others are still
reported), 2 wrong usage.";

const ASSESS_EXAMPLES: &str = "\
Examples:
  thumbunder assess minuet.mxl
  thumbunder assess minuet.mxl --measures 17-24 --tempo 96
  thumbunder assess minuet.mxl --learner wren.toml
  thumbunder assess minuet.mxl --format html -o minuet.html
  thumbunder assess --format json -o pieces.json *.musicxml";

const NOTES_EXAMPLES: &str = "\
Example:
  thumbunder notes minuet.mxl -o minuet.csv

Onsets and durations are in quarter notes from the start of the score; repeats
are not unfolded; midi 60 is middle C; grace notes have the onset of their main
note and no duration.";

const FINGERING_EXAMPLES: &str = "\
Examples:
  thumbunder fingering minuet.mxl --measures 9-12 --hand left
  thumbunder fingering minuet.mxl --learner wren.toml --format json

Shows the fingers that every report assumes and what each rule cost, so that you
can disagree with a reason. Print a digit in the score to settle a finger.";

const SCALE_EXAMPLES: &str = "\
Examples:
  thumbunder scale E-flat major
  thumbunder scale c# minor --form melodic --octaves 3 --hand right
  thumbunder scale Bb --format json";

const DRILL_EXAMPLES: &str = "\
Examples:
  thumbunder drill --scale \"E-flat major\" -o practice.musicxml
  thumbunder drill --scale \"c minor\" --form melodic --octaves 4 --tempo 60
  thumbunder drill --scale Bb --arpeggio Bb --broken-chord Bb --hand left
  thumbunder drill minuet.mxl -o practice.musicxml

The sheet is MusicXML 4.0, which any notation program opens: the hands apart,
then together, the hardest transition alone, and rhythms, accents and dynamics
to make it even.";

const COMPLETIONS_EXAMPLES: &str = "\
Example:
  thumbunder completions bash > ~/.local/share/bash-completion/completions/thumbunder";

/// Reads a piano score, says how hard it is for each hand and why, and prescribes the scales to drill first.
#[derive(Parser, Debug)]
#[command(version, max_term_width = 80, after_help = EXAMPLES, disable_help_subcommand = true)]
pub struct Args {
    /// Colour in text: auto (on a terminal, unless `NO_COLOR` is set), always or never
    #[arg(long, global = true, value_enum, default_value_t = When::Auto, value_name = "WHEN", hide_possible_values = true)]
    pub color: When,
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Say what each hand has to do, how hard that is and what to drill first
    #[command(after_help = ASSESS_EXAMPLES)]
    Assess(AssessArgs),
    /// List the notes with their hands and fingers, as CSV
    #[command(after_help = NOTES_EXAMPLES)]
    Notes(NotesArgs),
    /// Explain the fingering of a passage: which rule cost what
    #[command(after_help = FINGERING_EXAMPLES)]
    Fingering(FingeringArgs),
    /// Show a scale: signature, fingering of both hands, crossings, what to isolate
    #[command(after_help = SCALE_EXAMPLES)]
    Scale(ScaleArgs),
    /// Write a sheet to practise from: scales, arpeggios and broken chords with fingering
    #[command(after_help = DRILL_EXAMPLES)]
    Drill(DrillArgs),
    /// Write or check a learner file: what one player has
    #[command(after_help = LEARNER_EXAMPLES)]
    Learner(LearnerArgs),
    /// Assess whole folders: levels, drills and editions in one table, and which scales to learn next
    #[command(after_help = SHELF_EXAMPLES)]
    Shelf(Box<ShelfArgs>),
    /// Plan a series of lessons from a shelf: which scales and pieces in which order
    #[command(after_help = PLAN_EXAMPLES)]
    Plan(PlanArgs),
    /// Print the completion script of a shell
    #[command(after_help = COMPLETIONS_EXAMPLES)]
    Completions(CompletionsArgs),
}

/// How a score is read.
#[derive(clap::Args, Debug)]
pub struct ReadingArgs {
    /// Quarter notes a minute, instead of what the score says
    #[arg(long, value_name = "BPM", value_parser = tempo)]
    tempo: Option<f64>,
    /// Only these measures, by printed number: `17-24`, or one
    #[arg(long, value_name = "A-B", value_parser = measures)]
    measures: Option<(String, String)>,
    /// Fail on scores with anything odd or missing instead of remarking on it
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    limits: LimitArgs,
}

/// Limits that were raised.
#[derive(clap::Args, Debug)]
pub struct LimitArgs {
    /// Raise a limit that guards against hostile files: `notes=5000000`
    #[arg(long = "limit", value_name = "NAME=N", value_parser = limit)]
    limits: Vec<(Limit, u64)>,
}

impl LimitArgs {
    /// All limits, those that were raised as typed.
    pub fn limits(&self) -> Limits {
        let mut limits = Limits::default();
        for (limit, value) in &self.limits {
            *limit.of(&mut limits) = *value;
        }
        limits
    }
}

impl ReadingArgs {
    /// What was typed, as the library takes it.
    pub fn options(&self) -> Options {
        Options {
            strict: self.strict,
            quarter_bpm: self.tempo,
            measures: self.measures.clone(),
            limits: self.limits.limits(),
            ..Options::default()
        }
    }
}

/// `assess`
#[derive(clap::Args, Debug)]
pub struct AssessArgs {
    /// Scores: MusicXML (.musicxml, .xml) or compressed (.mxl); `-` is standard input
    #[arg(value_name = "SCORE", required = true)]
    pub scores: Vec<PathBuf>,
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Judge the piece for the player of this file, with a schedule in weeks (see `learner new`)
    #[arg(long, value_name = "FILE")]
    pub learner: Option<PathBuf>,
    /// What to write
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// How `assess` writes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum Format {
    /// To read on a terminal
    Text,
    /// For other programs: one object, or an array for several scores
    Json,
    /// A page for screen, phone and paper that needs nothing else; one score
    Html,
}

/// `notes`
#[derive(clap::Args, Debug)]
pub struct NotesArgs {
    /// The score; `-` is standard input
    #[arg(value_name = "SCORE")]
    pub score: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// `fingering`
#[derive(clap::Args, Debug)]
pub struct FingeringArgs {
    /// The score; `-` is standard input
    #[arg(value_name = "SCORE")]
    pub score: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Which hand
    #[arg(long, value_enum, default_value_t = HandChoice::Both)]
    pub hand: HandChoice,
    /// Finger for the hands of this player (see `learner new`)
    #[arg(long, value_name = "FILE")]
    pub learner: Option<PathBuf>,
    /// What to write
    #[arg(long, value_enum, default_value_t = TextOrJson::Text)]
    pub format: TextOrJson,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// `scale`
#[derive(clap::Args, Debug)]
pub struct ScaleArgs {
    /// The key, in one word or several: `Eb`, `E-flat major`, `f# minor`, `chromatic`
    #[arg(value_name = "KEY", required = true)]
    pub key: Vec<String>,
    /// major, natural, harmonic, melodic or chromatic; a minor key is harmonic unless told otherwise
    #[arg(long, value_name = "FORM")]
    pub form: Option<String>,
    /// How many octaves, 1 to 5
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=5))]
    pub octaves: u8,
    /// Which hand
    #[arg(long, value_enum, default_value_t = HandChoice::Both)]
    pub hand: HandChoice,
    /// What to write
    #[arg(long, value_enum, default_value_t = TextOrJson::Text)]
    pub format: TextOrJson,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// One hand or both.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum HandChoice {
    Both,
    Right,
    Left,
}

impl HandChoice {
    /// The hands, right first.
    pub fn hands(self) -> &'static [Hand] {
        match self {
            Self::Both => &Hand::BOTH,
            Self::Right => &[Hand::Right],
            Self::Left => &[Hand::Left],
        }
    }
}

/// How `scale` and `fingering` write.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum TextOrJson {
    /// To read on a terminal
    Text,
    /// For other programs
    Json,
}

/// `drill`
#[derive(clap::Args, Debug)]
pub struct DrillArgs {
    /// A score, for what it is made of; `-` is standard input
    #[arg(value_name = "SCORE", required_unless_present_any = ["scales", "arpeggios", "broken_chords"])]
    #[arg(conflicts_with_all = ["scales", "arpeggios", "broken_chords", "form"])]
    pub score: Option<PathBuf>,
    /// A scale, by key; may be given several times
    #[arg(long = "scale", value_name = "KEY")]
    pub scales: Vec<String>,
    /// The arpeggio of a key
    #[arg(long = "arpeggio", value_name = "KEY")]
    pub arpeggios: Vec<String>,
    /// The chord of a key and its inversions, broken
    #[arg(long = "broken-chord", value_name = "KEY")]
    pub broken_chords: Vec<String>,
    /// major, natural, harmonic, melodic or chromatic, for the scales
    #[arg(long, value_name = "FORM")]
    pub form: Option<String>,
    /// How many octaves, 1 to 5; else 2, or for a score those of each drill
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=5))]
    pub octaves: Option<u8>,
    /// Which hand
    #[arg(long, value_enum, default_value_t = HandChoice::Both)]
    pub hand: HandChoice,
    /// Speed to arrive at, in quarter notes a minute as printed on the sheet
    #[arg(long, value_name = "BPM", value_parser = tempo)]
    pub tempo: Option<f64>,
    /// Only the runs and the loop, without rhythms, accents and dynamics
    #[arg(long)]
    pub brief: bool,
    /// Write to this file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
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

/// The limits by name, each with its field.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
enum Limit {
    XmlBytes,
    ArchiveEntries,
    ArchiveRatio,
    Depth,
    ElementSize,
    TextLength,
    Parts,
    Measures,
    Notes,
    Marks,
    Voices,
    Memory,
    Seconds,
}

impl Limit {
    fn of(self, limits: &mut Limits) -> &mut u64 {
        match self {
            Self::XmlBytes => &mut limits.xml_bytes,
            Self::ArchiveEntries => &mut limits.archive_entries,
            Self::ArchiveRatio => &mut limits.archive_ratio,
            Self::Depth => &mut limits.depth,
            Self::ElementSize => &mut limits.element_size,
            Self::TextLength => &mut limits.text_length,
            Self::Parts => &mut limits.parts,
            Self::Measures => &mut limits.measures,
            Self::Notes => &mut limits.notes,
            Self::Marks => &mut limits.marks,
            Self::Voices => &mut limits.voices,
            Self::Memory => &mut limits.memory,
            Self::Seconds => &mut limits.seconds,
        }
    }
}

fn limit(text: &str) -> Result<(Limit, u64), String> {
    let names = || {
        let known = Limit::value_variants().iter().filter_map(ValueEnum::to_possible_value);
        known.map(|value| value.get_name().to_owned()).collect::<Vec<_>>().join(", ")
    };
    let (name, value) = text.split_once('=').ok_or("expected NAME=N, such as notes=5000000")?;
    let limit =
        Limit::from_str(name, false).map_err(|_| format!("no limit is called `{name}`; there are {}", names()))?;
    let value = value.parse().map_err(|_| format!("`{value}` is not a whole number"))?;
    Ok((limit, value))
}

/// Quarter notes a minute that make sense. Chosen by us: slower than any metronome and faster than any hand.
const TEMPO: std::ops::RangeInclusive<f64> = 5.0..=1000.0;

fn tempo(text: &str) -> Result<f64, String> {
    let bpm: f64 = text.parse().map_err(|_| "expected a number of quarter notes a minute")?;
    if TEMPO.contains(&bpm) { Ok(bpm) } else { Err(format!("expected {} to {}", TEMPO.start(), TEMPO.end())) }
}

/// `17-24` or `17`; printed numbers may have letters (`X1`) and, unlike a dash in the middle, a dash at the start.
fn measures(text: &str) -> Result<(String, String), String> {
    let (from, to) = match text.char_indices().skip(1).find(|(_, c)| matches!(c, '-' | '–')) {
        Some((dash, c)) => (&text[..dash], &text[dash + c.len_utf8()..]),
        None => (text, text),
    };
    let (from, to) = (from.trim(), to.trim());
    if from.is_empty() || to.is_empty() {
        return Err("expected two measure numbers, such as 17-24".to_owned());
    }
    Ok((from.to_owned(), to.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_well_formed() {
        Args::command().debug_assert();
    }

    #[test]
    fn an_excerpt_is_one_measure_or_two() {
        assert_eq!(measures("17-24"), Ok(("17".to_owned(), "24".to_owned())));
        assert_eq!(measures("X1"), Ok(("X1".to_owned(), "X1".to_owned())));
        assert_eq!(measures("-1-4"), Ok(("-1".to_owned(), "4".to_owned())));
        assert!(measures("17-").is_err());
        assert!(measures("").is_err());
    }

    #[test]
    fn a_tempo_is_a_number_that_a_hand_could_follow() {
        assert_eq!(tempo("96"), Ok(96.0));
        for wrong in ["0", "-3", "NaN", "inf", "1e9", "fast"] {
            assert!(tempo(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn limits_are_raised_by_name() {
        assert_eq!(limit("notes=7"), Ok((Limit::Notes, 7)));
        assert!(limit("noses=7").unwrap_err().contains("xml-bytes"));
        assert!(limit("notes").is_err() && limit("notes=-1").is_err());
    }
}

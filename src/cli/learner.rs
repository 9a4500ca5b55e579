//! `learner`, and reading a learner file for the other commands.

use std::path::Path;

use thumbunder::Limits;
use thumbunder::learner::{Learner, PlayedPiece, TEMPLATE};
use thumbunder::readiness::Ability;
use thumbunder::summary::PieceSummary;

use super::cache::{Cache, Known};
use super::exit::{Fault, Outcome};
use super::files::{self, Output};
use super::gather;
use super::screen::Screen;
use super::shelf_args::{LearnerArgs, LearnerCommand};

/// Bytes of a learner file at most.
const LONGEST: u64 = 1 << 20;

/// A learner, with the scores of the pieces played as far as they were found.
pub struct Loaded {
    /// As in the file.
    pub learner: Learner,
    /// Runs parallel to the learner's pieces.
    pub played: Vec<Option<PieceSummary>>,
}

/// Writes a new learner file, or checks one.
pub fn run(typed: &LearnerArgs, screen: Screen) -> Result<Outcome, Fault> {
    match &typed.command {
        LearnerCommand::New { output } => {
            if let Some(path) = output.as_deref().filter(|path| path.is_file()) {
                return Err(Fault::usage(format!("`{}` exists already", path.display()))
                    .hint("name another file, or remove it first"));
            }
            Output::new(output.as_deref())?.write(TEMPLATE.as_bytes())?;
            Ok(Outcome::AllReported)
        }
        LearnerCommand::Check { file } => check(file, screen),
    }
}

fn check(file: &Path, screen: Screen) -> Result<Outcome, Fault> {
    let Some(loaded) = load(file, &Limits::default(), &Cache::none(), screen)? else {
        return Ok(Outcome::SomeFailed);
    };
    let Loaded { learner, played } = &loaded;
    let count = |number: usize, noun: &str| format!("{number} {noun}{}", if number == 1 { "" } else { "s" });
    let named: Vec<&PlayedPiece> = learner.pieces.iter().filter(|piece| piece.file.is_some()).collect();
    let found = played.iter().flatten().count();
    let mut text = format!(
        "{}: {}, {}{}\n",
        learner.name.as_deref().unwrap_or("a learner"),
        count(learner.scales.len(), "scale"),
        count(learner.pieces.len(), "piece"),
        if named.is_empty() { String::new() } else { format!(" ({found} of {} scores found)", named.len()) }
    );
    text.push_str(&format!("level {}\n", loaded.ability().level_and_source()));
    text.push_str(&format!(
        "{:.0} minutes a day on {} of the week\n",
        learner.minutes_a_day,
        count(usize::from(learner.days_a_week), "day")
    ));
    let text: String = text.chars().map(|c| if c.is_control() && c != '\n' { '\u{fffd}' } else { c }).collect();
    Output::new(None)?.write(text.as_bytes())?;
    Ok(if found == named.len() { Outcome::AllReported } else { Outcome::SomeFailed })
}

/// Reads a learner file and assesses the scores that it names; what is wrong is on the screen, and then there is none.
pub fn load(path: &Path, limits: &Limits, cache: &Cache, screen: Screen) -> Result<Option<Loaded>, Fault> {
    let named = |fault: Fault| Fault { what: format!("learner file `{}`: {}", path.display(), fault.what), ..fault };
    let bytes = files::read(path, LONGEST).map_err(|fault| named(Fault { hint: None, ..fault }))?;
    let text = String::from_utf8(bytes).map_err(|_| named(Fault::failed("is not text in UTF-8")))?;
    let learner = match Learner::from_toml(&text) {
        Ok(learner) => learner,
        Err(faults) => {
            for fault in faults.0 {
                let told = Fault::failed(format!("line {}: {}", fault.line, fault.what));
                let told = fault.hint.into_iter().fold(told, Fault::hint);
                screen.fault(Some(path.as_os_str()), &told);
            }
            return Ok(None);
        }
    };
    let folder = path.parent().unwrap_or(Path::new("."));
    let played = learner
        .pieces
        .iter()
        .map(|piece| {
            let score = folder.join(piece.file.as_ref()?);
            match gather::assess(&score, limits, cache) {
                Known::Piece(piece) => Some(*piece),
                Known::Broken(reason) => {
                    screen.fault(
                        Some(score.as_os_str()),
                        &Fault::failed(reason).hint("the piece counts by its level alone"),
                    );
                    None
                }
            }
        })
        .collect();
    Ok(Some(Loaded { learner, played }))
}

impl Loaded {
    /// Finds pieces without a score on the shelf, by title and, where both are known, composer.
    pub fn find_on(&mut self, gathered: &[(String, PieceSummary)]) {
        let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
        for (piece, played) in self.learner.pieces.iter().zip(&mut self.played) {
            let (Some(title), None) = (&piece.title, &played) else { continue };
            let fits = |found: &&(String, PieceSummary)| {
                found.1.title.as_deref().is_some_and(|known| same(known, title))
                    && match (&piece.composer, &found.1.composer) {
                        (Some(a), Some(b)) => same(a, b),
                        _ => true,
                    }
            };
            *played = gathered.iter().find(fits).map(|(_, piece)| piece.clone());
        }
    }

    /// What the player has.
    pub fn ability(&self) -> Ability {
        let played: Vec<Option<&PieceSummary>> = self.played.iter().map(Option::as_ref).collect();
        Ability::new(&self.learner, &played)
    }
}

//! A folder of scores, assessed: which piece next, and which scales would open most of it.
//!
//! In: summaries of pieces, and what the player has. Out: a [`Shelf`]: the rows that a [`Query`] lets through in its
//! order, the files that could not be read with their reasons, and the [`NextScales`]. The order of the input does not
//! matter: equal rows go by their file names.

mod next_scales;
mod query;
mod range;

use crate::readiness::{Ability, Verdict, assess_readiness};
use crate::summary::{DrillNeed, PieceSummary};

pub use next_scales::{NextScale, NextScales, Of, choose_next_scales, crossings_of_all};
pub use query::{Filter, KeyFilter, Order, Query, QueryError};
pub use range::Range;

/// A piece on the shelf.
#[derive(Clone, PartialEq, Debug)]
pub struct Entry {
    /// The file, as reports name it.
    pub file: String,
    /// What is in it.
    pub piece: PieceSummary,
    /// What it is to the player, when there is one.
    pub standing: Option<Standing>,
}

/// What a piece is to a player, in short.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Standing {
    /// Ready, stretch or later.
    pub verdict: Verdict,
    /// Why, in a sentence.
    pub sentence: String,
    /// Names of the new scales it needs.
    pub new_scales: Vec<String>,
    /// Levels above the player's, in thousandths.
    pub above: i64,
}

/// A file that gives no report.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Broken {
    /// The file.
    pub file: String,
    /// Why, in one line.
    pub reason: String,
}

/// The shelf as a report shows it.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Shelf {
    /// The player, for the heading.
    pub learner: Option<String>,
    /// Whether readiness was judged.
    pub judged: bool,
    /// Rows, in order.
    pub entries: Vec<Entry>,
    /// Pieces that the filters left out.
    pub left_out: usize,
    /// Files without a report, by name.
    pub broken: Vec<Broken>,
    /// Scales worth learning next.
    pub next_scales: NextScales,
}

impl Entry {
    /// A piece, judged for a player if there is one.
    pub fn new(file: String, piece: PieceSummary, ability: Option<&Ability>) -> Self {
        let standing = ability.map(|ability| {
            let readiness = assess_readiness(&piece, ability);
            Standing {
                verdict: readiness.verdict,
                sentence: readiness.sentence(),
                new_scales: readiness.new_scales(),
                above: piece.level.value - ability.level,
            }
        });
        Self { file, piece, standing }
    }

    /// The title, else the name of the file.
    pub fn title(&self) -> &str {
        let name = self.file.rsplit(['/', '\\']).next().unwrap_or(&self.file);
        self.piece.title_or(name)
    }
}

/// Puts a shelf together. `count` is the number of new scales asked for.
pub fn arrange(
    entries: Vec<Entry>,
    mut broken: Vec<Broken>,
    query: &Query,
    learner: Option<(Option<String>, &Ability)>,
    count: usize,
) -> Shelf {
    let (name, ability) = learner.map_or((None, None), |(name, ability)| (name, Some(ability)));
    let all = entries.len();
    let mut entries: Vec<Entry> = entries.into_iter().filter(|entry| query.lets_through(entry)).collect();
    query.sort(&mut entries);
    broken.sort();
    let next_scales = choose_next_scales(&entries, ability, count);
    Shelf { learner: name, judged: ability.is_some(), left_out: all - entries.len(), entries, broken, next_scales }
}

/// The drills of a piece in a line: `E-flat major, C harmonic minor and 2 more`.
pub fn drills_in_short(drills: &[DrillNeed], most: usize) -> String {
    let names: Vec<&str> = drills.iter().take(most).map(|drill| drill.scale.as_str()).collect();
    match drills.len().saturating_sub(most) {
        0 => names.join(", "),
        more => format!("{} and {more} more", names.join(", ")),
    }
}

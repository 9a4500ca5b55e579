//! What one player has: scales, pieces, hands, time.
//!
//! In: the text of a learner file. Out: a [`Learner`], or every fault of the file with its line. Everything in the file
//! is optional: what is left out is simply not known. A hand with limits of its own is normal here.

mod fault;
mod file;
pub mod intervals;
mod judge;

use crate::player::{HandShape, Player};
use crate::scales::Scale;
use crate::units::Hand;

pub use fault::{Fault, Faults};

/// The commented file that `learner new` writes.
pub const TEMPLATE: &str = include_str!("template.toml");

/// One player.
#[derive(Clone, PartialEq, Debug)]
pub struct Learner {
    /// For headings.
    pub name: Option<String>,
    /// Minutes at the keyboard on a day of practice.
    pub minutes_a_day: f64,
    /// Days of practice in a week.
    pub days_a_week: u8,
    /// Where a teacher sees the player, 1 to 9.
    pub level: Option<f64>,
    /// The right hand.
    pub right: LearnerHand,
    /// The left hand.
    pub left: LearnerHand,
    /// Scales the player has, in the order of the file.
    pub scales: Vec<KnownScale>,
    /// Pieces the player has played, in the order of the file.
    pub pieces: Vec<PlayedPiece>,
}

/// One hand of the learner.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LearnerHand {
    /// Its spans and limits.
    pub shape: HandShape,
    /// True when the file gives a span for it; otherwise the shape is that of an average hand.
    pub span_given: bool,
    /// False for a hand that does not play at present.
    pub plays: bool,
}

impl Default for LearnerHand {
    fn default() -> Self {
        Self { shape: HandShape::default(), span_given: false, plays: true }
    }
}

/// How the hands play a known scale.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum HandsKnown {
    /// The right hand only.
    Right,
    /// The left hand only.
    Left,
    /// Each hand alone.
    Apart,
    /// Both at once.
    Together,
}

impl HandsKnown {
    /// Whether this hand has the scale.
    pub fn has(self, hand: Hand) -> bool {
        match self {
            Self::Right => hand == Hand::Right,
            Self::Left => hand == Hand::Left,
            Self::Apart | Self::Together => true,
        }
    }

    /// As in the file and in reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right hand",
            Self::Left => "left hand",
            Self::Apart => "hands apart",
            Self::Together => "hands together",
        }
    }
}

/// A scale that the player has.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct KnownScale {
    /// Which.
    pub scale: Scale,
    /// With which hands.
    pub hands: HandsKnown,
    /// Over how many octaves.
    pub octaves: u8,
    /// Comfortable speed in notes a second, where given.
    pub notes_per_second: Option<f64>,
}

/// How a piece went.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Went {
    /// With effort and without success.
    Badly,
    /// Through, with stops or under tempo.
    Fairly,
    /// Fluently, at or near its tempo.
    Well,
}

impl Went {
    /// As in the file and in reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Badly => "badly",
            Self::Fairly => "fairly",
            Self::Well => "well",
        }
    }
}

/// A piece that the player has played.
#[derive(Clone, PartialEq, Debug)]
pub struct PlayedPiece {
    /// Title, for the shelf to find it by.
    pub title: Option<String>,
    /// Composer, where titles are alike.
    pub composer: Option<String>,
    /// The score, seen from the folder of the learner file.
    pub file: Option<String>,
    /// How hard it was, 1 to 9, where the player or a teacher says so.
    pub level: Option<f64>,
    /// How it went; well unless said otherwise.
    pub went: Went,
}

/// Minutes of practice a day where the file says nothing. Chosen by us: a usual length for a first-year player's day,
/// and short enough that a schedule made from it is kept.
pub const USUAL_MINUTES_A_DAY: f64 = 30.0;

/// Days of practice a week where the file says nothing. Common practice, no source: one day of rest.
pub const USUAL_DAYS_A_WEEK: u8 = 6;

impl Default for Learner {
    fn default() -> Self {
        Self {
            name: None,
            minutes_a_day: USUAL_MINUTES_A_DAY,
            days_a_week: USUAL_DAYS_A_WEEK,
            level: None,
            right: LearnerHand::default(),
            left: LearnerHand::default(),
            scales: Vec::new(),
            pieces: Vec::new(),
        }
    }
}

impl Learner {
    /// Reads a learner file.
    ///
    /// # Errors
    /// With every fault found: unknown keys with the nearest known one, values of the wrong kind or out of range.
    pub fn from_toml(text: &str) -> Result<Self, Faults> {
        judge::judge(text, file::read(text)?)
    }

    /// One hand.
    pub fn hand(&self, hand: Hand) -> &LearnerHand {
        match hand {
            Hand::Right => &self.right,
            Hand::Left => &self.left,
        }
    }

    /// The hands as the fingering needs them.
    pub fn player(&self) -> Player {
        Player { right: self.right.shape.clone(), left: self.left.shape.clone() }
    }

    /// The scales with each hand that has them.
    pub fn known_scales(&self) -> Vec<(Scale, Hand)> {
        let hands = |known: &KnownScale| {
            let (scale, hands) = (known.scale, known.hands);
            Hand::BOTH.into_iter().filter(move |hand| hands.has(*hand)).map(move |hand| (scale, hand))
        };
        self.scales.iter().flat_map(hands).collect()
    }

    /// Minutes of practice in a week.
    pub fn minutes_a_week(&self) -> f64 {
        self.minutes_a_day * f64::from(self.days_a_week)
    }
}

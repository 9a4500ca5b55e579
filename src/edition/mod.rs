//! How well the printed music is prepared for someone who practises from it.
//!
//! In: a [`Score`], its hands, their fingering and movements. Out: an [`Edition`]: how many crossings carry a digit,
//! whether digits stand where they matter, how often dynamics and articulation are marked, what is said of the tempo and
//! the ornaments, and what points to an arrangement. All of it is an observation with its measures, never a verdict on
//! the music: a bare urtext is bare on purpose.

mod arrangement;
mod marks;

use serde::{Deserialize, Serialize};

use crate::fingering::{FingerSource, Fingering};
use crate::hands::{Hands, Line};
use crate::movements::{Movement, MovementKind};
use crate::score::{MeasureIndex, NoteId, Score};
use crate::units::Hand;

pub use arrangement::ArrangementSign;
pub use marks::{Marked, PrintedTempo};

/// How many of how many.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Share {
    /// That have it.
    pub with: usize,
    /// In all.
    pub of: usize,
}

impl Share {
    /// In whole per cent, rounded down; `None` of nothing.
    pub fn percent(self) -> Option<usize> {
        (self.of > 0).then(|| self.with.saturating_mul(100) / self.of)
    }

    fn count(&mut self, has: bool) {
        self.of += 1;
        self.with += usize::from(has);
    }

    fn joined(self, other: Self) -> Self {
        Self { with: self.with + other.with, of: self.of + other.of }
    }
}

/// The overall impression, from the counts below it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Preparation {
    /// Notes and little else.
    #[default]
    Bare,
    /// Some of fingering, dynamics, articulation and tempo.
    Partly,
    /// Most of them.
    Well,
}

impl Preparation {
    /// For a table.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bare => "bare",
            Self::Partly => "partly prepared",
            Self::Well => "well prepared",
        }
    }
}

/// What the print offers beyond the notes.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
pub struct Edition {
    /// The overall impression.
    pub preparation: Preparation,
    /// Notes with a printed digit.
    pub notes_with_digit: Share,
    /// Crossings with a digit on the finger that passes or on the one it passes.
    pub crossings_with_digit: Share,
    /// The hardest tenth of places, by fingering effort, with a digit.
    pub hard_places_with_digit: Share,
    /// Measures of the first hard places without a digit, at most five.
    pub hard_places_bare: Vec<String>,
    /// Dynamics, articulation and the rest.
    pub marks: Marked,
    /// What points to an arrangement; empty for piano music as far as the file tells.
    pub arrangement: Vec<ArrangementSign>,
}

/// Looks at the print. `movements` may hold both hands in any order.
pub fn describe_edition(score: &Score, hands: &Hands, fingerings: [&Fingering; 2], movements: &[Movement]) -> Edition {
    let mut edition = Edition { marks: marks::count(score, hands), ..Edition::default() };
    for movement in movements.iter().filter(|m| matches!(m.kind, MovementKind::Crossing(_))) {
        let has = has_digit(score, movement.from) || has_digit(score, movement.to);
        edition.crossings_with_digit.count(has);
    }
    let mut bare: Vec<MeasureIndex> = Vec::new();
    for (hand, fingering) in Hand::BOTH.into_iter().zip(fingerings) {
        let line = hands.line(hand);
        let written = fingering.sources.iter().filter(|source| **source == FingerSource::Written).count();
        edition.notes_with_digit =
            edition.notes_with_digit.joined(Share { with: written.min(line.notes.len()), of: line.notes.len() });
        for index in hardest_slices(&fingering.slice_costs) {
            let notes = slice_notes(line, index);
            let has = notes.iter().any(|id| has_digit(score, *id));
            edition.hard_places_with_digit.count(has);
            if !has && let Some(measure) = notes.first().and_then(|id| score.notes.get(*id)).map(|note| note.measure) {
                bare.push(measure);
            }
        }
    }
    edition.hard_places_bare = first_measures(score, bare);
    edition.arrangement = arrangement::signs(score, hands);
    edition.preparation = edition.impression();
    edition
}

/// Slices whose effort is in the highest tenth of those that cost anything.
///
/// Chosen by us: a tenth is about what an editor fingers in a lightly fingered edition.
fn hardest_slices(costs: &[i32]) -> Vec<usize> {
    let mut positive: Vec<i32> = costs.iter().copied().filter(|cost| *cost > 0).collect();
    if positive.is_empty() {
        return Vec::new();
    }
    let rank = positive.len() - positive.len().div_ceil(10);
    let (_, threshold, _) = positive.select_nth_unstable(rank);
    let threshold = *threshold;
    let most = costs.len().div_ceil(10);
    costs.iter().enumerate().filter(|(_, cost)| **cost >= threshold).map(|(index, _)| index).take(most).collect()
}

fn slice_notes(line: &Line, index: usize) -> &[NoteId] {
    line.slices.get(index).and_then(|slice| line.notes.get(slice.first..slice.first + slice.count)).unwrap_or_default()
}

fn has_digit(score: &Score, note: NoteId) -> bool {
    score.notes.get(note).is_some_and(|note| !note.written.is_empty())
}

/// Printed numbers of the first few measures, each once, in order.
fn first_measures(score: &Score, mut measures: Vec<MeasureIndex>) -> Vec<String> {
    /// Chosen by us: enough to look them up, few enough to read.
    const MOST: usize = 5;
    measures.sort_unstable();
    measures.dedup();
    measures.iter().filter_map(|index| score.measures.get(*index)).take(MOST).map(|m| m.number.clone()).collect()
}

impl Edition {
    /// Points for fingering, dynamics, articulation and tempo, two each at most, folded into three words.
    ///
    /// Chosen by us. Common practice, no source: a well-prepared edition prints fingerings and dynamics.
    fn impression(&self) -> Preparation {
        let points = |share: Share, some: usize, much: usize| match share.percent() {
            Some(percent) if percent >= much => 2,
            Some(percent) if percent >= some => 1,
            _ => 0,
        };
        let crossings = points(self.crossings_with_digit, 20, 60);
        let fingering = crossings.max(points(self.hard_places_with_digit, 20, 60));
        let dynamics = points(self.marks.systems_with_dynamics, 20, 60);
        let articulation = points(self.marks.systems_with_articulation, 20, 60);
        let tempo = match self.marks.tempo {
            PrintedTempo::Metronome => 2,
            PrintedTempo::Words => 1,
            PrintedTempo::PlaybackOnly | PrintedTempo::Nothing => 0,
        };
        match fingering + dynamics + articulation + tempo {
            0..=2 => Preparation::Bare,
            3..=5 => Preparation::Partly,
            _ if fingering == 0 => Preparation::Partly,
            _ => Preparation::Well,
        }
    }

    /// Sentences for a report: what is there, with counts and measures.
    pub fn observations(&self) -> Vec<String> {
        let mut said = Vec::new();
        match self.crossings_with_digit {
            Share { of: 0, .. } => said.push("no crossing needs a digit".to_owned()),
            Share { with, of } => said.push(format!("{with} of {of} crossings carry a digit")),
        }
        let Share { with, of } = self.notes_with_digit;
        said.push(match with {
            0 => "no fingering is printed".to_owned(),
            _ => format!("{with} of {of} notes carry a digit"),
        });
        let hard = self.hard_places_with_digit;
        if with > 0 && hard.of > 0 {
            let bare = match self.hard_places_bare.as_slice() {
                [] => String::new(),
                measures => format!("; without one first in measures {}", measures.join(", ")),
            };
            said.push(format!("of the {} hardest places {} carry a digit{bare}", hard.of, hard.with));
        }
        said.extend(self.marks.observations());
        said.extend(self.arrangement.iter().map(ArrangementSign::sentence));
        said
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::movements::CrossingKind;
    use crate::testing;

    fn look(text: &str) -> Edition {
        let (score, hands) = testing::score(text);
        let (right, left) = (testing::printed(&score, &hands.right), testing::printed(&score, &hands.left));
        let fingerings = [&right, &left].map(|fingering| {
            let sources = fingering.fingers.iter().map(|finger| match finger {
                Some(_) => FingerSource::Written,
                None => FingerSource::Inferred,
            });
            let costs = (0..fingering.slice_costs.len() as i32).collect();
            Fingering { sources: sources.collect(), slice_costs: costs, ..fingering.clone() }
        });
        let crossing = |from: NoteId, to: NoteId| Movement {
            kind: MovementKind::Crossing(CrossingKind::ThumbUnder),
            from,
            to,
            ..testing_movement()
        };
        describe_edition(&score, &hands, [&fingerings[0], &fingerings[1]], &[crossing(2, 3), crossing(6, 7)])
    }

    fn testing_movement() -> Movement {
        Movement {
            hand: Hand::Right,
            kind: MovementKind::Step,
            from: 0,
            to: 0,
            from_finger: crate::units::Finger::THUMB,
            to_finger: crate::units::Finger::THUMB,
            interval: 1,
            from_colour: crate::units::KeyColour::White,
            to_colour: crate::units::KeyColour::White,
            seconds: 0.25,
            slice: 0,
            awkwardness: 0,
            effort: 1.0,
        }
    }

    #[test]
    fn a_digit_on_either_side_of_a_crossing_counts() {
        let edition = look("R: C4/8 D4 E4-3 F4 G4 A4 B4 C5");
        assert_eq!(edition.crossings_with_digit, Share { with: 1, of: 2 });
        assert_eq!(edition.notes_with_digit, Share { with: 1, of: 8 });
        assert!(edition.observations().contains(&"1 of 2 crossings carry a digit".to_owned()));
    }

    #[test]
    fn the_hardest_place_without_a_digit_is_named_by_its_measure() {
        let edition = look("R: C4-1/2 D4-2 E4-3 F4 G4 A4 B4 C5");
        assert_eq!(edition.hard_places_with_digit, Share { with: 0, of: 1 });
        assert_eq!(edition.hard_places_bare, ["4"]);
        assert_eq!(edition.preparation, Preparation::Bare);
    }

    #[test]
    fn the_hardest_tenth_is_never_more_than_a_tenth_rounded_up() {
        assert_eq!(hardest_slices(&[0, 0, 0]), Vec::<usize>::new());
        assert_eq!(hardest_slices(&[7; 20]), [0, 1]);
        let climbing: Vec<i32> = (1..=20).collect();
        assert_eq!(hardest_slices(&climbing), [18, 19]);
    }
}

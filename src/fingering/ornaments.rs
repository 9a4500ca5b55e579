//! Ornaments, and the finger that their second key needs.
//!
//! In: a line with its signs. Out: what each finger costs that leaves a trill, turn or mordent without a neighbour.
//!
//! A trill goes to the key above and is played by neighbouring fingers or by those next but one, 1-3 and 2-3 in the right
//! hand, 3-2 and 2-1 in the left (common practice, no source); so the note itself is for the finger below them. A turn
//! goes both ways. Of a mordent the file may not say which way it goes, so it is taken both ways too.

use super::moments::MOST;
use super::search::Leaning;
use super::weights::Weights;
use crate::hands::Line;
use crate::score::{NoteMarks, Score};
use crate::units::Hand;

/// Adds what the ornaments ask for to the leanings of a line.
pub fn lean_on_ornaments(score: &Score, line: &Line, weights: &Weights, leanings: &mut [Leaning]) {
    // Towards the little finger lies the key above in the right hand, the key below in the left.
    let (above, below) = match line.hand {
        Hand::Right => (4, 0),
        Hand::Left => (0, 4),
    };
    for (slice, leaning) in line.slices.iter().zip(leanings) {
        let Some(note) = line.notes.get(slice.first).and_then(|id| score.notes.get(*id)) else { continue };
        let mut costs = [0; MOST];
        if note.marks.intersects(NoteMarks::TRILL | NoteMarks::TURN | NoteMarks::MORDENT) {
            costs[above] += weights.ornament;
        }
        if note.marks.intersects(NoteMarks::TURN | NoteMarks::MORDENT) {
            costs[below] += weights.ornament;
        }
        if note.marks.contains(NoteMarks::TRILL) {
            // The fourth and fifth finger trill badly.
            costs[3] += weights.ornament / 2;
        }
        leaning.ornament = costs;
    }
}

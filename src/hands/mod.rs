//! Which hand plays what.
//!
//! In: a [`Score`]. Out: [`Hands`]: for each hand its slices (all notes struck at one onset) in order, and remarks.

mod seats;

use crate::error::{Error, Remarks};
use crate::score::{NoteId, Score};
use crate::units::{Hand, Quarters};

/// Decides which hand plays what.
///
/// # Errors
/// When the score has no part for the piano.
pub fn assign_hands(score: &Score, remarks: &mut Remarks) -> Result<Hands, Error> {
    let seating = seats::seat_hands(score, remarks)?;
    let (mut right, mut left) = (Vec::new(), Vec::new());
    for (id, note) in score.notes.iter().enumerate() {
        match seating.hand(note.part, note.staff) {
            Some(Hand::Right) => right.push(id),
            Some(Hand::Left) => left.push(id),
            None => {}
        }
    }
    Ok(Hands { right: Line::from_notes(Hand::Right, right, score), left: Line::from_notes(Hand::Left, left, score) })
}

/// The notes of both hands.
#[derive(Clone, Debug)]
pub struct Hands {
    /// Right hand.
    pub right: Line,
    /// Left hand.
    pub left: Line,
}

impl Hands {
    /// The line of one hand.
    pub fn line(&self, hand: Hand) -> &Line {
        match hand {
            Hand::Right => &self.right,
            Hand::Left => &self.left,
        }
    }
}

/// Everything one hand plays, in order.
#[derive(Clone, Debug)]
pub struct Line {
    /// Whose.
    pub hand: Hand,
    /// Notes in playing order: by onset, grace notes before their main note, low to high within a slice.
    pub notes: Vec<NoteId>,
    /// Slices in playing order, each a range of `notes`.
    pub slices: Vec<Slice>,
}

impl Line {
    /// The notes of slice `index`, low to high.
    pub fn slice_notes(&self, index: usize) -> &[NoteId] {
        let slice = &self.slices[index];
        &self.notes[slice.first..slice.first + slice.count]
    }

    /// Groups notes that are already in playing order into slices. Every grace note (or grace chord) is a slice of its
    /// own, before its main slice and with the same onset.
    pub fn from_notes(hand: Hand, notes: Vec<NoteId>, score: &Score) -> Self {
        let mut slices: Vec<Slice> = Vec::new();
        for (index, id) in notes.iter().enumerate() {
            let note = &score.notes[*id];
            match slices.last_mut() {
                Some(last) if last.onset == note.onset && last.grace == note.grace => last.count += 1,
                _ => slices.push(Slice { onset: note.onset, grace: note.grace, first: index, count: 1 }),
            }
        }
        Self { hand, notes, slices }
    }
}

/// All notes one hand strikes at one onset.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Slice {
    /// Quarters from the start of the score.
    pub onset: Quarters,
    /// Place among grace notes, 0 for ordinary slices.
    pub grace: u16,
    /// First index into [`Line::notes`].
    pub first: usize,
    /// How many notes.
    pub count: usize,
}

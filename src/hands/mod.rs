//! Which hand plays what.
//!
//! In: a [`Score`]. Out: [`Hands`]: for each hand its slices (all notes struck at one onset) in order, and remarks.

mod instruments;
mod moves;
mod piano;
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
    let by_staff = score.notes.iter().map(|note| seating.hand(note.part, note.staff));
    let mut of_notes: Vec<Option<Hand>> = by_staff.collect();
    moves::move_notes(score, &mut of_notes, seating.is_one_staff(), remarks);
    let line = |hand| {
        let notes = of_notes.iter().enumerate().filter(|(_, of)| **of == Some(hand)).map(|(id, _)| id).collect();
        Line::from_notes(hand, notes, score)
    };
    Ok(Hands { right: line(Hand::Right), left: line(Hand::Left) })
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

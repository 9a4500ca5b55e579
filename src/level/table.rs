//! What every measure asks of each hand, in the units of each demand.
//!
//! In: a [`Piece`]. Out: a [`Table`] with one row for each measure looked at. Sums, so that a window of any length is a
//! difference of two running totals; every entry is non-negative and no note takes anything away, so that adding a
//! note to a hand cannot make a piece easier.

use super::demand::Demand;
use super::dimensions;
use super::model::REPEATED_NOTE;
use super::strokes::Piece;
use crate::units::Hand;

/// One measure.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    /// Sum of each demand, right hand and left hand.
    pub sums: [[f64; Demand::COUNT]; 2],
    /// Keys struck by each hand, a bit for each of 128.
    pub keys: [u128; 2],
    /// Notes of each hand, grace notes included.
    pub notes: [u32; 2],
    /// Digest of everything struck, to find measures that come back.
    pub digest: u64,
}

/// All measures looked at.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub rows: Vec<Row>,
    /// Counted seconds at the start of every row and the end of the last.
    pub starts: Vec<f64>,
    /// The same in seconds as played.
    pub played: Vec<f64>,
}

impl Table {
    pub(super) fn measure(piece: &Piece<'_>) -> Self {
        let rows = vec![Row::default(); piece.score.measures.len()];
        let mut table = Self { rows, starts: piece.starts.clone(), played: piece.played.clone() };
        dimensions::add_all(piece, &mut table);
        table
    }

    /// Adds to one entry.
    pub(super) fn add(&mut self, row: usize, hand: Hand, demand: Demand, amount: f64) {
        if let Some(row) = self.rows.get_mut(row) {
            row.sums[hand as usize][demand as usize] += amount;
        }
    }

    /// Seconds from the first measure to the end of the last.
    pub(super) fn seconds(&self) -> f64 {
        match (self.starts.first(), self.starts.last()) {
            (Some(first), Some(last)) => last - first,
            _ => 0.0,
        }
    }

    /// Notes to learn: a measure that was met before counts [`REPEATED_NOTE`] for each note.
    pub(super) fn notes_to_learn(&self) -> f64 {
        let mut order: Vec<usize> = (0..self.rows.len()).collect();
        order.sort_by_key(|row| (self.rows[*row].digest, *row));
        let mut sum = 0.0;
        let mut before = None;
        for row in order {
            let row = &self.rows[row];
            let notes = f64::from(row.notes[0] + row.notes[1]);
            sum += if before == Some(row.digest) { REPEATED_NOTE * notes } else { notes };
            before = Some(row.digest);
        }
        sum
    }
}

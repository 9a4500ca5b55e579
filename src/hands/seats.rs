//! Which staves belong to the piano, and which hand reads each.
//!
//! In: a [`Score`]. Out: a [`Seating`]: for every staff of every part a hand, or none where it is not for the piano.

use super::instruments::named_hand;
use super::piano::{Candidate, OCTAVE, Staff, candidates, choose_piano, lies, listed};
use crate::error::{Error, Remarks};
use crate::score::Score;
use crate::units::Hand;

/// Hand by part and staff.
pub(super) struct Seating {
    /// Sorted by part and staff.
    staves: Vec<Seat>,
}

struct Seat {
    part: u16,
    staff: u8,
    hand: Hand,
}

impl Seating {
    /// True when everything is on a single staff.
    pub(super) fn is_one_staff(&self) -> bool {
        self.staves.len() == 1
    }

    /// The hand that reads a staff; `None` when it is not for the piano.
    pub(super) fn hand(&self, part: u16, staff: u8) -> Option<Hand> {
        let place = self.staves.binary_search_by_key(&(part, staff), |seat| (seat.part, seat.staff)).ok()?;
        self.staves.get(place).map(|seat| seat.hand)
    }
}

/// Seats the hands.
///
/// # Errors
/// When no part can be for the piano.
pub(super) fn seat_hands(score: &Score, remarks: &mut Remarks) -> Result<Seating, Error> {
    let candidates = candidates(score);
    let piano = choose_piano(score, &candidates, remarks)?;
    if piano.len() < candidates.len() {
        let names: Vec<&str> =
            candidates.iter().filter(|c| !piano.iter().any(|p| p.index == c.index)).map(Candidate::name).collect();
        remarks.add(
            piano.first().map(|part| part.place()).unwrap_or_default(),
            format!("other parts beside the piano: {}", listed(&names)),
            "only the piano part was looked at",
        );
    }
    Ok(Seating { staves: seat_staves(score, &piano) })
}

/// Gives each staff of the piano a hand: by the name of its part, else the top one right and the bottom one left, those
/// between by where they lie.
fn seat_staves(score: &Score, piano: &[&Candidate<'_>]) -> Vec<Seat> {
    let rows: Vec<(&Candidate<'_>, &Staff)> =
        piano.iter().flat_map(|c| c.staves.iter().map(move |staff| (*c, staff))).collect();
    let lies = |(part, staff): &(&Candidate<'_>, &Staff)| lies(score, part.index, staff);
    let upside_down = match rows.as_slice() {
        [upper, lower] if piano.len() == 2 => {
            lies(upper) == Hand::Left && lies(lower) == Hand::Right && upper.1.mean() + OCTAVE <= lower.1.mean()
        }
        _ => false,
    };
    let last = rows.len().saturating_sub(1);
    let hand = |index: usize, row: &(&Candidate<'_>, &Staff)| match (piano.len(), row.0.part.staves) {
        // One part on two staves, whether or not both have notes.
        (1, 2) if row.1.number <= 1 => Hand::Right,
        (1, 2) => Hand::Left,
        _ if rows.len() == 1 || upside_down => lies(row),
        _ if index == 0 => Hand::Right,
        _ if index == last => Hand::Left,
        _ => lies(row),
    };
    let seat = |(index, row): (usize, &(&Candidate<'_>, &Staff))| {
        let hand = named_hand(row.0.part).unwrap_or_else(|| hand(index, row));
        Seat { part: row.0.index, staff: row.1.number, hand }
    };
    rows.iter().enumerate().map(seat).collect()
}

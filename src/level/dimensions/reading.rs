//! Reading: key signature, accidentals, ledger lines.
//!
//! # What it finds
//! What makes the page slow to read and the keys slow to find.
//!
//! # Why it matters
//! Key signatures and accidentals are features of Sébastien, Ralambondrainy, Sébastien and Conruyt (2012, ISMIR, section
//! 3.6, altered notes); teaching material adds sharps and flats one at a time (common practice, no source).
//!
//! # How it is measured
//! Every note counts the sharps or flats of its signature, 1 when it differs from the signature, and the ledger lines of
//! its head, at most [`MOST_LEDGERS`]. A second. Black keys were a demand once; signature and accidentals are what puts
//! notes on them. Changes of clef were another; they go with the ledger lines that they save.

use crate::level::demand::Demand;
use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::score::{Note, Score};
use crate::units::{Hand, Quarters, Step};

/// Most ledger lines that count. Chosen by us: beyond five nobody counts them, and an octave sign was forgotten.
const MOST_LEDGERS: u16 = 5;

/// Steps from the middle line to the outer line of a staff.
const HALF_STAFF: u16 = 4;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    let score = piece.score;
    for hand in Hand::BOTH {
        let mut page = Page::new();
        for id in &piece.hands.line(hand).notes {
            let Some(note) = score.notes.get(*id) else { continue };
            page.turn_to(score, note.onset);
            let row = note.measure;
            let fifths = page.fifths(note.part);
            table.add(row, hand, Demand::Signature, f64::from(fifths.unsigned_abs()));
            if note.pitch.alter != signed(fifths, note.pitch.step) {
                table.add(row, hand, Demand::Accidentals, 1.0);
            }
            table.add(row, hand, Demand::Ledgers, f64::from(page.ledger_lines(note)));
        }
    }
}

/// Most ledger lines of the heads of some notes, which are in order of onset.
pub(crate) fn most_ledger_lines<'a>(score: &Score, notes: impl Iterator<Item = &'a Note>) -> u16 {
    let mut page = Page::new();
    let lines = notes.map(|note| {
        page.turn_to(score, note.onset);
        page.ledger_lines(note)
    });
    lines.max().unwrap_or(0)
}

/// The signature and clefs in force, while notes are read in order.
struct Page {
    /// Part and signature of each part met: the two hands may have different ones.
    signatures: Vec<(u16, i8)>,
    /// Part, staff and middle line of each staff met.
    staves: Vec<(u16, u8, i16)>,
    next_key: usize,
    next_clef: usize,
}

impl Page {
    fn new() -> Self {
        Self { signatures: Vec::new(), staves: Vec::new(), next_key: 0, next_clef: 0 }
    }

    fn turn_to(&mut self, score: &Score, onset: Quarters) {
        while let Some(key) = score.keys.get(self.next_key).filter(|key| key.onset <= onset) {
            match self.signatures.iter_mut().find(|known| known.0 == key.part) {
                Some(known) => known.1 = key.fifths,
                None => self.signatures.push((key.part, key.fifths)),
            }
            self.next_key += 1;
        }
        while let Some(clef) = score.clefs.get(self.next_clef).filter(|clef| clef.onset <= onset) {
            match self.staves.iter_mut().find(|staff| (staff.0, staff.1) == (clef.part, clef.staff)) {
                Some(staff) => staff.2 = clef.middle_line,
                None => self.staves.push((clef.part, clef.staff, clef.middle_line)),
            }
            self.next_clef += 1;
        }
    }

    /// Sharps or flats of a part; of the first part, where it has no signature of its own.
    fn fifths(&self, part: u16) -> i8 {
        let own = self.signatures.iter().find(|known| known.0 == part);
        own.or(self.signatures.first()).map_or(0, |known| known.1)
    }

    /// Ledger lines of a head, at most [`MOST_LEDGERS`].
    fn ledger_lines(&self, note: &Note) -> u16 {
        let Some(middle) = self.middle_line(note.part, note.staff) else { return 0 };
        let beyond = note.staff_position.saturating_sub(middle).unsigned_abs().saturating_sub(HALF_STAFF);
        (beyond / 2).min(MOST_LEDGERS)
    }

    fn middle_line(&self, part: u16, staff: u8) -> Option<i16> {
        self.staves.iter().find(|known| (known.0, known.1) == (part, staff)).map(|known| known.2)
    }
}

/// What a signature does to a letter: 1 sharp, -1 flat, 0 neither.
fn signed(fifths: i8, step: Step) -> i8 {
    const SHARPS: [Step; 7] = [Step::F, Step::C, Step::G, Step::D, Step::A, Step::E, Step::B];
    let order = SHARPS.iter().position(|sharp| *sharp == step).unwrap_or(0);
    let signs = usize::from(fifths.unsigned_abs());
    if fifths > 0 { i8::from(order < signs) } else { -i8::from(6 - order < signs) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_alter_their_letters() {
        assert_eq!(Step::ALL.map(|step| signed(2, step)), [1, 0, 0, 1, 0, 0, 0]);
        assert_eq!(Step::ALL.map(|step| signed(-3, step)), [0, 0, -1, 0, 0, -1, -1]);
        assert_eq!(Step::ALL.map(|step| signed(0, step)), [0; 7]);
    }
}

//! Compass and palette: how many keys have to be found.
//!
//! # What it finds
//! The different keys of the keyboard that each hand plays, the different notes of the twelve in both, and which
//! measures come back.
//!
//! # Why it matters
//! The first pieces stay under five fingers, so that the hand need not look; every further key has to be found.
//! How little the pitches repeat is the pitch entropy of Chiu and Chen (2012, ISM).
//!
//! # How it is measured
//! Counted afresh in every window, not a second; a key struck twice counts once.

use crate::level::strokes::Piece;
use crate::level::table::Table;
use crate::units::Hand;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        for id in &piece.hands.line(hand).notes {
            let note = &piece.score.notes[*id];
            let Some(row) = table.rows.get_mut(note.measure) else { continue };
            row.keys[hand as usize] |= 1 << (note.midi.number() & 127);
            row.notes[hand as usize] += 1;
            // The hash of Fowler, Noll and Vo (1991), with its offset and prime, word by word; notes are added up so that
            // their order in the file does not matter.
            let at = note.onset - piece.score.measures[note.measure].onset;
            let parts = [
                hand as u64 * 128 + u64::from(note.midi.number()),
                at.numer() as u64,
                at.denom() as u64,
                note.duration.numer() as u64,
                note.duration.denom() as u64,
            ];
            let mut hash = 0xcbf2_9ce4_8422_2325_u64;
            for part in parts {
                hash = (hash ^ part).wrapping_mul(0x0100_0000_01b3).rotate_left(23);
            }
            row.digest = row.digest.wrapping_add(hash);
        }
    }
}

//! A tied chain is one note.
//!
//! In: heads in order of time, with their ties. Out: one head for each chain, with the summed duration; chains may cross
//! voices and staves, and a grace note tied to its main note is the main note.

use super::draft::Head;
use crate::error::{Place, Remarks};
use crate::score::{Measure, NoteMarks};
use crate::units::Quarters;

/// A chain that waits for its next head.
struct Open {
    /// Index of the first head.
    first: usize,
    /// Where the chain ends so far.
    end: Quarters,
}

/// Open chains on one key that are remembered. Chosen by us: a real score has one or two, and the bound keeps a file full
/// of ties that never close from being searched again and again.
const MOST_OPEN: usize = 16;

/// A gap that rounding can leave between two tied heads, in quarters: 1/48. Chosen by us.
const ROUNDING: i64 = 48;

/// Marks that belong to the beginning of a note only.
const AT_THE_START: NoteMarks = NoteMarks::ACCIDENTAL.union(NoteMarks::ARPEGGIO).union(NoteMarks::ACCENT);

/// Merges tied heads; `heads` are sorted by time, grace notes before their main note.
pub(super) fn merge_ties(heads: &mut Vec<Head>, measures: &[Measure], remarks: &mut Remarks) {
    if !heads.iter().any(|head| head.tie_start || head.tie_stop) {
        return;
    }
    let rounding = Quarters::new(1, ROUNDING).unwrap_or_default();
    let mut open: Vec<Vec<Open>> = (0..128).map(|_| Vec::new()).collect();
    let mut merged = vec![false; heads.len()];
    for index in 0..heads.len() {
        let head = &heads[index];
        if !head.tie_start && !head.tie_stop {
            continue;
        }
        let note = &head.note;
        let waiting = &mut open[usize::from(note.midi.number())];
        let found = if head.tie_stop {
            let candidates = waiting.iter().enumerate().filter(|(_, chain)| {
                let first = &heads[chain.first].note;
                let gap = note.onset - chain.end;
                first.part == note.part && gap < rounding && -gap < rounding
            });
            let best = candidates.max_by_key(|(_, chain)| {
                let first = &heads[chain.first].note;
                (first.voice == note.voice, first.staff == note.staff, chain.first)
            });
            best.map(|(place, _)| place)
        } else {
            None
        };
        let Some(place) = found else {
            if head.tie_stop {
                let measure = measures.get(note.measure).map(|measure| measure.number.clone());
                let place = Place { measure, staff: Some(note.staff), ..Place::default() };
                remarks.add(place, "a tie that ends without a beginning", "the note is struck again");
            }
            if head.tie_start {
                if waiting.len() >= MOST_OPEN {
                    waiting.remove(0);
                }
                waiting.push(Open { first: index, end: note.end() });
            }
            continue;
        };
        let first = waiting[place].first;
        let (end, goes_on) = (note.end(), head.tie_start);
        let survivor = if heads[first].note.is_grace() {
            merged[first] = true;
            absorb(heads, index, first);
            index
        } else {
            merged[index] = true;
            absorb(heads, first, index);
            first
        };
        if goes_on {
            waiting[place] = Open { first: survivor, end };
        } else {
            waiting.remove(place);
        }
    }
    let mut at = 0;
    heads.retain(|_| {
        at += 1;
        !merged[at - 1]
    });
}

/// Adds to the head at `kept` what the head at `lost` says.
fn absorb(heads: &mut [Head], kept: usize, lost: usize) {
    let marks = heads[lost].note.marks;
    let duration = heads[lost].note.duration;
    let digits = std::mem::take(&mut heads[lost].note.written);
    let later = lost > kept;
    let note = &mut heads[kept].note;
    note.marks |= if later { marks.difference(AT_THE_START) } else { marks };
    note.duration = note.duration + duration;
    if note.written.is_empty() {
        note.written = digits;
    } else if later {
        // A new digit on a held note is a change of finger on the key.
        let held = note.written.last().map(|written| written.finger);
        for mut digit in digits {
            if Some(digit.finger) != held {
                digit.substitution = true;
                digit.alternate = false;
                note.written.push(digit);
            }
        }
    }
}

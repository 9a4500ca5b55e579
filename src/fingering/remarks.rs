//! What is odd about the digits of a score, and what its chords ask beyond the hand.
//!
//! In: a line with its score and player. Out: remarks. Digits are law, so those that no hand can follow are kept as they
//! are printed and said to be odd; a chord that the hand does not span is taken to be rolled.

use super::moments::MOST;
use crate::error::Remarks;
use crate::hands::{Line, Slice};
use crate::player::HandShape;
use crate::score::{Note, NoteMarks, Score};

/// Remarks on printed digits that no hand can follow. Faults of the print: a strict reader stops here.
pub fn remark_on_digits(score: &Score, line: &Line, remarks: &mut Remarks) {
    for slice in &line.slices {
        let mut digits: Vec<(i32, u8, &Note)> = struck(score, line, slice)
            .filter_map(|note| note.written.first().map(|digit| (note, digit.finger.number())))
            .map(|(note, digit)| (line.hand.outward() * i32::from(note.midi.number()), digit, note))
            .collect();
        digits.sort_by_key(|(key, ..)| *key);
        for pair in digits.windows(2) {
            let ((low, inner, note), (high, outer, _)) = (pair[0], pair[1]);
            // One finger may lie across two neighbouring keys, and the thumb may lie under the hand.
            if inner == outer && high - low > 2 {
                let found = "printed digits put one finger on two keys at once";
                remarks.add(score.place_of(note), found, "they are kept; the fingers around them may be off");
            } else if inner > outer && outer > 1 && high > low {
                let found = "printed digits cross the fingers of one chord";
                remarks.add(score.place_of(note), found, "they are kept; the fingers around them may be off");
            }
        }
    }
}

/// Remarks on chords that a hand does not span or has too few fingers for. Not faults of the file: another hand may do.
pub fn remark_on_reach(score: &Score, line: &Line, shape: &HandShape, remarks: &mut Remarks) {
    let hand = line.hand.name();
    for slice in &line.slices {
        let keys = || struck(score, line, slice).map(|note| i32::from(note.midi.number()));
        let (Some(lowest), Some(highest)) = (keys().min(), keys().max()) else { continue };
        let Some(first) = struck(score, line, slice).next() else { continue };
        let rolled = struck(score, line, slice).any(|note| note.marks.contains(NoteMarks::ARPEGGIO));
        if highest - lowest > shape.largest_span && !rolled {
            let found = format!("a chord is wider than the {hand} spans ({} semitones at most)", shape.largest_span);
            remarks.add(score.place_of(first), found, "it is taken to be rolled");
        }
        if slice.count > MOST {
            let found = format!("the {hand} strikes more than five keys at once");
            remarks.add(score.place_of(first), found, "the inner ones are left without a finger");
        }
    }
}

/// The notes of a slice that are struck together: grace notes come before it.
fn struck<'a>(score: &'a Score, line: &'a Line, slice: &'a Slice) -> impl Iterator<Item = &'a Note> {
    line.notes[slice.first..slice.first + slice.count].iter().map(|id| &score.notes[*id])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    fn remarks(text: &str, largest_span: i32) -> Vec<String> {
        let (score, line) = testing::line(text);
        let mut remarks = Remarks::default();
        remark_on_digits(&score, &line, &mut remarks);
        remark_on_reach(&score, &line, &HandShape { largest_span, ..HandShape::default() }, &mut remarks);
        remarks.into_list().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn digits_that_no_hand_can_follow_are_told() {
        assert_eq!(remarks("R: [C4-1 E4-3 G4-5]/4 [C4-1 D4-1 G4-5]", 14), [""; 0]);
        let twice = remarks("R: r/1 [C4-1 E4-3 G4-3]/4", 14);
        assert!(twice[0].starts_with("measure 2, staff 1: printed digits put one finger on two keys"), "{twice:?}");
        let crossed = remarks("L: [C3-2 E3-3 G3-1]/4", 14);
        assert!(crossed[0].contains("cross the fingers of one chord"), "{crossed:?}");
    }

    #[test]
    fn a_chord_beyond_the_hand_is_told_by_hand() {
        let tenth = "L: [C3 E4]/4";
        assert!(remarks(tenth, 14)[0].contains("wider than the left hand spans (14 semitones at most)"));
        assert_eq!(remarks(tenth, 16), [""; 0]);
        assert_eq!(remarks("L: [C3 E4]/4!roll", 14), [""; 0], "the print rolls it");
        assert!(remarks("R: [C4 D4 E4 F4 G4 A4]/4", 14)[0].contains("more than five keys"));
    }
}

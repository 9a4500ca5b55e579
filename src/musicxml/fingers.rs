//! Printed fingering: digits of a note, and what several of them mean.
//!
//! In: `<fingering>` elements, whose text may be `3`, `4-5`, `13`, `(2)`, empty or anything. Out: digits that say whether
//! they replace the one before on the held key, are another choice, or belong to another note of the chord.

use super::draft::Draft;
use super::part::PartReader;
use super::xml::Element;
use crate::score::{ClefMark, Note, NoteMarks, WrittenFinger};
use crate::units::{Finger, Quarters};

/// Digits kept for one note. Chosen by us: a trill prints two or three, a chord on one note five.
const MOST_DIGITS: usize = 8;

/// Adds the digits of one `<fingering>`.
pub(super) fn read_fingering(
    part: &PartReader,
    element: Element<'_, '_>,
    digits: &mut Vec<WrittenFinger>,
    draft: &mut Draft<'_>,
) {
    let mut substitution = element.has("substitution", "yes");
    let mut alternate = element.has("alternate", "yes");
    for character in element.text().chars() {
        match character {
            '1'..='5' => {
                let finger = character.to_digit(10).and_then(|digit| Finger::new(digit as u8));
                if let Some(finger) = finger.filter(|_| digits.len() < MOST_DIGITS) {
                    let first = digits.is_empty();
                    digits.push(WrittenFinger {
                        finger,
                        substitution: substitution && !first,
                        alternate: alternate && !first,
                    });
                }
                (substitution, alternate) = (false, false);
            }
            // A dash, a tie or a slur between digits: the finger changes on the key.
            '-' | '–' | '—' | '_' | '⁀' | '‿' => substitution = true,
            '/' | '(' | '[' | '|' | ',' => alternate = true,
            '0' | '6'..='9' => {
                draft.remark(part.part, part.measure, "a fingering digit other than 1 to 5", "left out");
            }
            _ => {}
        }
    }
}

/// Signs that are played with more than one finger.
const PLAYED_WITH_SEVERAL: NoteMarks =
    NoteMarks::TRILL.union(NoteMarks::MORDENT).union(NoteMarks::TURN).union(NoteMarks::TREMOLO);

/// Settles what digits mean that stand together on one note without a sign between them.
///
/// On a chord whose other notes have none, they are the chord's fingers. On an ornament they are the fingers of its notes,
/// of which the first strikes the note. On a note of a quarter or more they are a silent change of finger, on a shorter one
/// a choice. Common practice, no source; the quarter is chosen by us.
pub(super) fn settle_digits(notes: &mut [Note], clefs: &[ClefMark]) {
    for index in 0..notes.len() {
        let note = &notes[index];
        let unsettled = |digit: &WrittenFinger| !digit.substitution && !digit.alternate;
        if !note.written.iter().skip(1).any(unsettled) {
            continue;
        }
        if share_out(notes, index, clefs) {
            continue;
        }
        let note = &mut notes[index];
        let changes = note.duration >= Quarters::whole(1) && !note.marks.intersects(PLAYED_WITH_SEVERAL);
        for digit in note.written.iter_mut().skip(1).filter(|digit| unsettled(digit)) {
            if changes {
                digit.substitution = true;
            } else {
                digit.alternate = true;
            }
        }
    }
}

/// Notes of one chord that are looked at. Chosen by us: no hand has more.
const MOST_CHORD: usize = 10;

/// Gives the digits on one note to the notes of its chord, if there is one for each and the others have none.
fn share_out(notes: &mut [Note], index: usize, clefs: &[ClefMark]) -> bool {
    let note = &notes[index];
    let same = |other: &Note| {
        (other.onset, other.grace, other.part, other.staff, other.voice)
            == (note.onset, note.grace, note.part, note.staff, note.voice)
    };
    let near = |other: &Note| other.onset == note.onset && other.grace == note.grace;
    let count = note.written.len();
    // Notes are sorted by onset and pitch, so the chord lies around this note.
    let before = notes[..index].iter().rev().take(MOST_CHORD).take_while(|other| near(other)).count();
    let after = notes[index..].iter().take(MOST_CHORD).take_while(|other| near(other)).count();
    let chord: Vec<usize> = (index - before..index + after).filter(|other| same(&notes[*other])).collect();
    let others_bare = chord.iter().all(|other| *other == index || notes[*other].written.is_empty());
    if chord.len() != count || count < 2 || !others_bare {
        return false;
    }
    let mut fingers: Vec<Finger> = note.written.iter().map(|digit| digit.finger).collect();
    fingers.sort_unstable();
    // The fingers of the left hand count downwards.
    if is_left(note, clefs) {
        fingers.reverse();
    }
    for (other, finger) in chord.into_iter().zip(fingers) {
        notes[other].written = vec![WrittenFinger { finger, substitution: false, alternate: false }];
    }
    true
}

/// Whether a note is on a staff of the left hand, by its place in the part, else by its first clef.
fn is_left(note: &Note, clefs: &[ClefMark]) -> bool {
    const MIDDLE_C: i16 = 28;
    let clef = clefs.iter().find(|clef| clef.part == note.part && clef.staff == note.staff);
    note.staff > 1 || clef.is_some_and(|clef| clef.middle_line < MIDDLE_C)
}

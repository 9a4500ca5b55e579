//! Notes that the other hand plays than the one that reads their staff.
//!
//! In: a hand for every note, by its staff. Out: some of them changed, each kind remarked: what the print asks of the
//! other hand in words, and a chord that no single hand can hold, both only while the other hand is free.
//!
//! Where two voices meet on a staff, the print shows two players' tasks, and which of them the other hand takes over is a
//! choice of the player; these notes stay with their staff, and only a remark says so. A score on a single staff leaves
//! the choice to us.

use crate::error::Remarks;
use crate::score::{Note, NoteMarks, Score};
use crate::units::{Hand, Quarters};

/// Semitones that a hand may strike at once: an eleventh. Chosen by us, beyond the ninth or tenth that hands span, so that
/// a large hand's chord is never taken apart.
const WIDEST: i32 = 17;

/// Keys that no hand strikes at once: five fingers, and the thumb or little finger on two keys.
const MOST_KEYS: usize = 6;

/// Semitones that a hand strikes at once without trouble, an octave and a step: what is left of a chord that is taken
/// apart must fit. Chosen by us.
const COMFORTABLE: i32 = 14;

/// Voices in the other hand at one time that are followed. Chosen by us: there are never more than one or two.
const MOST_ASKED: usize = 8;

/// A voice that goes on in the hand that a word asked for.
struct Asked {
    part: u16,
    staff: u8,
    voice: u16,
    hand: Hand,
    until: Quarters,
}

/// Moves notes to the other hand; `hands` runs parallel to the notes of the score, which
/// is all on one staff if `one_staff`.
pub(super) fn move_notes(score: &Score, hands: &mut [Option<Hand>], one_staff: bool, remarks: &mut Remarks) {
    // When each hand, right and left, is done with what it struck so far.
    let mut busy_until = [Quarters::ZERO; 2];
    let mut asked: Vec<Asked> = Vec::new();
    let mut from = 0;
    for group in score.notes.chunk_by(|a, b| a.onset == b.onset) {
        let here = from..from + group.len();
        from = here.end;
        let hands = &mut hands[here];
        let onset = group[0].onset;
        let strikes = |hands: &[Option<Hand>], hand| hands.contains(&Some(hand));
        let free = |hands: &[Option<Hand>], hand: Hand| busy_until[hand as usize] <= onset && !strikes(hands, hand);

        for index in 0..group.len() {
            let note = &group[index];
            let Some(hand) = hands[index].and_then(|_| hand_asked(note, &asked)) else { continue };
            // A hand that a word has called is free for the rest of the chord it is called for.
            let called = asked.iter().any(|voice| voice.hand == hand && voice.until > onset);
            if hands[index] != Some(hand) && (called || free(hands, hand)) {
                hands[index] = Some(hand);
                follow(&mut asked, note, hand);
                let place = score.place_of(note);
                remarks.add(place, "words ask for the other hand", "its notes were given to that hand");
            }
        }
        asked.retain(|voice| voice.until > onset);

        for hand in Hand::BOTH {
            if !free(hands, hand.other()) || is_possible(group, hands, hand) {
                continue;
            }
            if one_staff || is_one_voice(group, hands, hand) {
                take_apart(group, hands, hand, score, remarks);
            } else if let Some((note, _)) = struck(group, hands, hand).next() {
                remarks.add(
                    score.place_of(note),
                    format!("two voices on one staff that no {} can strike together", hand.name()),
                    "left to that hand, though the other is free; the player may share them out",
                );
            }
        }
        for (note, hand) in group.iter().zip(hands.iter()) {
            if let Some(hand) = hand {
                let busy = &mut busy_until[*hand as usize];
                *busy = note.end().max(*busy);
            }
        }
    }
}

/// The hand that words ask for at this note, or asked for just before it in the same voice and measure.
fn hand_asked(note: &Note, asked: &[Asked]) -> Option<Hand> {
    if note.marks.contains(NoteMarks::ASKS_RIGHT) {
        return Some(Hand::Right);
    }
    if note.marks.contains(NoteMarks::ASKS_LEFT) {
        return Some(Hand::Left);
    }
    let voice = |voice: &&Asked| (voice.part, voice.staff, voice.voice) == (note.part, note.staff, note.voice);
    asked.iter().find(|asked| voice(asked) && asked.until == note.onset).map(|asked| asked.hand)
}

fn follow(asked: &mut Vec<Asked>, note: &Note, hand: Hand) {
    asked.retain(|voice| (voice.part, voice.staff, voice.voice) != (note.part, note.staff, note.voice));
    if asked.len() >= MOST_ASKED {
        asked.remove(0);
    }
    asked.push(Asked { part: note.part, staff: note.staff, voice: note.voice, hand, until: note.end() });
}

/// Whether a hand can strike its notes of a group together.
fn is_possible(group: &[Note], hands: &[Option<Hand>], hand: Hand) -> bool {
    let mut lowest = None;
    let mut highest = None;
    let mut count = 0;
    for (note, _) in struck(group, hands, hand) {
        lowest = Some(lowest.map_or(note.midi, |low: crate::units::Midi| low.min(note.midi)));
        highest = Some(highest.map_or(note.midi, |high: crate::units::Midi| high.max(note.midi)));
        count += 1;
    }
    match (lowest, highest) {
        (Some(low), Some(high)) => low.semitones_to(high) <= WIDEST && count <= MOST_KEYS,
        _ => true,
    }
}

fn is_one_voice(group: &[Note], hands: &[Option<Hand>], hand: Hand) -> bool {
    let mut voices = struck(group, hands, hand).map(|(note, _)| (note.part, note.staff, note.voice));
    let first = voices.next();
    voices.all(|voice| Some(voice) == first)
}

/// The notes that a hand strikes at once, with their place in the group, low to high: no grace notes, no rolled ones.
fn struck<'n>(group: &'n [Note], hands: &[Option<Hand>], hand: Hand) -> impl Iterator<Item = (&'n Note, usize)> {
    let of_hand = group.iter().zip(hands.iter()).enumerate().filter(move |(_, (_, of))| **of == Some(hand));
    of_hand
        .map(|(index, (note, _))| (note, index))
        .filter(|(note, _)| !note.is_grace() && !note.marks.contains(NoteMarks::ARPEGGIO))
}

/// Gives the notes on the far side of the widest gap of a chord to the other hand.
fn take_apart(group: &[Note], hands: &mut [Option<Hand>], hand: Hand, score: &Score, remarks: &mut Remarks) {
    let notes: Vec<(&Note, usize)> = struck(group, hands, hand).collect();
    let span = |part: &[(&Note, usize)]| match part {
        [first, .., last] => first.0.midi.semitones_to(last.0.midi),
        _ => 0,
    };
    let fits = |part: &[(&Note, usize)]| span(part) <= COMFORTABLE && part.len() < MOST_KEYS;
    let cut = (1..notes.len())
        .filter(|cut| fits(&notes[..*cut]) && fits(&notes[*cut..]))
        .max_by_key(|cut| notes[*cut - 1].0.midi.semitones_to(notes[*cut].0.midi));
    let Some(cut) = cut else { return };
    let moved = match hand {
        Hand::Right => &notes[..cut],
        Hand::Left => &notes[cut..],
    };
    for (_, index) in moved {
        hands[*index] = Some(hand.other());
    }
    remarks.add(
        score.place_of(moved[0].0),
        format!("notes that no {} can hold at once, while the other hand is free", hand.name()),
        "the far ones were given to the other hand",
    );
}

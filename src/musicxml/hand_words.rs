//! `m.d.`, `m.s.` and the like: words that ask for a hand.
//!
//! Source: common abbreviations of piano editions (Italian mano destra, mano sinistra; French main droite, main gauche;
//! English right hand, left hand; German rechte Hand, linke Hand). Common practice, no source.

use super::draft::{At, HandWord};
use crate::score::{Note, NoteMarks};
use crate::units::Quarters;

/// Notes of one onset that are looked at for one word. Chosen by us: more than an orchestra strikes at once.
const MOST_NOTES: usize = 1_000;

/// Marks the notes that stand at a word that asks for a hand.
///
/// They are the notes of its staff at its onset. Where two voices begin there, the word is for the one that the file
/// names; else a word above the staff is for the upper one and a word below for the lower, and without a placement the
/// right hand is asked for above and the left below.
pub(super) fn mark_hand_words(notes: &mut [Note], words: &[HandWord], absolute: impl Fn(At) -> Quarters) {
    for word in words {
        let onset = absolute(word.at);
        let from = notes.partition_point(|note| note.onset < onset);
        let until = notes[from..].iter().take(MOST_NOTES).take_while(|note| note.onset == onset).count();
        let here = &notes[from..from + until];
        let meant = || here.iter().filter(|note| note.part == word.part && note.staff == word.staff);
        let named = meant().find(|note| Some(note.voice) == word.voice);
        let below = word.below.unwrap_or(word.asks == NoteMarks::ASKS_LEFT);
        let outer = if below { meant().min_by_key(|note| note.midi) } else { meant().max_by_key(|note| note.midi) };
        let Some(voice) = named.or(outer).map(|note| note.voice) else { continue };
        for note in &mut notes[from..from + until] {
            if note.part == word.part && note.staff == word.staff && note.voice == voice {
                note.marks |= word.asks;
            }
        }
    }
}

/// The hand that words ask for, if that is all they say.
pub(super) fn asked_hand(words: &str) -> Option<NoteMarks> {
    let plain: String = words.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    match plain.as_str() {
        "md" | "rh" | "manodestra" | "maindroite" | "righthand" | "rechtehand" | "destra" | "droite" => {
            Some(NoteMarks::ASKS_RIGHT)
        }
        "ms" | "mg" | "lh" | "manosinistra" | "maingauche" | "lefthand" | "linkehand" | "sinistra" | "gauche" => {
            Some(NoteMarks::ASKS_LEFT)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hands_are_asked_for_in_four_languages() {
        for words in ["m.d.", "M. D.", "r.h.", "R.H.", "mano destra", "main droite"] {
            assert_eq!(asked_hand(words), Some(NoteMarks::ASKS_RIGHT), "{words}");
        }
        for words in ["m.s.", "m. g.", "(l.h.)", "linke Hand"] {
            assert_eq!(asked_hand(words), Some(NoteMarks::ASKS_LEFT), "{words}");
        }
        assert_eq!(asked_hand("mf"), None);
    }
}

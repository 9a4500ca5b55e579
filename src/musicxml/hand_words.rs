//! `m.d.`, `m.s.` and the like: words that ask for a hand.
//!
//! Source: common abbreviations of piano editions (Italian mano destra, mano sinistra; French main droite, main gauche;
//! English right hand, left hand; German rechte Hand, linke Hand). Common practice, no source.

use crate::score::{DirectionKind, NoteMarks, Score};

/// Marks the notes that stand under a word that asks for a hand: those of its staff at its onset.
pub(super) fn mark_hand_words(score: &mut Score) {
    let asked: Vec<_> = score
        .directions
        .iter()
        .filter_map(|direction| match &direction.kind {
            DirectionKind::Words(text) => {
                asked_hand(text).map(|mark| (direction.onset, direction.part, direction.staff, mark))
            }
            _ => None,
        })
        .collect();
    for (onset, part, staff, mark) in asked {
        let from = score.notes.partition_point(|note| note.onset < onset);
        for note in score.notes.iter_mut().skip(from).take_while(|note| note.onset == onset) {
            if note.part == part && note.staff == staff {
                note.marks |= mark;
            }
        }
    }
}

/// The hand that words ask for, if that is all they say.
fn asked_hand(words: &str) -> Option<NoteMarks> {
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

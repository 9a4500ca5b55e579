//! What in a file points to an arrangement: what its credits say, and textures that come from an orchestra or a song.
//!
//! Common practice (no source): arrangements of popular and orchestral music tend to lie less well under the hand than
//! music written for the piano. A sign is only that: the sentence says what was seen and where.

use serde::{Deserialize, Serialize};

use super::{first_measures, marks, slice_notes};
use crate::hands::Hands;
use crate::score::{MeasureIndex, NoteMarks, Score};
use crate::units::Hand;

/// One sign.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct ArrangementSign {
    /// What was seen.
    pub seen: String,
    /// Where first, at most five measures; empty for credits.
    pub measures: Vec<String>,
}

impl ArrangementSign {
    /// For a report.
    pub fn sentence(&self) -> String {
        match self.measures.as_slice() {
            [] => format!("sign of an arrangement: {}", self.seen),
            measures => format!("sign of an arrangement: {} (first in measures {})", self.seen, measures.join(", ")),
        }
    }
}

/// Beginnings of words that say so, lower case, in the languages of common editions.
const WORDS: [&str; 12] = [
    "arr.",
    "arrang",
    "transcri",
    "bearb",
    "einricht",
    "riduzione",
    "réduction",
    "reduction",
    "simplifi",
    "adapted",
    "soundtrack",
    "medley",
];

/// Semitones beyond which a chord of one hand is wider than piano writing for most hands: a tenth.
const WIDE: i32 = 16;

/// Wide chords before they are a sign, for each hundred slices. Chosen by us: large romantic piano music stays below.
const WIDE_PER_HUNDRED: usize = 4;

/// Tremolos before they are a sign. Chosen by us: one or two are an effect, more stand for strings or drums.
const TREMOLOS: usize = 4;

/// Struck-again chords of three notes or more, in per cent of slices, before they are a sign. Chosen by us.
const REPEATED_PERCENT: usize = 30;

/// All signs of one score.
pub(super) fn signs(score: &Score, hands: &Hands) -> Vec<ArrangementSign> {
    let mut signs = credits(score);
    signs.extend(other_parts(score, hands));
    signs.extend(textures(score, hands));
    signs
}

fn credits(score: &Score) -> Vec<ArrangementSign> {
    let title = score.title.iter().map(|title| ("title", title.as_str()));
    let credits = score.credits.iter().map(|(kind, text)| (kind.as_str(), text.as_str()));
    title
        .chain(credits)
        .filter(|(kind, text)| {
            let text = text.to_lowercase();
            kind.eq_ignore_ascii_case("arranger") || WORDS.iter().any(|word| begins_a_word(&text, word))
        })
        .map(|(_, text)| {
            let shown: String = text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(80).collect();
            ArrangementSign { seen: format!("the credits say `{shown}`"), measures: Vec::new() }
        })
        .take(3)
        .collect()
}

fn begins_a_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| !text[..at].chars().next_back().is_some_and(char::is_alphanumeric))
}

fn other_parts(score: &Score, hands: &Hands) -> Option<ArrangementSign> {
    let mut played = vec![false; score.parts.len()];
    for note in marks::played(score, hands) {
        if let Some(part) = played.get_mut(usize::from(note.part)) {
            *part = true;
        }
    }
    let others: Vec<&str> =
        score.parts.iter().zip(&played).filter(|(_, played)| !**played).map(|(part, _)| part.name.as_str()).collect();
    let first = others.first()?;
    let seen = match (others.len(), first.is_empty()) {
        (1, false) => format!("the piano plays beside another part, `{first}`"),
        (count, _) => format!("the piano plays beside {count} other parts"),
    };
    Some(ArrangementSign { seen, measures: Vec::new() })
}

fn textures(score: &Score, hands: &Hands) -> Vec<ArrangementSign> {
    let mut slices = 0_usize;
    let (mut wide, mut repeated): (Vec<MeasureIndex>, Vec<MeasureIndex>) = (Vec::new(), Vec::new());
    for hand in Hand::BOTH {
        let line = hands.line(hand);
        let mut previous: Vec<u8> = Vec::new();
        for index in 0..line.slices.len() {
            let notes = slice_notes(line, index).iter().filter_map(|id| score.notes.get(*id));
            let keys: Vec<u8> = notes.clone().map(|note| note.midi.number()).collect();
            let (Some(first), Some(low), Some(high)) = (notes.clone().next(), keys.iter().min(), keys.iter().max())
            else {
                continue;
            };
            slices += 1;
            let rolled = notes.clone().any(|note| note.marks.contains(NoteMarks::ARPEGGIO));
            if i32::from(*high) - i32::from(*low) > WIDE && !rolled {
                wide.push(first.measure);
            }
            if keys.len() >= 3 && keys == previous {
                repeated.push(first.measure);
            }
            previous = keys;
        }
    }
    let tremolos: Vec<MeasureIndex> = marks::played(score, hands)
        .filter(|note| note.marks.contains(NoteMarks::TREMOLO))
        .map(|note| note.measure)
        .collect();

    let mut signs = Vec::new();
    let mut add =
        |seen: String, measures| signs.push(ArrangementSign { seen, measures: first_measures(score, measures) });
    if wide.len() * 100 > slices * WIDE_PER_HUNDRED {
        add(format!("{} chords of one hand are wider than a tenth and not rolled", wide.len()), wide);
    }
    if tremolos.len() >= TREMOLOS {
        add(format!("{} notes with a tremolo", tremolos.len()), tremolos);
    }
    if repeated.len() * 100 > slices * REPEATED_PERCENT {
        add(format!("{} full chords struck again unchanged", repeated.len()), repeated);
    }
    signs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Part;
    use crate::testing;

    #[test]
    fn credits_that_name_an_arranger_are_a_sign_and_ordinary_names_are_not() {
        let (mut score, hands) = testing::score("R: C4/1 D4");
        score.credits.push(("composer".into(), "Beardsley, J. Carr".into()));
        assert_eq!(signs(&score, &hands), []);
        score.credits.push(("rights".into(), "Arr. by\nO. Brand".into()));
        let found = signs(&score, &hands);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].sentence(), "sign of an arrangement: the credits say `Arr. by O. Brand`");
    }

    #[test]
    fn chords_beyond_a_tenth_are_a_sign_unless_they_are_rolled() {
        let (score, hands) = testing::score("L: [C2 G3] [D2 A3] [C2 E3] C2");
        let found = signs(&score, &hands);
        assert_eq!(found[0].seen, "2 chords of one hand are wider than a tenth and not rolled");
        assert_eq!(found[0].measures, ["1"]);
        let (score, hands) = testing::score("L: [C2 G3]!roll [D2 A3]!roll C2");
        assert_eq!(signs(&score, &hands), []);
    }

    #[test]
    fn a_voice_beside_the_piano_is_said() {
        let (mut score, hands) = testing::score("R: C4/1 D4");
        score.parts.push(Part { name: "Voice".into(), ..Part::default() });
        assert_eq!(signs(&score, &hands)[0].seen, "the piano plays beside another part, `Voice`");
    }

    #[test]
    fn chords_hammered_out_unchanged_are_a_sign() {
        let (score, hands) = testing::score("R: [C4 E4 G4]/8 [C4 E4 G4] [C4 E4 G4] [C4 E4 G4]");
        assert_eq!(signs(&score, &hands)[0].seen, "3 full chords struck again unchanged");
    }
}

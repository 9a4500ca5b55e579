//! Words that set a tempo.
//!
//! In: words as printed, in Italian, French, German or English. Out: whether they set a tempo, and the pace they ask for,
//! in beats a minute. Which note value the beat is depends on the meter and is not decided here.
//!
//! The first term of a heading counts (`Andante quasi allegretto` is an andante), words beside it push it, negations
//! (`nicht zu schnell`) pull it to the middle, and words that only change a tempo (`ritardando`, `più mosso`) or bring one
//! back (`a tempo`) set none.

mod table;

use table::{CHANGES, CONNECTIVES, Degree, NEGATIONS, PASSING, PUSHES, TERMS};

/// A tempo that words ask for.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pace {
    /// Beats a minute.
    pub beats_per_minute: f64,
    /// The word is one of character (`maestoso`, `ruhig`), which in the middle of a piece often asks for expression only.
    pub character: bool,
}

/// The pace in the middle, to which negations and `moderato` pull, in beats a minute. Common practice, no source.
const MIDDLE: f64 = 104.0;

/// How far a negation pulls the pace to the middle: half of the way. Chosen by us.
const NEGATION_PULL: f64 = 0.5;

/// How far `moderato` beside another term pulls it to the middle: a third of the way. Chosen by us.
const MODERATE_PULL: f64 = 1.0 / 3.0;

/// Words that are looked at; a tempo is named at the beginning of a heading. Chosen by us.
const MOST_WORDS: usize = 12;

/// True when the words set a tempo.
pub fn is_tempo(words: &str) -> bool {
    read_pace(words).is_some()
}

/// True when the words ask for a passing change of the tempo (`poco rit.`, `accel.`, `ten.`), and not for its return.
pub fn is_passing_change(words: &str) -> bool {
    let lower = words.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    let mut passing = false;
    words.all(|word| {
        passing |= PASSING.contains(&word);
        !RETURNS.contains(&word)
    }) && passing
}

/// Words of a return to a tempo.
const RETURNS: [&str; 5] = ["tempo", "mouvement", "mouvt", "mesure", "zeitmaß"];

/// The pace that the words ask for.
pub fn read_pace(words: &str) -> Option<Pace> {
    let lower = words.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty()).take(MOST_WORDS).collect();
    let first = words.iter().position(|word| term(word).is_some())?;
    let before = &words[..first];
    // What stands before a term must belong to it; in other sentences the word is only mentioned.
    let belongs = |word: &&str| {
        CONNECTIVES.contains(word) || NEGATIONS.contains(word) || PUSHES.iter().any(|(push, _)| push == word)
    };
    if !before.iter().all(belongs) || CHANGES.iter().any(|change| starts_with(&words, change)) {
        return None;
    }
    let (mut beats, mut character) = term(words[first])?;
    let mut rest = &words[first + 1..];
    // `mäßig schnell`, `moderately fast`: a moderate adverb before another term softens it.
    if MODERATE_ADVERBS.contains(&words[first])
        && let Some((main, main_character)) = rest.first().and_then(|word| term(word))
    {
        (beats, character) = (pulled(main, MODERATE_PULL), main_character);
        rest = &rest[1..];
    }
    beats = push(beats, before);
    beats = push(beats, rest);
    Some(Pace { beats_per_minute: beats, character })
}

/// Words that are a term alone and soften another one.
const MODERATE_ADVERBS: [&str; 6] = ["moderately", "mäßig", "mässig", "massig", "modérément", "moderement"];

fn term(word: &str) -> Option<(f64, bool)> {
    TERMS.iter().find(|entry| entry.word == word).map(|entry| (entry.beats, entry.character))
}

fn starts_with(words: &[&str], phrase: &str) -> bool {
    let mut words = words.iter();
    phrase.split(' ').all(|part| words.next().is_some_and(|word| *word == part))
}

/// Applies the words beside a term.
fn push(mut beats: f64, words: &[&str]) -> f64 {
    let mut negated = false;
    for word in words {
        // A change or a second tempo further on is not about this one.
        if CHANGES.contains(word) {
            break;
        }
        if NEGATIONS.contains(word) {
            negated = true;
            continue;
        }
        let Some((_, degree)) = PUSHES.iter().find(|(push, _)| push == word) else { continue };
        let away = if beats >= MIDDLE { 1.0 } else { -1.0 };
        beats *= match (degree, negated) {
            (Degree::Very, false) => 1.0 + 0.12 * away,
            (Degree::Rather, false) | (Degree::Very, true) => 1.0 - 0.08 * away,
            (Degree::Lively, false) | (Degree::Broad, true) => 1.08,
            (Degree::Broad, false) | (Degree::Lively, true) => 0.92,
            (Degree::Rather, true) => 1.0,
        };
        if *degree == Degree::Very && negated {
            negated = false;
        }
    }
    if negated { pulled(beats, NEGATION_PULL) } else { beats }
}

fn pulled(beats: f64, by: f64) -> f64 {
    beats + (MIDDLE - beats) * by
}

#[cfg(test)]
mod tests {
    use super::*;

    fn beats(words: &str) -> f64 {
        read_pace(words).unwrap_or_else(|| panic!("`{words}` is a tempo")).beats_per_minute
    }

    #[test]
    fn the_terms_are_in_their_usual_order() {
        let slow_to_fast =
            ["Largo", "Adagio", "Andante", "Andantino", "Moderato", "Allegretto", "Allegro", "Vivace", "Presto"];
        assert!(slow_to_fast.is_sorted_by(|a, b| beats(a) < beats(b)));
        for (words, same) in [("Langsam", "Lent"), ("Schnell", "Vite"), ("Lebhaft", "Lively")] {
            assert!((beats(words) / beats(same) - 1.0).abs() < 0.1, "{words} and {same}");
        }
    }

    #[test]
    fn the_first_term_counts_and_its_neighbours_push_it() {
        assert!((beats("Andante quasi allegretto") - beats("Andante")).abs() < 1.0);
        assert!(beats("Allegro molto") > beats("Allegro"));
        assert!(beats("Adagio molto") < beats("Adagio"));
        assert!(beats("Allegro con brio") > beats("Allegro"));
        assert!(beats("Andante con moto") > beats("Andante"));
        assert!(beats("Allegro moderato") < beats("Allegro"));
        assert!(beats("Allegro ma non troppo") < beats("Allegro"));
        assert!(beats("Lento, ma non troppo") > beats("Lento"));
        assert!(beats("Poco allegro, con affetto") < beats("Allegro"));
        assert!(beats("Sehr langsam") < beats("Langsam"));
    }

    #[test]
    fn negations_pull_to_the_middle() {
        for words in ["Nicht zu schnell", "Not too fast", "Pas trop vite", "Nicht schnell"] {
            assert!(beats(words) < beats("Schnell") && beats(words) > 90.0, "{words}");
        }
        assert!(beats("Mäßig schnell") < beats("Schnell"));
        assert!(beats("Moderately fast") > beats("Moderately"));
    }

    #[test]
    fn changes_and_expression_set_no_tempo() {
        for words in [
            "a tempo",
            "Tempo primo",
            "Tempo I",
            "ritardando",
            "poco rit.",
            "più mosso",
            "meno mosso",
            "accel.",
            "string.",
            "più allegro",
            "un peu plus lent",
            "L'istesso tempo",
            "dolce",
            "cresc. molto",
            "In the style of an allegro",
            "peu à peu plus vite",
            "",
            "schneller",
            "Fine",
            "1) Very few pianists follow this",
        ] {
            assert_eq!(read_pace(words), None, "{words}");
        }
    }

    #[test]
    fn passing_changes_are_told_from_returns() {
        for words in ["poco rit.", "ritardando", "riten.", "rallent .", "ten.", "accel.", "smorz.", "cresc. e stretto"]
        {
            assert!(is_passing_change(words), "{words}");
        }
        for words in ["a tempo", "rit. a tempo", "più mosso", "Tempo I", "dolce", "tenebroso assai"] {
            assert!(!is_passing_change(words), "{words}");
        }
    }

    #[test]
    fn dances_name_their_tempo() {
        assert!(beats("Tempo di valse") > beats("Tempo di menuetto"));
        assert!(beats("Alla marcia") > 100.0);
    }
}

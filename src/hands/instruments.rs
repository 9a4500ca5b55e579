//! What the name of a part says: a keyboard, another instrument, one of the hands.
//!
//! The words are those of part names in the languages scores are printed in. Common practice, no source.

use crate::score::Part;
use crate::units::Hand;

/// What a part is for, by its names.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Instrument {
    Keyboard,
    Other,
    Unknown,
}

#[rustfmt::skip]
const KEYBOARDS: &[&str] = &[
    "piano", "pianoforte", "fortepiano", "klavier", "clavier", "hammerklavier", "keyboard", "cembalo", "harpsichord",
    "clavecin", "clavichord", "virginal", "spinet", "pf", "pfte", "pno", "klav", "flügel", "organ", "orgel", "orgue", "organo",
    "harmonium", "celesta", "teclado", "tastiera", "pianino", "фортепиано",
];

#[rustfmt::skip]
const OTHERS: &[&str] = &[
    "voice", "voices", "soprano", "sopran", "mezzo", "alto", "contralto", "tenor", "tenore", "baritone", "bariton", "bass", "basso",
    "canto", "gesang", "singstimme", "chant", "voix", "vocal", "vocals", "choir", "chorus", "chor", "coro",
    "violin", "violins", "violine", "violino", "violon", "viola", "bratsche", "cello", "violoncello", "violoncelle", "contrabass",
    "kontrabass", "contrebasse", "strings", "streicher", "fiddle",
    "flute", "flutes", "flöte", "flauto", "flûte", "piccolo", "recorder", "blockflöte", "oboe", "hautbois", "clarinet", "clarinets",
    "klarinette", "clarinetto", "clarinette", "bassoon", "fagott", "fagotto", "basson", "saxophone", "saxophon", "sax",
    "horn", "horns", "corno", "cor", "trumpet", "trumpets", "trompete", "tromba", "trompette", "trombone", "posaune", "tuba",
    "timpani", "pauken", "drums", "drumset", "drum", "percussion", "schlagzeug", "triangle",
    "guitar", "guitars", "gitarre", "guitare", "chitarra", "harp", "harfe", "arpa", "lute", "laute", "mandolin", "banjo", "ukulele",
    "accordion", "akkordeon", "glockenspiel", "xylophone", "vibraphone", "marimba", "bells",
];

#[rustfmt::skip]
const RIGHTS: &[&str] = &["right", "rh", "droite", "destra", "rechte", "rechts", "derecha", "md"];

#[rustfmt::skip]
const LEFTS: &[&str] = &["left", "lh", "gauche", "sinistra", "linke", "links", "izquierda", "ms", "mg"];

/// True when a word of `text` is in `list`; `m.d.` and the like count as one word.
fn names(text: &str, list: &[&str]) -> bool {
    let lower = text.to_lowercase().replace('.', "");
    lower.split(|c: char| !c.is_alphabetic()).any(|word| list.contains(&word))
}

/// What a part is for.
pub(super) fn instrument(part: &Part) -> Instrument {
    let of = |text: &str| {
        if names(text, KEYBOARDS) {
            Instrument::Keyboard
        } else if names(text, OTHERS) {
            Instrument::Other
        } else {
            Instrument::Unknown
        }
    };
    match of(&part.name) {
        Instrument::Unknown => part.instrument.as_deref().map_or(Instrument::Unknown, of),
        known => known,
    }
}

/// The hand that a part is named after.
pub(super) fn named_hand(part: &Part) -> Option<Hand> {
    match (names(&part.name, RIGHTS), names(&part.name, LEFTS)) {
        (true, false) => Some(Hand::Right),
        (false, true) => Some(Hand::Left),
        _ => None,
    }
}

/// True for a part that prints another way of playing.
pub(super) fn is_ossia(part: &Part) -> bool {
    names(&part.name, &["ossia"])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str, instrument: Option<&str>) -> Part {
        Part { name: name.into(), instrument: instrument.map(str::to_owned), ..Part::default() }
    }

    #[test]
    fn names_tell_keyboards_from_others_in_several_languages() {
        for name in ["Piano", "Klavier", "Pianoforte", "Pno.", "Piano 1", "Cembalo", "Bass (Piano)"] {
            assert_eq!(instrument(&named(name, None)), Instrument::Keyboard, "{name}");
        }
        for name in ["Violin I", "Gesang", "Harp", "Bass Clarinet", "Voice"] {
            assert_eq!(instrument(&named(name, None)), Instrument::Other, "{name}");
        }
        for name in ["", "Music", "Part 1", "OB.", "Right hand"] {
            assert_eq!(instrument(&named(name, None)), Instrument::Unknown, "{name}");
        }
        assert_eq!(instrument(&named("Staff", Some("Grand Piano"))), Instrument::Keyboard);
        assert_eq!(instrument(&named("Harpsichord", Some("Harp"))), Instrument::Keyboard, "the name goes first");
    }

    #[test]
    fn hands_are_named_too() {
        assert_eq!(named_hand(&named("Piano L.H.", None)), Some(Hand::Left));
        assert_eq!(named_hand(&named("Main droite", None)), Some(Hand::Right));
        assert_eq!(named_hand(&named("Piano", None)), None);
    }
}

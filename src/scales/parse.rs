//! Names of keys and scales as people type them.
//!
//! In: `Eb`, `e-flat major`, `F# minor`, `f sharp`, `Bbm`, `C harmonic minor`, `chromatic`. Out: a [`Scale`], or what was
//! not understood together with the nearest name that would be.

use super::key::Key;
use super::note_name::NoteName;
use super::scale::{Form, Scale};
use crate::score::Mode;
use crate::units::Step;

/// A name that is no key or scale.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum NameError {
    /// No note, or words that are no mode or form.
    #[error("`{asked}` is no key; did you mean `{nearest}`?")]
    Unknown {
        /// As typed.
        asked: String,
        /// The known name that looks most like it.
        nearest: String,
    },
    /// A key whose signature would need double accidentals.
    #[error("`{asked}` would need more than seven accidentals; the same keys are played in `{nearest}`")]
    BeyondSevenAccidentals {
        /// As understood.
        asked: String,
        /// Its enharmonic twin.
        nearest: String,
    },
    /// A form that does not belong to the mode of the key.
    #[error("the {form} scale has no {key}; ask for `{nearest}`")]
    FormOfOtherMode {
        /// The form asked for.
        form: Form,
        /// The key asked for.
        key: String,
        /// The same tonic in the mode of that form, or the key itself where there is none.
        nearest: String,
    },
    /// A word that names no form.
    #[error("`{asked}` is no form of a scale; the forms are major, natural, harmonic, melodic and chromatic")]
    UnknownForm {
        /// As typed.
        asked: String,
    },
}

/// What was typed, taken apart.
#[derive(Default)]
struct Words {
    tonic: Option<NoteName>,
    mode: Option<Mode>,
    form: Option<Form>,
    unknown: bool,
}

impl Form {
    /// `harmonic`, `harmonic minor`, `natural minor`, `Melodic`, `major`, `chromatic`; `minor` alone is harmonic, the
    /// form asked for first at lessons (common practice, no source).
    pub fn parse(text: &str) -> Result<Self, NameError> {
        let words = take_apart(text);
        match (words.tonic, words.form, words.mode) {
            _ if words.unknown => None,
            (None, Some(form), mode) if mode.is_none() || form.mode() == mode => Some(form),
            (None, None, Some(Mode::Major)) => Some(Self::Major),
            (None, None, Some(Mode::Minor)) => Some(Self::HarmonicMinor),
            _ => None,
        }
        .ok_or_else(|| NameError::UnknownForm { asked: shortened(text) })
    }
}

impl Key {
    /// The key of a typed name. A tonic alone is major, as in `Eb`; so is a small letter, since few type capitals.
    pub fn parse(text: &str) -> Result<Self, NameError> {
        let words = take_apart(text);
        let unknown = || unknown(text);
        if words.unknown {
            return Err(unknown());
        }
        let mode = words.mode.or(words.form.and_then(Form::mode)).unwrap_or(Mode::Major);
        key_of(words.tonic.ok_or_else(unknown)?, mode)
    }
}

impl Scale {
    /// The scale of a typed name; `form`, when given, goes before a form in the name. A minor key without a form is
    /// harmonic minor, and a tonic with a minor form is a minor key.
    pub fn parse(text: &str, form: Option<Form>) -> Result<Self, NameError> {
        let words = take_apart(text);
        let form = form.or(words.form);
        let tonic = match (words.tonic, form) {
            _ if words.unknown => Err(unknown(text)),
            (Some(tonic), _) => Ok(tonic),
            (None, Some(Form::Chromatic)) => Ok(NoteName { step: Step::C, alter: 0 }),
            (None, _) => Err(unknown(text)),
        }?;
        let mode = words.mode.or(form.and_then(Form::mode)).unwrap_or(Mode::Major);
        let form = form.unwrap_or(match mode {
            Mode::Major => Form::Major,
            Mode::Minor => Form::HarmonicMinor,
        });
        if form == Form::Chromatic {
            // The signature does not matter: any tonic that begins a major or minor scale will do.
            let key = Key::of_tonic(tonic, Mode::Major).or_else(|| Key::of_tonic(tonic, Mode::Minor));
            return key.and_then(|key| Self::new(key, form)).ok_or_else(|| unknown(text));
        }
        if form.mode() != Some(mode) {
            let other = form.mode().unwrap_or(mode);
            let key = key_of(tonic, mode)?;
            let nearest = Key::of_tonic(tonic, other).and_then(|key| Self::new(key, form));
            let nearest = nearest.map_or_else(|| key.to_string(), |scale| scale.to_string());
            return Err(NameError::FormOfOtherMode { form, key: key.to_string(), nearest });
        }
        Self::new(key_of(tonic, mode)?, form).ok_or_else(|| unknown(text))
    }
}

fn key_of(tonic: NoteName, mode: Mode) -> Result<Key, NameError> {
    Key::of_tonic(tonic, mode).ok_or_else(|| {
        let nearest = Key::twelve(mode).find(|key| key.tonic().pitch_class() == tonic.pitch_class());
        let mode = if mode == Mode::Major { "major" } else { "minor" };
        NameError::BeyondSevenAccidentals {
            asked: format!("{tonic} {mode}"),
            nearest: nearest.map_or_else(String::new, |key| key.to_string()),
        }
    })
}

/// Letters, accidentals and words, in any order that makes sense; hyphens, underscores and spaces part words.
fn take_apart(text: &str) -> Words {
    let mut words = Words::default();
    let parted = text.replace('♭', " flat ").replace(['♯', '#'], " sharp ");
    let parted = parted.split(|c: char| c.is_whitespace() || matches!(c, '-' | '_' | ','));
    for (index, word) in parted.filter(|word| !word.is_empty()).enumerate() {
        if index == 0 && take_tonic(word, &mut words) {
            continue;
        }
        match word.to_lowercase().as_str() {
            "flat" => alter(&mut words, -1),
            "sharp" => alter(&mut words, 1),
            "natural" if words.form.is_none() => words.form = Some(Form::NaturalMinor),
            "harmonic" if words.form.is_none() => words.form = Some(Form::HarmonicMinor),
            "melodic" if words.form.is_none() => words.form = Some(Form::MelodicMinor),
            "chromatic" if words.form.is_none() => words.form = Some(Form::Chromatic),
            "major" | "maj" if words.mode.is_none() => words.mode = Some(Mode::Major),
            "minor" | "min" if words.mode.is_none() => words.mode = Some(Mode::Minor),
            "m" if words.mode.is_none() => words.mode = Some(if word == "m" { Mode::Minor } else { Mode::Major }),
            "scale" | "key" => {}
            _ => words.unknown = true,
        }
    }
    words
}

/// A first word such as `E`, `eb`, `Bbm`, `Eflat`, `Cmaj`; false if it does not begin with a note.
fn take_tonic(word: &str, words: &mut Words) -> bool {
    let mut rest = word.chars();
    let Some(step) = rest.next().and_then(|letter| Step::from_letter(letter.to_ascii_uppercase())) else {
        return false;
    };
    let rest = rest.as_str();
    let lower = rest.to_ascii_lowercase();
    let (alter, mode) = match lower.as_str() {
        name if name.starts_with("flat") => (-1, rest.get(4..)),
        name if name.starts_with("sharp") => (1, rest.get(5..)),
        name if name.starts_with('b') => (-1, rest.get(1..)),
        _ => (0, Some(rest)),
    };
    let mode = match mode {
        Some("") => None,
        Some("m") => Some(Mode::Minor),
        Some("M") => Some(Mode::Major),
        Some(mode) if ["min", "minor"].iter().any(|name| mode.eq_ignore_ascii_case(name)) => Some(Mode::Minor),
        Some(mode) if ["maj", "major"].iter().any(|name| mode.eq_ignore_ascii_case(name)) => Some(Mode::Major),
        _ => return false,
    };
    words.tonic = Some(NoteName { step, alter });
    words.mode = mode;
    true
}

fn alter(words: &mut Words, by: i8) {
    match &mut words.tonic {
        // Only directly after a plain letter, so `Eb flat` and `E major flat` are not understood.
        Some(name) if name.alter == 0 && words.mode.is_none() && words.form.is_none() => name.alter = by,
        _ => words.unknown = true,
    }
}

/// What was typed, cut to what a message can show; comparing a long text would also take time squared.
fn shortened(text: &str) -> String {
    text.trim().chars().take(40).collect()
}

/// The known name that looks most like what was typed; ties go to the key with fewer accidentals, then to major, then
/// to sharps.
fn unknown(text: &str) -> NameError {
    let asked = shortened(text);
    let lower = asked.to_lowercase();
    let keys = Key::all(Mode::Major).chain(Key::all(Mode::Minor));
    let nearest = keys.min_by_key(|key| {
        let name = key.to_string().to_lowercase();
        (strsim::damerau_levenshtein(&lower, &name), key.fifths().unsigned_abs(), key.mode(), key.fifths() < 0)
    });
    NameError::Unknown { asked, nearest: nearest.map_or_else(String::new, |key| key.to_string()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(text: &str) -> String {
        Scale::parse(text, None).map_or_else(|error| error.to_string(), |scale| scale.to_string())
    }

    #[test]
    fn keys_are_understood_however_they_are_typed() {
        for text in ["E-flat major", "Eb", "eb", "E flat", "e-flat major", "E♭", "EB MAJOR", "Ebmaj", " Eflat ", "EbM"]
        {
            assert_eq!(Key::parse(text).map(|key| key.to_string()), Ok("E-flat major".into()), "{text}");
        }
        for text in ["F-sharp minor", "F# minor", "f#m", "F♯ min", "Fsharp minor", "F sharp m", "f#-minor"] {
            assert_eq!(Key::parse(text).map(|key| key.to_string()), Ok("F-sharp minor".into()), "{text}");
        }
        assert_eq!(Key::parse("bb").unwrap().to_string(), "B-flat major");
        assert_eq!(Key::parse("b").unwrap().to_string(), "B major");
        assert_eq!(Key::parse("Bm").unwrap().to_string(), "B minor");
        assert_eq!(Key::parse("C melodic minor").unwrap().to_string(), "C minor");
    }

    #[test]
    fn every_key_reads_back_from_its_own_name() {
        for mode in [Mode::Major, Mode::Minor] {
            for key in Key::all(mode) {
                assert_eq!(Key::parse(&key.to_string()), Ok(key));
            }
        }
        for known in Scale::all() {
            assert_eq!(Scale::parse(&known.to_string(), None), Ok(known));
        }
    }

    #[test]
    fn scales_take_their_form_from_the_name_or_beside_it() {
        assert_eq!(scale("C minor"), "C harmonic minor");
        assert_eq!(scale("C natural minor"), "C natural minor");
        assert_eq!(scale("c harmonic"), "C harmonic minor");
        assert_eq!(scale("chromatic"), "C chromatic");
        assert_eq!(scale("Eb chromatic scale"), "E-flat chromatic");
        let melodic = Scale::parse("A minor", Some(Form::MelodicMinor)).unwrap();
        assert_eq!(melodic.to_string(), "A melodic minor");
        let from_tonic = Scale::parse("A", Some(Form::MelodicMinor)).unwrap();
        assert_eq!(from_tonic.to_string(), "A melodic minor");
    }

    #[test]
    fn what_is_no_key_is_refused_with_the_nearest_name() {
        assert_eq!(scale("E-flt major"), "`E-flt major` is no key; did you mean `E-flat major`?");
        assert_eq!(scale("H minor"), "`H minor` is no key; did you mean `A minor`?");
        assert_eq!(
            scale("G-sharp major"),
            "`G-sharp major` would need more than seven accidentals; the same keys are played in `A-flat major`"
        );
        assert_eq!(scale("C major harmonic"), "the harmonic minor scale has no C major; ask for `C harmonic minor`");
        assert!(Scale::parse("C minor", Some(Form::Major)).unwrap_err().to_string().contains("ask for `C major`"));
        for text in ["", " ", "-", "Es", "E-flat flat", "minor", "C major minor", "ü", "E#b", "𝄫"] {
            assert!(Scale::parse(text, None).is_err(), "{text}");
            assert!(Key::parse(text).is_err(), "{text}");
        }
        assert!(Scale::parse(&"E-flat ".repeat(100_000), None).is_err());
    }

    #[test]
    fn forms_are_understood_with_or_without_the_mode() {
        assert_eq!(Form::parse("Harmonic"), Ok(Form::HarmonicMinor));
        assert_eq!(Form::parse("natural-minor"), Ok(Form::NaturalMinor));
        assert_eq!(Form::parse("minor"), Ok(Form::HarmonicMinor));
        assert_eq!(Form::parse("major"), Ok(Form::Major));
        assert_eq!(Form::parse("chromatic"), Ok(Form::Chromatic));
        for text in ["", "dorian", "harmonic major", "C"] {
            assert!(Form::parse(text).is_err(), "{text}");
        }
    }
}

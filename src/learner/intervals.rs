//! Intervals as musicians name them, in semitones.
//!
//! In: `"octave"`, `"minor tenth"`, `"12"`. Out: semitones of the keyboard. The sizes are those of any primer of theory.

/// Names and semitones of the intervals that have one size only, or whose plain name means the major one at the piano.
const NAMES: [(&str, i32); 14] = [
    ("second", 2),
    ("third", 4),
    ("fourth", 5),
    ("tritone", 6),
    ("fifth", 7),
    ("sixth", 9),
    ("seventh", 11),
    ("octave", 12),
    ("ninth", 14),
    ("tenth", 16),
    ("eleventh", 17),
    ("twelfth", 19),
    ("thirteenth", 21),
    ("fourteenth", 23),
];

/// Intervals that come as minor and major.
const WITH_MINOR: [&str; 8] = ["second", "third", "sixth", "seventh", "ninth", "tenth", "thirteenth", "fourteenth"];

/// Semitones of an interval given by name, or `None` when the name says none.
pub fn semitones(name: &str) -> Option<i32> {
    let name = name.trim().to_lowercase();
    if let Ok(number) = name.parse::<i32>() {
        return Some(number);
    }
    let mut words = name.split([' ', '-']).filter(|word| !word.is_empty());
    let (quality, noun) = match (words.next(), words.next(), words.next()) {
        (Some(noun), None, None) => (None, noun),
        (Some(quality), Some(noun), None) => (Some(quality), noun),
        _ => return None,
    };
    let (_, plain) = NAMES.iter().find(|(known, _)| *known == noun)?;
    let has_minor = WITH_MINOR.contains(&noun);
    match quality {
        None => Some(*plain),
        Some("major") if has_minor => Some(*plain),
        Some("minor") if has_minor => Some(plain - 1),
        Some("perfect") if !has_minor && noun != "tritone" => Some(*plain),
        Some("augmented") if noun != "tritone" => Some(plain + 1),
        Some("diminished") if noun != "tritone" => Some(plain - if has_minor { 2 } else { 1 }),
        _ => None,
    }
}

/// The name of so many semitones with its article, for sentences: `a minor tenth`, `an octave`.
pub fn with_article(semitones: i32) -> String {
    let name = name(semitones);
    match name.as_str() {
        "two octaves" => name,
        _ if name.starts_with(|c: char| c.is_ascii_digit()) => name,
        _ if name.starts_with(['a', 'e', 'i', 'o', 'u']) && name != "unison" => format!("an {name}"),
        _ => format!("a {name}"),
    }
}

/// The name of so many semitones: `minor tenth`.
pub fn name(semitones: i32) -> String {
    let within = [
        "unison",
        "minor second",
        "second",
        "minor third",
        "third",
        "fourth",
        "tritone",
        "fifth",
        "minor sixth",
        "sixth",
        "minor seventh",
        "seventh",
        "octave",
        "minor ninth",
        "ninth",
        "minor tenth",
        "tenth",
        "eleventh",
        "diminished twelfth",
        "twelfth",
        "minor thirteenth",
        "thirteenth",
        "minor fourteenth",
        "fourteenth",
        "two octaves",
    ];
    match usize::try_from(semitones).ok().and_then(|index| within.get(index)) {
        Some(known) => (*known).to_owned(),
        None => format!("{semitones} semitones"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_numbers_mean_the_same() {
        for (name, expected) in [
            ("octave", 12),
            ("Ninth", 14),
            ("minor ninth", 13),
            ("major-tenth", 16),
            ("perfect fifth", 7),
            ("augmented fourth", 6),
            ("diminished fifth", 6),
            ("diminished seventh", 9),
            ("15", 15),
        ] {
            assert_eq!(semitones(name), Some(expected), "{name}");
        }
        for nonsense in ["", "minor octave", "perfect tenth", "big octave", "octave and a bit", "handspan"] {
            assert_eq!(semitones(nonsense), None, "{nonsense}");
        }
    }

    #[test]
    fn every_size_up_to_two_octaves_has_a_name_that_reads_back() {
        for size in 2..=23 {
            assert_eq!(semitones(&name(size)), Some(size), "{}", name(size));
        }
        assert_eq!(name(30), "30 semitones");
        let said = [0, 12, 14, 17, 24, 30].map(with_article);
        assert_eq!(said, ["a unison", "an octave", "a ninth", "an eleventh", "two octaves", "30 semitones"]);
    }
}

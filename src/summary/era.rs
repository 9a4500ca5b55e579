//! When the music was written, where the file tells.
//!
//! In: the composer and the credits. Out: an [`Era`] with what it was taken from: years in the text, such as `(1685 -
//! 1750)`, else the name of a composer whose dates are in any dictionary of music. An era goes by the composer's year of
//! birth, which is coarse at the seams and says so in the documentation.

use serde::{Deserialize, Serialize};

/// An era of keyboard music.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Era {
    /// Composers born before 1565.
    Renaissance,
    /// Born 1565 to 1710.
    Baroque,
    /// Born 1711 to 1790.
    Classical,
    /// Born 1791 to 1860.
    Romantic,
    /// Born 1861 or later.
    Modern,
}

impl Era {
    /// All, in order.
    pub const ALL: [Self; 5] = [Self::Renaissance, Self::Baroque, Self::Classical, Self::Romantic, Self::Modern];

    /// For tables and filters.
    pub fn name(self) -> &'static str {
        match self {
            Self::Renaissance => "renaissance",
            Self::Baroque => "baroque",
            Self::Classical => "classical",
            Self::Romantic => "romantic",
            Self::Modern => "modern",
        }
    }

    /// The era of a composer born in `year`.
    ///
    /// Chosen by us so that composers fall where most histories put them: Bach (1685) and Scarlatti (1685) before
    /// C. P. E. Bach (1714), Beethoven (1770) before Czerny (1791) and Schubert (1797), Albéniz (1860) before Debussy
    /// (1862).
    pub fn of_birth(year: u16) -> Self {
        match year {
            0..=1564 => Self::Renaissance,
            1565..=1710 => Self::Baroque,
            1711..=1790 => Self::Classical,
            1791..=1860 => Self::Romantic,
            _ => Self::Modern,
        }
    }
}

/// Composers of keyboard music that lessons draw on, with the year of birth as in any dictionary of music (from
/// memory). The words must all stand in the text; entries with more words come first, so that Carl Philipp Emanuel is
/// not taken for his father.
const BORN: [(&[&str], u16); 76] = [
    (&["philipp", "emanuel", "bach"], 1714),
    (&["c", "p", "e", "bach"], 1714),
    (&["cpe", "bach"], 1714),
    (&["johann", "christian", "bach"], 1735),
    (&["wilhelm", "friedemann", "bach"], 1710),
    (&["christoph", "friedrich", "bach"], 1732),
    (&["john", "field"], 1782),
    (&["clara", "schumann"], 1819),
    (&["amy", "beach"], 1867),
    (&["scott", "joplin"], 1868),
    (&["philip", "glass"], 1937),
    (&["arvo", "pärt"], 1935),
    (&["william", "byrd"], 1540),
    (&["orlando", "gibbons"], 1583),
    (&["john", "bull"], 1562),
    (&["de", "falla"], 1876),
    (&["saint", "saëns"], 1835),
    (&["bach"], 1685),
    (&["albéniz"], 1860),
    (&["albeniz"], 1860),
    (&["balakirev"], 1837),
    (&["barber"], 1910),
    (&["bartók"], 1881),
    (&["bartok"], 1881),
    (&["bártok"], 1881),
    (&["beethoven"], 1770),
    (&["bertini"], 1798),
    (&["brahms"], 1833),
    (&["burgmüller"], 1806),
    (&["burgmuller"], 1806),
    (&["buxtehude"], 1637),
    (&["chaminade"], 1857),
    (&["chopin"], 1810),
    (&["cimarosa"], 1749),
    (&["clementi"], 1752),
    (&["couperin"], 1668),
    (&["czerny"], 1791),
    (&["debussy"], 1862),
    (&["diabelli"], 1781),
    (&["dussek"], 1760),
    (&["dvořák"], 1841),
    (&["dvorak"], 1841),
    (&["fauré"], 1845),
    (&["faure"], 1845),
    (&["froberger"], 1616),
    (&["granados"], 1867),
    (&["grieg"], 1843),
    (&["gurlitt"], 1820),
    (&["händel"], 1685),
    (&["handel"], 1685),
    (&["haydn"], 1732),
    (&["heller"], 1813),
    (&["hummel"], 1778),
    (&["janáček"], 1854),
    (&["kabalevsky"], 1904),
    (&["kuhlau"], 1786),
    (&["liszt"], 1811),
    (&["mendelssohn"], 1809),
    (&["mozart"], 1756),
    (&["mussorgsky"], 1839),
    (&["pachelbel"], 1653),
    (&["petzold"], 1677),
    (&["poulenc"], 1899),
    (&["prokofiev"], 1891),
    (&["purcell"], 1659),
    (&["rachmaninoff"], 1873),
    (&["rachmaninov"], 1873),
    (&["rameau"], 1683),
    (&["ravel"], 1875),
    (&["satie"], 1866),
    (&["scarlatti"], 1685),
    (&["schubert"], 1797),
    (&["schumann"], 1810),
    (&["scriabin"], 1872),
    (&["tchaikovsky"], 1840),
    (&["telemann"], 1681),
];

/// Words of a credit at most for a name in it to be the composer's. Chosen by us: longer texts are prose, in which
/// anyone may be named.
const MOST_WORDS: usize = 8;

/// Characters of a credit that are looked at. Chosen by us: whatever stands behind them is prose.
const MOST_CHARACTERS: usize = 200;

/// The era, from the composer first and then from the credits in order.
pub fn find_era(composer: Option<&str>, credits: &[(String, String)]) -> Option<Era> {
    let texts = || composer.into_iter().chain(credits.iter().map(|(_, text)| text.as_str())).map(shortened);
    let by_years = || texts().find_map(born_in_brackets);
    let by_name = || texts().filter(|text| !names_an_arranger(text)).find_map(born_by_name);
    by_years().or_else(by_name).map(Era::of_birth)
}

/// The first credit that names a composer of the list, for files whose composer field is empty.
pub fn find_composer(credits: &[(String, String)]) -> Option<&str> {
    let texts = credits.iter().map(|(_, text)| text.as_str());
    texts.into_iter().find(|text| !names_an_arranger(text) && born_by_name(shortened(text)).is_some())
}

/// Whether a composer field holds an arranger instead, as some exports do.
pub fn names_an_arranger(text: &str) -> bool {
    let text = shortened(text).trim_start().to_lowercase();
    ["arr.", "arr ", "arr:", "arranged", "bearb"].iter().any(|word| text.starts_with(word))
}

fn shortened(text: &str) -> &str {
    let end = text.char_indices().nth(MOST_CHARACTERS).map_or(text.len(), |(at, _)| at);
    &text[..end]
}

/// The first year of `(1685 - 1750)`, `(b. 1950)`, `(*1950)`.
fn born_in_brackets(text: &str) -> Option<u16> {
    text.split('(').skip(1).find_map(|inside| {
        let inside = inside.split(')').next()?.trim();
        let numbers: Vec<&str> =
            inside.split(|c: char| !c.is_ascii_digit()).filter(|digits| !digits.is_empty()).collect();
        let letters = inside.chars().filter(|c| c.is_alphabetic()).count();
        let born = numbers.first().filter(|digits| digits.len() == 4)?.parse().ok()?;
        let died = numbers.get(1).map(|digits| digits.parse::<u16>());
        // Two years of one life, or one year marked as a birth: a lone year is as often that of the work.
        let life = match died {
            Some(Ok(died)) => numbers.len() == 2 && letters <= 4 && (10..=110).contains(&died.saturating_sub(born)),
            Some(Err(_)) => false,
            None => inside.contains('*') || inside.to_lowercase().starts_with('b') || inside.ends_with(['-', '–']),
        };
        (life && (1400..=2100).contains(&born)).then_some(born)
    })
}

fn born_by_name(text: &str) -> Option<u16> {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    if words.len() > MOST_WORDS {
        return None;
    }
    BORN.iter().find(|(name, _)| name.iter().all(|part| words.contains(part))).map(|(_, born)| *born)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn credits(texts: &[&str]) -> Vec<(String, String)> {
        texts.iter().map(|text| (String::new(), (*text).to_owned())).collect()
    }

    fn era(composer: Option<&str>, texts: &[&str]) -> Option<Era> {
        find_era(composer, &credits(texts))
    }

    #[test]
    fn years_in_the_credits_come_before_names() {
        let credits =
            ["Minuet", "Formerly attributed to Johann Sebastian Bach\n", "Christian Petzold\n", "(1677–1733)"];
        assert_eq!(era(None, &credits), Some(Era::Baroque));
        assert_eq!(era(Some("Franz Liszt(1811 - 1886)"), &[]), Some(Era::Romantic));
        assert_eq!(era(Some("O. Brand (b. 1961)"), &[]), Some(Era::Modern));
        assert_eq!(era(Some("O. Brand (1961– )"), &[]), Some(Era::Modern));
    }

    #[test]
    fn numbers_that_are_no_life_are_no_dates() {
        for text in ["(1961)", "Etude (2)", "(BWV 846)", "K. 331 (3rd movement)", "(1685 - 1686)", "(c) 2019 - 2021"] {
            assert_eq!(era(Some(text), &[]), None, "{text}");
        }
    }

    #[test]
    fn a_known_name_tells_the_era_and_an_arranger_does_not() {
        assert_eq!(era(Some("L. van Beethoven"), &[]), Some(Era::Classical));
        assert_eq!(era(Some("Carl Philipp Emanuel Bach"), &[]), Some(Era::Classical));
        assert_eq!(era(Some("J. S. Bach"), &[]), Some(Era::Baroque));
        assert_eq!(era(Some("arr. Verona"), &["Für Elise", "L. van Beethoven"]), Some(Era::Classical));
        assert_eq!(era(Some("arr. Chopin"), &[]), None);
        assert_eq!(era(Some("Maud Tarrowby"), &["for the Lanternfold Studio"]), None);
        assert_eq!(find_composer(&credits(&["Für Elise", "L. van Beethoven"])), Some("L. van Beethoven"));
    }

    #[test]
    fn prose_that_drops_a_name_is_not_a_composer() {
        let prose = "In this study the pupil meets the left hand figures that Czerny and many others are so fond of";
        assert_eq!(era(None, &[prose]), None);
    }

    #[test]
    fn names_of_more_words_come_before_the_surname_alone() {
        for (index, (name, _)) in BORN.iter().enumerate() {
            for (longer, _) in &BORN[index + 1..] {
                assert!(!name.iter().all(|word| longer.contains(word)), "{longer:?} is hidden behind {name:?}");
            }
        }
    }
}

//! The passages planted in the corpus are found, and no others: every claim of its catalogue, in both directions.

use std::fmt;
use std::path::{Path, PathBuf};

use thumbunder::Options;
use thumbunder::analysis::{Analysis, analyse};
use thumbunder::passages::{Material, Passage, PassageKind};
use thumbunder::units::{Hand, Motion};

/// In the pieces above this level a leap or a hard crossing may come anywhere in the figures, and where depends on fingers
/// that nobody printed. Up to it they are reported only where claimed.
const HIGHEST_LEVEL_WITHOUT_CHANCE: u8 = 5;

/// One row of the catalogue.
struct Piece {
    file: String,
    level: u8,
    claims: Vec<Claim>,
}

/// One planted passage, as the catalogue writes it: `scale run|C minor harmonic|R|up|5-6`.
struct Claim {
    text: String,
    kind: String,
    key: String,
    hand: Hand,
    direction: String,
    first: i32,
    last: i32,
}

impl Claim {
    fn parse(text: &str) -> Self {
        let fields: Vec<&str> = text.split('|').collect();
        let [kind, key, hand, direction, measures] = fields[..] else { panic!("`{text}` has not five fields") };
        let hand = if hand == "R" { Hand::Right } else { Hand::Left };
        let (first, last) = measures.split_once('-').unwrap_or((measures, measures));
        let [first, last] = [first, last].map(|measure| measure.parse().unwrap());
        let [kind, key, direction] = [kind, key, direction].map(str::to_owned);
        Self { text: text.to_owned(), kind, key, hand, direction, first, last }
    }

    /// True when a passage is of this kind, material and hand, wherever it is.
    fn names(&self, found: &Found) -> bool {
        self.kind == found.kind && self.hand == found.hand && (self.key == "*" || self.key == found.key)
    }

    /// Whether a figure opens the hand so far that it is an arpeggio is a matter of degree, so a piece that has either in
    /// a hand may have both.
    fn is_kin(&self, found: &Found) -> bool {
        let chords = ["arpeggio", "broken chord"];
        self.hand == found.hand && chords.contains(&self.kind.as_str()) && chords.contains(&found.kind)
    }

    /// True when it has the direction, too.
    fn fits(&self, found: &Found) -> bool {
        self.names(found) && (self.direction == "-" || self.direction == found.direction)
    }

    /// True when the passages cover the measures of the claim. A run is one passage, from first to last note.
    fn is_found(&self, passages: &[Found]) -> bool {
        let fitting: Vec<&Found> = passages.iter().filter(|found| self.fits(found)).collect();
        if self.kind == "scale run" {
            return fitting.iter().any(|found| (found.first, found.last) == (self.first, self.last));
        }
        (self.first..=self.last)
            .all(|measure| fitting.iter().any(|found| (found.first..=found.last).contains(&measure)))
    }
}

/// A passage as the catalogue would name it.
struct Found {
    kind: &'static str,
    key: String,
    hand: Hand,
    direction: &'static str,
    first: i32,
    last: i32,
}

impl Found {
    fn new(passage: &Passage, analysis: &Analysis) -> Self {
        let number = |measure: usize| analysis.score.measures[measure].number.parse().unwrap();
        Self {
            kind: passage.kind.name(),
            key: key(passage),
            hand: passage.hand,
            direction: passage.direction.map_or("-", Motion::name),
            first: number(passage.first_measure),
            last: number(passage.last_measure),
        }
    }
}

/// The second field of a claim: `C major`, `C minor harmonic`, `thirds`, `finger over`.
fn key(passage: &Passage) -> String {
    let key = passage.material.as_ref().map(Material::key_name);
    match (passage.kind, key, passage.detail()) {
        (PassageKind::ScaleRun, Some(key), Some(form)) if key.ends_with("minor") => {
            format!("{key} {}", form.trim_end_matches(" minor"))
        }
        (PassageKind::ScaleRun | PassageKind::Arpeggio | PassageKind::BrokenChord, Some(key), _) => key,
        (PassageKind::DoubleNotes(_) | PassageKind::AwkwardCrossing(_), _, Some(detail)) => detail.to_owned(),
        _ => "-".to_owned(),
    }
}

impl fmt::Display for Found {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}|{}|{}|{}|", self.kind, self.key, self.hand.letter(), self.direction)?;
        if self.first == self.last { write!(f, "{}", self.first) } else { write!(f, "{}-{}", self.first, self.last) }
    }
}

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus")
}

fn catalogue() -> Vec<Piece> {
    let mut reader = csv::Reader::from_path(corpus().join("catalogue.csv")).unwrap();
    let piece = |row: csv::StringRecord| {
        let claims = row[5].split(';').map(str::trim).filter(|claim| !claim.is_empty()).map(Claim::parse).collect();
        Piece { file: row[0].to_owned(), level: row[4].parse().unwrap(), claims }
    };
    reader.records().map(|row| piece(row.unwrap())).collect()
}

fn passages(file: &str) -> Vec<Found> {
    let bytes = std::fs::read(corpus().join(file)).unwrap();
    let analysis = analyse(&bytes, &Options::default()).unwrap();
    let found = Hand::BOTH.iter().flat_map(|hand| &analysis.playing(*hand).passages);
    found.map(|passage| Found::new(passage, &analysis)).collect()
}

/// What parts catalogue and program on one piece: a claim that is not found, or what is reported beside the claims.
fn differences(piece: &Piece) -> Vec<String> {
    let passages = passages(&piece.file);
    let missed = piece.claims.iter().filter(|claim| !claim.is_found(&passages)).map(|claim| claim.text.clone());
    let beside = passages.iter().filter(|found| {
        let by_chance = ["leaps", "awkward crossing"].contains(&found.kind);
        // Ornaments are marked in the score and need no detective.
        found.kind != "ornaments"
            && !(by_chance && piece.level > HIGHEST_LEVEL_WITHOUT_CHANCE)
            && !piece.claims.iter().any(|claim| claim.names(found) || claim.is_kin(found))
    });
    missed.chain(beside.map(|found| format!("reported: {found}"))).collect()
}

#[test]
fn every_planted_passage_is_found_and_nothing_else_is() {
    let told =
        |piece: &Piece| differences(piece).into_iter().map(|what| format!("\n  {}: {what}", piece.file)).collect();
    let differences: Vec<String> = catalogue().iter().flat_map::<Vec<String>, _>(told).collect();
    assert!(differences.is_empty(), "corpus/catalogue.csv and the program part:{}", differences.concat());
}

#[test]
fn the_catalogue_covers_every_kind_both_hands_and_all_levels() {
    let catalogue = catalogue();
    for level in 1..=9 {
        assert!(catalogue.iter().filter(|piece| piece.level == level).count() >= 2, "level {level}");
    }
    let claims = || catalogue.iter().flat_map(|piece| &piece.claims);
    for kind in [
        "scale run",
        "arpeggio",
        "broken chord",
        "repeated notes",
        "double notes",
        "octaves",
        "leaps",
        "trill",
        "wide stretch",
    ] {
        for hand in Hand::BOTH {
            assert!(claims().any(|claim| claim.kind == kind && claim.hand == hand), "{kind}, {hand:?}");
        }
    }
    assert!(claims().any(|claim| claim.kind == "awkward crossing"));
    for form in ["major", "minor natural", "minor harmonic", "minor melodic", "chromatic"] {
        assert!(claims().any(|claim| claim.kind == "scale run" && claim.key.ends_with(form)), "{form}");
    }
}

//! What the catalogue of the corpus says of each piece, against what is found in it.

use std::path::Path;

use thumbunder::passages::{Passage, PassageKind, detect_passages};
use thumbunder::player::Player;
use thumbunder::score::Mode;
use thumbunder::units::Hand;
use thumbunder::{Limits, fingering, hands, movements, musicxml, tempo};

/// One claim of the catalogue: `kind|key and form|hand|direction|measures`, with `-` for what it leaves open.
#[derive(Debug)]
struct Claim<'a> {
    kind: &'a str,
    key: &'a str,
    hand: &'a str,
    direction: &'a str,
    measures: (u32, u32),
}

impl<'a> Claim<'a> {
    fn read(text: &'a str) -> Self {
        let [kind, key, hand, direction, measures] = text.split('|').collect::<Vec<_>>()[..] else {
            panic!("a claim has five parts: `{text}`")
        };
        let (first, last) = measures.split_once('-').unwrap_or((measures, measures));
        Self { kind, key, hand, direction, measures: (first.parse().unwrap(), last.parse().unwrap()) }
    }
}

/// A passage as the catalogue would write it.
struct Found {
    kind: PassageKind,
    key: String,
    hand: Hand,
    direction: &'static str,
    measures: (u32, u32),
}

impl Found {
    fn answers(&self, claim: &Claim) -> bool {
        let open = |wanted: &str, has: &str| wanted == "-" || wanted == has;
        let (first, last) = claim.measures;
        // A run may begin with the last note of the measure before and end on the first of the next one; a texture may be
        // told with its neighbours.
        let place = match self.kind {
            PassageKind::ScaleRun | PassageKind::Arpeggio => {
                (first - 1..=first).contains(&self.measures.0) && (last..=last + 1).contains(&self.measures.1)
            }
            _ => self.measures.0 <= last && self.measures.1 >= first,
        };
        let key = claim.key == self.kind_detail() || open(claim.key, &self.key);
        self.kind.name() == claim.kind
            && key
            && claim.hand == self.hand.letter().to_string()
            && open(claim.direction, self.direction)
            && place
    }

    fn kind_detail(&self) -> &'static str {
        match self.kind {
            PassageKind::AwkwardCrossing(crossing) => crossing.name(),
            _ => "",
        }
    }
}

fn found_in(bytes: &[u8]) -> Vec<Found> {
    let (score, mut remarks) = musicxml::read_score(bytes, &Limits::default()).unwrap();
    let both = hands::assign_hands(&score, &mut remarks).unwrap();
    let tempo = tempo::choose_tempo(&score, &both, None, &mut remarks);
    let mut found = Vec::new();
    for hand in Hand::BOTH {
        let line = both.line(hand);
        let fingers = fingering::estimate_fingering(&score, line, &tempo, &Player::default(), &mut remarks);
        let moves = movements::measure_movements(&score, line, &fingers, &tempo);
        let number = |measure: usize| score.measures[measure].number.parse().unwrap();
        for passage in detect_passages(&score, line, &fingers, &moves, &tempo) {
            found.push(Found {
                kind: passage.kind,
                key: key_and_form(&passage),
                hand,
                direction: passage.direction.map_or("-", |direction| direction.name()),
                measures: (number(passage.first_measure), number(passage.last_measure)),
            });
        }
    }
    found
}

/// `E-flat major`, `C minor harmonic`.
fn key_and_form(passage: &Passage) -> String {
    let Some(material) = passage.material else { return String::new() };
    let form = material.form().filter(|form| form.mode() == Some(Mode::Minor));
    let form = form.map_or(String::new(), |form| format!(" {}", form.name().trim_end_matches(" minor")));
    material.key_name() + &form
}

/// A piece of the corpus.
struct Piece {
    file: String,
    level: u8,
    claims: String,
    found: Vec<Found>,
}

impl Piece {
    fn claims(&self) -> impl Iterator<Item = Claim<'_>> {
        self.claims.split(';').map(str::trim).filter(|claim| !claim.is_empty()).map(Claim::read)
    }
}

/// Every piece of the corpus and what is found in it.
fn corpus() -> Vec<Piece> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus");
    let mut catalogue = csv::Reader::from_path(folder.join("catalogue.csv")).unwrap();
    let columns = catalogue.headers().unwrap().clone();
    let column = |name: &str| columns.iter().position(|column| column == name).unwrap();
    let [file, level, claims] = ["file", "level", "claims"].map(column);
    let rows = catalogue.records().map(Result::unwrap);
    let piece = |row: csv::StringRecord| {
        let bytes = std::fs::read(folder.join(&row[file])).unwrap();
        Piece {
            file: row[file].to_owned(),
            level: row[level].parse().unwrap(),
            claims: row[claims].to_owned(),
            found: found_in(&bytes),
        }
    };
    rows.map(piece).collect()
}

#[test]
fn every_planted_passage_is_found() {
    let pieces = corpus();
    assert!(pieces.len() >= 24, "the corpus is there");
    let mut missing = Vec::new();
    for piece in &pieces {
        for claim in piece.claims().filter(|claim| !piece.found.iter().any(|found| found.answers(claim))) {
            missing.push(format!("{}: {claim:?}", piece.file));
        }
    }
    assert!(missing.is_empty(), "not found:\n{}", missing.join("\n"));
}

/// Up to level 5 the catalogue names everything of these kinds; larger pieces have more than what they are made to show.
#[test]
fn smaller_pieces_without_a_claim_do_not_have_its_kind() {
    let kinds = ["octaves", "broken octaves", "wide stretch", "repeated notes", "awkward crossing"];
    for piece in corpus().iter().filter(|piece| piece.level <= 5) {
        let claimed = |kind: &str| piece.claims().any(|claim| claim.kind == kind);
        let chromatic = |found: &&Found| found.key.starts_with("chromatic");
        assert!(!piece.found.iter().any(|found| chromatic(&found)), "{}: no chromatic run is claimed", piece.file);
        for kind in kinds.into_iter().filter(|kind| !claimed(kind)) {
            let found = piece.found.iter().find(|found| found.kind.name() == kind);
            assert!(found.is_none(), "{}: {kind} in measures {:?}", piece.file, found.map(|found| found.measures));
        }
    }
}

#[test]
fn first_book_pieces_have_no_passages() {
    for piece in corpus().iter().filter(|piece| piece.level <= 2 && piece.claims.is_empty()) {
        let names: Vec<_> = piece.found.iter().map(|found| found.kind.name()).collect();
        assert!(names.is_empty(), "{}: {names:?}", piece.file);
    }
}

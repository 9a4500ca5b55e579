//! What the measures of a reason hold, in the terms in which teaching material is graded: note values, skips and chords
//! by their interval, scale passages by their length, positions, signatures.
//!
//! In: an analysis, a demand, whose it is, and the measures that show it. Out: a few words, `skips up to a tenth`, or
//! nothing where the name of the demand says it all. Guidelines for teaching material speak in these terms: skips up to
//! a fifth, an octave, beyond; scale passages up to an octave, two octaves, beyond (Scanlan 1988, from memory).

use std::collections::BTreeMap;

use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::learner::intervals::with_article;
use crate::level::{Demand, Whose, most_ledger_lines};
use crate::movements::MovementKind;
use crate::passages::PassageKind;
use crate::score::{Note, NoteMarks};
use crate::units::{Hand, Pitch, Quarters};

/// White keys from the first to the last of five neighbours: the hand in one position.
const POSITION: i32 = 4;

/// Semitones of the widest step.
const STEP: i32 = 2;

/// Semitones of two octaves: what is wider has no name of its own.
const WIDE: i32 = 24;

/// Notes of a scale of one and of two octaves.
const ONE_OCTAVE: usize = 8;
const TWO_OCTAVES: usize = 15;

/// Altered notes named before the rest is only counted. Chosen by us.
const ALTERED: usize = 3;

/// Says in terms of the trade what the measures hold.
pub fn terms(analysis: &Analysis, demand: Demand, whose: Whose, rows: (usize, usize)) -> Option<String> {
    let place = Place { analysis, rows };
    let hands = match whose {
        Whose::R => &[Hand::Right][..],
        Whose::L => &[Hand::Left][..],
        Whose::Both => &Hand::BOTH[..],
    };
    match demand {
        Demand::Speed => place.note_value(hands),
        Demand::Chords => place.chords(hands),
        Demand::Stretch => place.widest(hands),
        Demand::Travel => place.positions(hands),
        Demand::Leaps => place.skips(hands),
        Demand::Compass => place.compass(hands),
        Demand::Crossings => place.crossings(hands),
        Demand::Independence => place.cross_rhythm(),
        Demand::Metre => place.metres(),
        Demand::Signature => place.signature(),
        Demand::Accidentals => place.altered(hands),
        Demand::Ledgers => place.ledger_lines(hands),
        Demand::Ornaments => place.ornaments(hands),
        Demand::Voices | Demand::Interlock | Demand::Syncopation | Demand::Palette => None,
    }
}

/// The measures looked at.
struct Place<'a> {
    analysis: &'a Analysis,
    rows: (usize, usize),
}

impl<'a> Place<'a> {
    /// Everything one hand strikes at one onset, in order, grace notes apart.
    fn strokes(&self, hand: Hand) -> impl Iterator<Item = (Quarters, Vec<&'a Note>)> {
        let line = self.analysis.line(hand);
        let rows = self.rows;
        let notes = &self.analysis.score.notes;
        let from = line.slices.partition_point(|slice| notes[line.notes[slice.first]].measure < rows.0);
        let inside = line.slices[from..].iter().take_while(move |slice| {
            let first = line.notes[slice.first];
            notes[first].measure <= rows.1
        });
        inside.filter(|slice| slice.grace == 0).map(|slice| {
            (slice.onset, line.notes[slice.first..slice.first + slice.count].iter().map(|id| &notes[*id]).collect())
        })
    }

    fn notes(&self, hands: &[Hand]) -> impl Iterator<Item = &'a Note> {
        hands
            .iter()
            .flat_map(|hand| self.analysis.line(*hand).notes.iter())
            .map(|id| &self.analysis.score.notes[*id])
            .filter(|note| (self.rows.0..=self.rows.1).contains(&note.measure))
    }

    /// The commonest distance from stroke to stroke as a note value, the shorter of equals.
    fn note_value(&self, hands: &[Hand]) -> Option<String> {
        let mut found: BTreeMap<Quarters, usize> = BTreeMap::new();
        for hand in hands {
            let onsets: Vec<Quarters> = self.strokes(*hand).map(|(onset, _)| onset).collect();
            for pair in onsets.windows(2) {
                *found.entry(pair[1] - pair[0]).or_default() += 1;
            }
        }
        let (gap, _) = found.into_iter().rev().max_by_key(|(_, times)| *times)?;
        Some(format!("mostly {}", value_name(gap)?))
    }

    fn chords(&self, hands: &[Hand]) -> Option<String> {
        let chords = || hands.iter().flat_map(|hand| self.strokes(*hand)).map(|(_, notes)| notes);
        match chords().map(|notes| notes.len()).max()? {
            0 | 1 => None,
            2 => {
                let pairs: Vec<i32> = chords().filter(|notes| notes.len() == 2).map(|notes| span(&notes)).collect();
                let mostly = |sizes: &[i32]| pairs.iter().filter(|size| sizes.contains(size)).count() * 2 > pairs.len();
                let kinds = [("thirds", [3, 4]), ("sixths", [8, 9]), ("octaves", [12, 12])];
                let kind = kinds.iter().find(|(_, sizes)| mostly(sizes));
                Some(
                    kind.map_or("two notes at once".to_owned(), |(name, _)| {
                        format!("two notes at once, mostly {name}")
                    }),
                )
            }
            most => Some(format!("chords of up to {most} notes")),
        }
    }

    fn widest(&self, hands: &[Hand]) -> Option<String> {
        let widest = hands.iter().flat_map(|hand| self.strokes(*hand)).map(|(_, notes)| span(&notes)).max()?;
        match widest {
            0 => None,
            ..=WIDE => Some(format!("up to {} at once", with_article(widest))),
            _ => Some("rolled chords wider than two octaves".to_owned()),
        }
    }

    /// How often the hand leaves the five keys that it lies on.
    fn positions(&self, hands: &[Hand]) -> Option<String> {
        let changes = |hand: &Hand| {
            let (mut low, mut high, mut changes) = (i32::MAX, i32::MIN, 0);
            for (_, notes) in self.strokes(*hand) {
                let keys = || notes.iter().map(|note| note.pitch.staff_position());
                let (lowest, highest) = (keys().min().unwrap_or(low), keys().max().unwrap_or(high));
                (low, high) = (low.min(lowest), high.max(highest));
                // A chord wider than five keys is a position of its own.
                if high - low > POSITION.max(highest - lowest) {
                    changes += 1;
                    (low, high) = (lowest, highest);
                }
            }
            changes
        };
        match hands.iter().map(changes).max()? {
            0 => None,
            1 => Some("1 change of position".to_owned()),
            most => Some(format!("{most} changes of position")),
        }
    }

    /// The widest skip from a stroke to the next, by the edge of the hand that moves further.
    fn skips(&self, hands: &[Hand]) -> Option<String> {
        let mut widest = 0;
        for hand in hands {
            let mut before: Option<(i32, i32)> = None;
            for (_, notes) in self.strokes(*hand) {
                let here = edges(&notes);
                if let Some((low, high)) = before {
                    widest = widest.max((here.0 - low).abs().max((here.1 - high).abs()));
                }
                before = Some(here);
            }
        }
        match widest {
            _ if widest <= STEP => None,
            ..=WIDE => Some(format!("skips up to {}", with_article(widest))),
            _ => Some("skips beyond two octaves".to_owned()),
        }
    }

    fn compass(&self, hands: &[Hand]) -> Option<String> {
        let low = self.notes(hands).min_by_key(|note| note.midi)?;
        let high = self.notes(hands).max_by_key(|note| note.midi)?;
        Some(format!("from {} to {}", low.pitch, high.pitch))
    }

    /// The longest scale passage, or the passings themselves.
    fn crossings(&self, hands: &[Hand]) -> Option<String> {
        let inside = |first: usize, last: usize| first <= self.rows.1 && self.rows.0 <= last;
        let runs = hands.iter().flat_map(|hand| &self.analysis.playing(*hand).passages);
        let runs = runs.filter(|run| run.kind == PassageKind::ScaleRun && inside(run.first_measure, run.last_measure));
        if let Some(longest) = runs.map(|run| run.notes).max() {
            return Some(format!(
                "scale passages {}",
                match longest {
                    _ if longest <= ONE_OCTAVE => "within an octave",
                    ..=TWO_OCTAVES => "of up to two octaves",
                    _ => "of more than two octaves",
                }
            ));
        }
        let movements = || hands.iter().flat_map(|hand| &self.analysis.playing(*hand).movements);
        let times = |kind| {
            let of_kind = movements().filter(|movement| movement.kind == MovementKind::Crossing(kind));
            of_kind.filter(|movement| inside_of(self.rows, self.analysis.score.notes[movement.to].measure)).count()
        };
        let (under, over) = (times(CrossingKind::ThumbUnder), times(CrossingKind::FingerOver));
        (under + over > 0).then(|| format!("{under} thumb under, {over} finger over"))
    }

    /// Two against three: a quarter that one hand divides in threes and the other in twos.
    fn cross_rhythm(&self) -> Option<String> {
        /// Threes and twos of one hand in one quarter.
        type Divided = [(bool, bool); 2];
        let mut quarters: BTreeMap<(usize, i64), Divided> = BTreeMap::new();
        for (index, hand) in Hand::BOTH.iter().enumerate() {
            for (onset, notes) in self.strokes(*hand) {
                let Some(first) = notes.first() else { continue };
                let within = onset - self.analysis.score.measures[first.measure].onset;
                let quarter = within.numer().div_euclid(within.denom());
                let divided = &mut quarters.entry((first.measure, quarter)).or_default()[index];
                let (threes, twos) = (within.denom() % 3 == 0, within.denom() % 3 != 0 && within.denom() % 2 == 0);
                *divided = (divided.0 || threes, divided.1 || twos);
            }
        }
        let against = |[a, b]: &Divided| (a.0 && b.1 && !b.0) || (b.0 && a.1 && !a.0);
        quarters.values().any(against).then(|| "two against three".to_owned())
    }

    fn metres(&self) -> Option<String> {
        let times = &self.analysis.score.times;
        let before = times.partition_point(|time| time.measure <= self.rows.0).saturating_sub(1);
        let inside = times.iter().skip(before).take_while(|time| time.measure <= self.rows.1);
        let mut texts: Vec<&str> = inside.map(|time| time.text.as_str()).filter(|text| !text.is_empty()).collect();
        texts.dedup();
        (!texts.is_empty()).then(|| texts.join(", "))
    }

    fn signature(&self) -> Option<String> {
        let keys = self.analysis.score.keys.iter().filter(|key| key.measure <= self.rows.1);
        // In force at the start, or printed inside.
        let mut parts: BTreeMap<u16, Vec<(usize, i8)>> = BTreeMap::new();
        for key in keys {
            parts.entry(key.part).or_default().push((key.measure, key.fifths));
        }
        let in_force = |marks: &Vec<(usize, i8)>| {
            let from = marks.partition_point(|(measure, _)| *measure <= self.rows.0).saturating_sub(1);
            marks[from..].iter().map(|(_, fifths)| *fifths).max_by_key(|fifths| fifths.unsigned_abs())
        };
        let fifths = parts.values().filter_map(in_force).max_by_key(|fifths| fifths.unsigned_abs())?;
        let signs = if fifths > 0 { "sharp" } else { "flat" };
        match fifths.unsigned_abs() {
            0 => None,
            1 => Some(format!("1 {signs}")),
            count => Some(format!("{count} {signs}s")),
        }
    }

    /// The notes that an accidental is printed at most often.
    fn altered(&self, hands: &[Hand]) -> Option<String> {
        let mut found: BTreeMap<String, usize> = BTreeMap::new();
        for note in self.notes(hands).filter(|note| note.marks.contains(NoteMarks::ACCIDENTAL)) {
            *found.entry(letter(note.pitch)).or_default() += 1;
        }
        let mut found: Vec<(String, usize)> = found.into_iter().collect();
        found.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        let more = found.len().saturating_sub(ALTERED);
        let named: Vec<&str> = found.iter().take(ALTERED).map(|(name, _)| name.as_str()).collect();
        match more {
            _ if named.is_empty() => None,
            0 => Some(named.join(", ")),
            more => Some(format!("{} and {more} more", named.join(", "))),
        }
    }

    fn ledger_lines(&self, hands: &[Hand]) -> Option<String> {
        let most = |hand: &Hand| most_ledger_lines(&self.analysis.score, self.notes(&[*hand]));
        match hands.iter().map(most).max()? {
            0 => None,
            1 => Some("1 on a note".to_owned()),
            most => Some(format!("up to {most} on a note")),
        }
    }

    fn ornaments(&self, hands: &[Hand]) -> Option<String> {
        let has = |marks: NoteMarks| self.notes(hands).any(|note| note.marks.intersects(marks));
        let mut names = Vec::new();
        for (name, marks) in [
            ("trills", NoteMarks::TRILL),
            ("mordents", NoteMarks::MORDENT),
            ("turns", NoteMarks::TURN),
            ("tremolo", NoteMarks::TREMOLO),
            ("other signs", NoteMarks::OTHER_ORNAMENT),
        ] {
            if has(marks) {
                names.push(name);
            }
        }
        if self.notes(hands).any(Note::is_grace) {
            names.push("grace notes");
        }
        (!names.is_empty()).then(|| names.join(", "))
    }
}

fn inside_of(rows: (usize, usize), row: usize) -> bool {
    (rows.0..=rows.1).contains(&row)
}

/// Lowest and highest key.
fn edges(notes: &[&Note]) -> (i32, i32) {
    let keys = || notes.iter().map(|note| i32::from(note.midi.number()));
    (keys().min().unwrap_or(0), keys().max().unwrap_or(0))
}

/// Semitones from the lowest to the highest.
fn span(notes: &[&Note]) -> i32 {
    let (low, high) = edges(notes);
    high - low
}

/// `F#`, `Bb`, `C natural`.
fn letter(pitch: Pitch) -> String {
    let name = Pitch { octave: 0, ..pitch }.to_string();
    let name = name.trim_end_matches('0');
    if pitch.alter == 0 { format!("{name} natural") } else { name.to_owned() }
}

/// A length in quarters as a note value.
fn value_name(quarters: Quarters) -> Option<&'static str> {
    Some(match (quarters.numer(), quarters.denom()) {
        (4, 1) => "whole notes",
        (3, 1) => "dotted half notes",
        (2, 1) => "half notes",
        (3, 2) => "dotted quarter notes",
        (4, 3) => "half-note triplets",
        (1, 1) => "quarter notes",
        (3, 4) => "dotted eighth notes",
        (2, 3) => "quarter-note triplets",
        (1, 2) => "eighth notes",
        (1, 3) => "eighth-note triplets",
        (1, 4) => "sixteenth notes",
        (1, 6) => "sixteenth-note triplets",
        (1, 8) => "thirty-second notes",
        (1, 12) => "thirty-second-note triplets",
        (1, 16) => "sixty-fourth notes",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;
    use crate::score::ClefMark;

    fn said(text: &str, demand: Demand, whose: Whose) -> Option<String> {
        let analysis = Analysis::of(text, &Options::default()).unwrap();
        terms(&analysis, demand, whose, (0, analysis.score.measures.len() - 1))
    }

    #[test]
    fn note_values_are_the_commonest_distance() {
        assert_eq!(said("R: C4/8 D4 E4 F4 G4 A4 B4/4", Demand::Speed, Whose::R).unwrap(), "mostly eighth notes");
        assert_eq!(said("R: C4/1", Demand::Speed, Whose::R), None);
    }

    #[test]
    fn skips_and_chords_are_told_by_their_interval() {
        let skips = |text| said(text, Demand::Leaps, Whose::R);
        assert_eq!(skips("R: C4 G4 C4 E4").unwrap(), "skips up to a fifth");
        assert_eq!(skips("R: C4 C5 C4 E4").unwrap(), "skips up to an octave");
        assert_eq!(skips("R: C4 D4 E4 F4"), None);
        assert_eq!(said("R: [C4 E4 G4] [C4 C5]", Demand::Stretch, Whose::R).unwrap(), "up to an octave at once");
        assert_eq!(said("R: [C4 E4 G4] [C4 C5]", Demand::Chords, Whose::R).unwrap(), "chords of up to 3 notes");
        let thirds = said("R: [C4 E4] [D4 F4] [E4 G4] [F4 C5]", Demand::Chords, Whose::R);
        assert_eq!(thirds.unwrap(), "two notes at once, mostly thirds");
    }

    #[test]
    fn five_neighbours_are_one_position() {
        let positions = |text| said(text, Demand::Travel, Whose::R);
        assert_eq!(positions("R: C4 D4 E4 F4 G4 F4 E4 D4"), None);
        assert_eq!(positions("R: C4 D4 E4 F4 G4 A4 G4 F4").unwrap(), "1 change of position");
        assert_eq!(positions("R: C4 G4 C5 C4").unwrap(), "2 changes of position");
    }

    #[test]
    fn scale_passages_are_told_by_octaves() {
        let run = |text: &str| said(text, Demand::Crossings, Whose::R).unwrap();
        assert_eq!(run("R: C4/8 D4 E4 F4 G4 A4 B4 C5"), "scale passages within an octave");
        let two = "R: C4/8 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6/4";
        assert_eq!(run(two), "scale passages of up to two octaves");
    }

    #[test]
    fn twos_against_threes_are_named() {
        let together = |text: &str| said(text, Demand::Independence, Whose::Both);
        assert_eq!(together("R: C4/8t D4 E4 F4/4 G4 A4\nL: C3/8 D3 E3/4 F3 G3").unwrap(), "two against three");
        assert_eq!(together("R: C4/8 D4 E4/4 F4 G4\nL: C3/8 D3 E3/4 F3 G3"), None);
        assert_eq!(together("R: C4/8t D4 E4 F4/4 G4 A4\nL: C3/4 D3/8 E3 F3/4 G3"), None);
    }

    #[test]
    fn ledger_lines_are_those_of_the_clef_in_force() {
        let mut analysis = Analysis::of("R: C4 E4 C6", &Options::default()).unwrap();
        let said = |analysis: &Analysis| terms(analysis, Demand::Ledgers, Whose::R, (0, 0));
        assert_eq!(said(&analysis), None, "no clef, no ledger line");
        // The middle line of a treble clef is B4, of a bass clef D3.
        let clef = |middle_line| ClefMark { onset: Quarters::ZERO, measure: 0, part: 0, staff: 1, middle_line };
        analysis.score.clefs = vec![clef(34)];
        assert_eq!(said(&analysis).unwrap(), "up to 2 on a note");
        analysis.score.clefs = vec![clef(22)];
        assert_eq!(said(&analysis).unwrap(), "up to 5 on a note");
    }

    #[test]
    fn signatures_and_altered_notes_are_named() {
        assert_eq!(said("R: key=-3 C4 D4", Demand::Signature, Whose::Both).unwrap(), "3 flats");
        assert_eq!(said("R: C4 D4", Demand::Signature, Whose::Both), None);
    }
}

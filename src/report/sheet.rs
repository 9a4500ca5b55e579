//! A piece as a sheet to practise from: the scales it asks for and the chords its hands break, as exercises.
//!
//! In: an [`Analysis`]. Out: a [`Sheet`], with the speed of the piece and the measures that each exercise serves.

use std::cmp::Reverse;

use super::drill_words;
use super::view::{measure_list, upper_first};
use crate::analysis::Analysis;
use crate::drills::{Drill, Transition};
use crate::passages::{Material, Passage, PassageKind, Quality};
use crate::scales::{Key, Scale, ScaleCrossing, ScaleLine};
use crate::score::Mode;
use crate::sheets::{Assignment, Figure, Sheet, compose};
use crate::units::{Hand, Pitch};

/// Chords at most. Chosen by us: with more pages nobody begins.
const CHORDS: usize = 2;

/// Octaves of a chord where nobody asks for others (common practice, no source: two first).
const CHORD_OCTAVES: u8 = 2;

/// Pieces of a list of measures before the rest is only counted.
const MEASURES: usize = 8;

/// Makes the sheet of a piece for these hands: its drills, then its chords; over the octaves of each drill, or those asked
/// for. `brief` leaves the variants for evenness out. A piece that needs no scale and breaks no chord gives an empty one.
pub fn practice_sheet(analysis: &Analysis, hands: &[Hand], octaves: Option<u8>, brief: bool) -> Sheet {
    let drills = analysis.drills.list.iter().map(|drill| of_drill(analysis, drill, hands));
    let chords = chords(analysis, hands).into_iter().take(CHORDS);
    let chords = chords.map(|(figure, passages)| of_chord(analysis, figure, &passages));
    let chosen = drills.chain(chords).filter(|assignment| !assignment.hands.is_empty());
    let as_asked = |assignment: Assignment| Assignment { octaves: octaves.unwrap_or(assignment.octaves), ..assignment };
    // The variants are the same for every figure, and stand with the first.
    let exercises = chosen
        .map(as_asked)
        .enumerate()
        .flat_map(|(place, assignment)| compose(&Assignment { variants: place == 0 && !brief, ..assignment }));
    Sheet { title: title(analysis), exercises: exercises.collect() }
}

/// `Before Harvest Wagon, by Ivo Pellerstane`.
fn title(analysis: &Analysis) -> String {
    let known = |text: Option<&str>| text.map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned);
    match (known(analysis.score.title.as_deref()), known(analysis.score.composer.as_deref())) {
        (Some(title), Some(composer)) => format!("Before {title}, by {composer}"),
        (Some(title), None) => format!("Before {title}"),
        (None, _) => "To practise first".to_owned(),
    }
}

/// One drill of the piece as a sheet of its own, without the variants.
pub fn drill_sheet(analysis: &Analysis, drill: &Drill) -> Sheet {
    let exercises = compose(&of_drill(analysis, drill, &Hand::BOTH));
    Sheet { title: upper_first(&Figure::Scale(drill.scale).name()), exercises }
}

fn of_drill(analysis: &Analysis, drill: &Drill, hands: &[Hand]) -> Assignment {
    let needed = |hand: &Hand| hands.contains(hand) && drill.hand.is_none_or(|only| only == *hand);
    let hands: Vec<Hand> = Hand::BOTH.into_iter().filter(needed).collect();
    let isolate = drill.isolate.filter(|step| hands.contains(&step.hand));
    let reasons = drill_words::reasons(analysis, drill);
    Assignment {
        notes_per_second: Some(drill.rate),
        isolate: isolate.and_then(|step| crossing(drill.scale, &step)),
        variants: false,
        serves: reasons.iter().map(|reason| format!("Serves {reason}.")).chain([speed(drill.rate)]).collect(),
        hands,
        ..Assignment::new(Figure::Scale(drill.scale), drill.octaves)
    }
}

fn speed(rate: f64) -> String {
    format!("The speed to arrive at is that of the piece: {rate:.1} notes a second.")
}

/// The step of a scale to isolate, as its own line has it.
fn crossing(scale: Scale, step: &Transition) -> Option<ScaleCrossing> {
    let same = |a: Pitch, b: Pitch| a.midi().zip(b.midi()).is_some_and(|(a, b)| a.number() % 12 == b.number() % 12);
    let line = ScaleLine::new(scale, step.hand, step.motion);
    line.crossings.into_iter().find(|own| {
        let fingers = (own.crossing.from_finger, own.crossing.to_finger);
        same(own.from, step.from) && same(own.to, step.to) && fingers == (step.from_finger, step.to_finger)
    })
}

/// The chords that hands break, with their passages, those of most notes first; of equals the first in the right hand.
fn chords<'a>(analysis: &'a Analysis, hands: &[Hand]) -> Vec<(Figure, Vec<&'a Passage>)> {
    let mut found: Vec<(Figure, Vec<&Passage>)> = Vec::new();
    for passage in hands.iter().flat_map(|hand| &analysis.playing(*hand).passages) {
        let Some(figure) = chord_of(passage) else { continue };
        match found.iter_mut().find(|(known, _)| *known == figure) {
            Some((_, passages)) => passages.push(passage),
            None => found.push((figure, vec![passage])),
        }
    }
    found.sort_by_key(|(_, passages)| Reverse(passages.iter().map(|passage| passage.notes).sum::<usize>()));
    found
}

fn of_chord(analysis: &Analysis, figure: Figure, passages: &[&Passage]) -> Assignment {
    let mut measures: Vec<usize> = passages.iter().flat_map(|p| p.first_measure..=p.last_measure).collect();
    measures.sort_unstable();
    measures.dedup();
    let place = if measures.len() == 1 { "measure" } else { "measures" };
    let list = measure_list(&analysis.score, measures, MEASURES);
    let rate = passages.iter().map(|passage| passage.rate).fold(0.0, f64::max);
    let hands = Hand::BOTH.into_iter().filter(|hand| passages.iter().any(|passage| passage.hand == *hand));
    let mut serves = vec![format!("Serves {} of the piece: {place} {list}.", plural(figure, passages.len()))];
    if rate > 0.0 {
        serves.push(speed(rate));
    }
    Assignment {
        hands: hands.collect(),
        notes_per_second: (rate > 0.0).then_some(rate),
        variants: false,
        serves,
        ..Assignment::new(figure, CHORD_OCTAVES)
    }
}

fn plural(figure: Figure, count: usize) -> String {
    let one = if matches!(figure, Figure::Arpeggio(_)) { "arpeggio" } else { "broken chord" };
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// The exercise for a passage; none for chords that are neither major nor minor.
fn chord_of(passage: &Passage) -> Option<Figure> {
    let key = |material| match material {
        Material::Chord(chord) if chord.quality == Quality::Major => Key::of_tonic(chord.root, Mode::Major),
        Material::Chord(chord) if chord.quality == Quality::Minor => Key::of_tonic(chord.root, Mode::Minor),
        _ => None,
    };
    match (passage.kind, passage.material?) {
        (PassageKind::Arpeggio, chord) => key(chord).map(Figure::Arpeggio),
        (PassageKind::BrokenChord, chord) => key(chord).map(Figure::BrokenChord),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;

    /// Sixteenths of E-flat major coming down at 120 to the quarter, then broken chords in the left hand.
    const PIECE: &str = "R: key=-3major Eb6-3/16 D6 C6 Bb5 Ab5 G5 F5 Eb5 D5 C5 Bb4 Ab4 G4 F4 Eb4 r r/1 r/1\n\
                         L: r/1 Eb3/8 Bb3 G3 Bb3 Eb3/8 Bb3 G3 Bb3 Eb3/8 Bb3 G3 Bb3 Eb3/8 Bb3 G3 Bb3";

    #[test]
    fn the_sheet_holds_the_drills_of_the_piece_with_measures_speed_and_the_step_to_isolate() {
        let analysis = Analysis::of(PIECE, &Options::default()).unwrap();
        let sheet = practice_sheet(&analysis, &Hand::BOTH, None, true);
        let headings: Vec<&str> = sheet.exercises.iter().map(|exercise| exercise.heading.as_str()).collect();
        assert_eq!(headings[0], "E-flat major scale, right hand");
        assert!(headings[1].starts_with("Isolated: right hand, coming down, from C (1) to B-flat (4)"), "{headings:?}");
        let notes = &sheet.exercises[0].notes;
        assert!(notes.iter().any(|note| note.contains("1 run") && note.ends_with("measure 1.")), "{notes:?}");
        assert!(notes.contains(&speed(analysis.drills.list[0].rate)), "{notes:?}");
    }

    #[test]
    fn a_hand_that_needs_nothing_gets_no_exercise() {
        let analysis = Analysis::of(PIECE, &Options::default()).unwrap();
        let sheet = practice_sheet(&analysis, &[Hand::Left], None, true);
        assert!(sheet.exercises.iter().all(|exercise| exercise.right.is_empty()), "{sheet:?}");
    }

    #[test]
    fn the_octaves_asked_for_go_before_those_of_the_drill() {
        let analysis = Analysis::of(PIECE, &Options::default()).unwrap();
        let notes = |octaves| practice_sheet(&analysis, &[Hand::Right], octaves, true).exercises[0].right.len();
        assert_eq!(notes(Some(1)), 15);
        assert_eq!(notes(None), 14 * usize::from(analysis.drills.list[0].octaves) + 1);
    }
}

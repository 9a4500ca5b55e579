//! A piece as a sheet to practise from: the scales its runs are made of and the chords its hands break, as exercises.
//!
//! In: an [`Analysis`]. Out: a [`Sheet`], with the measures that each exercise serves.

use std::cmp::Reverse;

use super::view::measure_list;
use crate::analysis::Analysis;
use crate::passages::{Material, Passage, PassageKind, Quality};
use crate::scales::Key;
use crate::score::Mode;
use crate::sheets::{Assignment, Figure, Sheet, compose};
use crate::units::Hand;

/// Scales and chords at most, each. Chosen by us: with more pages nobody begins.
const SCALES: usize = 4;
const CHORDS: usize = 2;

/// Pieces of a list of measures before the rest is only counted.
const MEASURES: usize = 8;

/// Makes the sheet for these hands over so many octaves; `brief` leaves the variants for evenness out. A piece without runs
/// and broken chords gives an empty one.
pub fn practice_sheet(analysis: &Analysis, hands: &[Hand], octaves: u8, brief: bool) -> Sheet {
    let figures = gather(analysis, hands);
    let scales = figures.iter().filter(|(figure, _)| matches!(figure, Figure::Scale(_))).take(SCALES);
    let chords = figures.iter().filter(|(figure, _)| !matches!(figure, Figure::Scale(_))).take(CHORDS);
    let chosen = scales.chain(chords).map(|(figure, passages)| assignment(analysis, *figure, passages, octaves));
    // The variants are the same for every figure, and stand with the first.
    let exercises = chosen
        .enumerate()
        .flat_map(|(place, assignment)| compose(&Assignment { variants: place == 0 && !brief, ..assignment }));
    let title = analysis.score.title.as_deref().filter(|title| !title.trim().is_empty());
    Sheet {
        title: title.map_or_else(|| "To practise first".to_owned(), |title| format!("Before {title}")),
        subtitle: analysis.score.composer.clone(),
        exercises: exercises.collect(),
    }
}

/// The figures of a piece with their passages, those of most notes first; of equals the first in the right hand.
fn gather<'a>(analysis: &'a Analysis, hands: &[Hand]) -> Vec<(Figure, Vec<&'a Passage>)> {
    let mut found: Vec<(Figure, Vec<&Passage>)> = Vec::new();
    for passage in hands.iter().flat_map(|hand| &analysis.playing(*hand).passages) {
        let Some(figure) = figure_of(passage) else { continue };
        match found.iter_mut().find(|(known, _)| *known == figure) {
            Some((_, passages)) => passages.push(passage),
            None => found.push((figure, vec![passage])),
        }
    }
    found.sort_by_key(|(_, passages)| Reverse(passages.iter().map(|passage| passage.notes).sum::<usize>()));
    found
}

fn assignment(analysis: &Analysis, figure: Figure, passages: &[&Passage], octaves: u8) -> Assignment {
    let mut measures: Vec<usize> = passages.iter().flat_map(|p| p.first_measure..=p.last_measure).collect();
    measures.sort_unstable();
    measures.dedup();
    let place = if measures.len() == 1 { "measure" } else { "measures" };
    let list = measure_list(&analysis.score, measures, MEASURES);
    let rate = passages.iter().map(|passage| passage.rate).fold(0.0, f64::max);
    let hands = Hand::BOTH.into_iter().filter(|hand| passages.iter().any(|passage| passage.hand == *hand));
    Assignment {
        hands: hands.collect(),
        notes_per_second: (rate > 0.0).then_some(rate),
        serves: vec![format!("For {place} {list} of the piece, where it goes up to {rate:.1} notes a second.")],
        ..Assignment::new(figure, octaves)
    }
}

/// The exercise for a passage; none for chords that are neither major nor minor.
fn figure_of(passage: &Passage) -> Option<Figure> {
    let key = |material| match material {
        Material::Chord(chord) if chord.quality == Quality::Major => Key::of_tonic(chord.root, Mode::Major),
        Material::Chord(chord) if chord.quality == Quality::Minor => Key::of_tonic(chord.root, Mode::Minor),
        _ => None,
    };
    match (passage.kind, passage.material?) {
        (PassageKind::ScaleRun, Material::Scale(scale)) => Some(Figure::Scale(scale)),
        (PassageKind::Arpeggio, chord) => key(chord).map(Figure::Arpeggio),
        (PassageKind::BrokenChord, chord) => key(chord).map(Figure::BrokenChord),
        _ => None,
    }
}

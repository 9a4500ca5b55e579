//! The hardest spots as excerpts of the piece itself, with the fingers on them, for an engraver.
//!
//! In: an [`Analysis`] and the bytes of its score. Out: the score as MusicXML with fingers pencilled in around the spots, a
//! dashed arc over each crossing, and the measures of each spot. Printed digits are kept, and only parts that the hands
//! play are left in.

use std::collections::{BTreeMap, BTreeSet};

use super::view::{self, Spot};
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::error::Error;
use crate::limits::Limits;
use crate::musicxml::{ArcEnd, PencilMark, pencil};
use crate::score::{MeasureIndex, NoteElement, NoteId};
use crate::units::Hand;

/// Measures of an excerpt at most, unless the crossing itself takes more. Chosen by us: two are a line on a phone.
const MEASURES: usize = 2;

/// The number of the first arc; slurs are numbered up to 16, and scores use the low numbers.
const FIRST_ARC: u8 = 16;

/// A score to engrave, and which measures of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Excerpts {
    /// The whole score, with fingers around the spots.
    pub musicxml: String,
    /// First and last measure of each spot, counted from 0 by position in the file; hardest first, as in the report.
    pub measures: Vec<(usize, usize)>,
}

/// The spots that a report shows.
///
/// # Errors
/// Those of [`crate::musicxml::read_score`], where the bytes are not those that were analysed.
pub fn excerpts(analysis: &Analysis, bytes: &[u8], limits: &Limits) -> Result<Excerpts, Error> {
    let spots = view::hardest(analysis, view::SPOTS);
    let ranges: Vec<_> = spots.iter().map(|spot| measures_around(analysis, spot)).collect();
    let mut marks = fingers(analysis, &ranges);
    for (index, spot) in spots.iter().enumerate() {
        mark_crossing(analysis, spot, FIRST_ARC.saturating_sub(index as u8), &mut marks);
    }
    let musicxml = pencil(bytes, limits, &marks, &idle_parts(analysis))?;
    // The analysis may be of an excerpt; the file is whole.
    let skipped = analysis.excerpt.as_ref().map_or(0, |excerpt| excerpt.first);
    let measures = ranges.into_iter().map(|(first, last)| (first + skipped, last + skipped)).collect();
    Ok(Excerpts { musicxml, measures })
}

/// The measures of the notes that the strip of a spot shows, or of the crossing alone where those are too many.
fn measures_around(analysis: &Analysis, spot: &Spot<'_>) -> (MeasureIndex, MeasureIndex) {
    let of = |ids: &[NoteId]| {
        let measures = || ids.iter().filter_map(|id| analysis.score.notes.get(*id)).map(|note| note.measure);
        (measures().min().unwrap_or(0), measures().max().unwrap_or(0))
    };
    let around = of(&view::notes_around(analysis, spot.movement, view::AROUND));
    if around.1 - around.0 < MEASURES { around } else { of(&[spot.movement.from, spot.movement.to]) }
}

/// The fingers of both hands in these measures, where none are printed.
fn fingers(analysis: &Analysis, ranges: &[(MeasureIndex, MeasureIndex)]) -> BTreeMap<NoteElement, PencilMark> {
    let mut marks = BTreeMap::new();
    for hand in Hand::BOTH {
        let fingers = &analysis.playing(hand).fingering.fingers;
        for (id, finger) in analysis.line(hand).notes.iter().zip(fingers) {
            let Some(note) = analysis.score.notes.get(*id) else { continue };
            let shown = ranges.iter().any(|(first, last)| (*first..=*last).contains(&note.measure));
            if shown && note.written.is_empty() && finger.is_some() {
                let below = hand == Hand::Left;
                marks.insert(note.element, PencilMark { finger: *finger, below, arcs: Vec::new() });
            }
        }
    }
    marks
}

/// The arc from the note left to the note reached: below where the thumb passes under, above where a finger passes over.
fn mark_crossing(analysis: &Analysis, spot: &Spot<'_>, number: u8, marks: &mut BTreeMap<NoteElement, PencilMark>) {
    let below = spot.kind == CrossingKind::ThumbUnder;
    for (id, start) in [(spot.movement.from, true), (spot.movement.to, false)] {
        let Some(note) = analysis.score.notes.get(id) else { continue };
        marks.entry(note.element).or_default().arcs.push(ArcEnd { number, start, below });
    }
}

/// The ids of parts that no hand plays.
fn idle_parts(analysis: &Analysis) -> BTreeSet<&str> {
    let lines = Hand::BOTH.into_iter().flat_map(|hand| &analysis.line(hand).notes);
    let busy: BTreeSet<u16> = lines.filter_map(|id| analysis.score.notes.get(*id)).map(|note| note.part).collect();
    let ids = |wanted: bool| {
        let parts = analysis.score.parts.iter().zip(0..);
        parts.filter(|(_, index)| busy.contains(index) == wanted).map(|(part, _)| part.id.as_str()).collect()
    };
    let (played, idle): (BTreeSet<&str>, BTreeSet<&str>) = (ids(true), ids(false));
    idle.difference(&played).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::analyse;
    use crate::options::Options;
    use crate::sheets::{Figure, Sheet, plain_run, write};
    use crate::units::Motion;

    /// A scale of two octaves in one hand, written without fingers or with them.
    fn scale(hand: Hand, fingered: bool) -> String {
        let scale = crate::scales::Scale::parse("E-flat major", None).unwrap();
        let exercise = plain_run(Figure::Scale(scale), hand, Motion::Down, 2, fingered);
        write(&Sheet { exercises: vec![exercise], ..Sheet::default() })
    }

    fn made(score: &str, options: &Options) -> (Analysis, Excerpts) {
        let analysis = analyse(score.as_bytes(), options).unwrap();
        let excerpts = excerpts(&analysis, score.as_bytes(), &options.limits).unwrap();
        (analysis, excerpts)
    }

    #[test]
    fn every_note_around_the_spots_has_its_finger_and_the_hardest_crossing_an_arc() {
        for (hand, side) in [(Hand::Right, "above"), (Hand::Left, "below")] {
            let (analysis, excerpts) = made(&scale(hand, false), &Options::default());
            assert!(!excerpts.measures.is_empty());
            let (again, _) = crate::musicxml::read_score(excerpts.musicxml.as_bytes(), &Limits::default()).unwrap();
            let shown = |measure| excerpts.measures.iter().any(|(first, last)| (*first..=*last).contains(&measure));
            let fingers = &analysis.playing(hand).fingering.fingers;
            for (note, finger) in again.notes.iter().zip(fingers).filter(|(note, _)| shown(note.measure)) {
                assert_eq!(note.written.first().map(|written| written.finger), *finger);
            }
            assert!(excerpts.musicxml.contains(&format!("<fingering placement=\"{side}\">")));
            assert_eq!(excerpts.musicxml.matches("line-type=\"dashed\"").count(), excerpts.measures.len());
        }
    }

    #[test]
    fn printed_digits_are_kept_and_none_added() {
        let score = scale(Hand::Right, true);
        let count = |text: &str| text.matches("<fingering").count();
        assert_eq!(count(&made(&score, &Options::default()).1.musicxml), count(&score));
    }

    #[test]
    fn measures_are_counted_in_the_file_also_when_only_some_are_looked_at() {
        let options = Options { measures: Some(("2".to_owned(), "2".to_owned())), ..Options::default() };
        let (_, excerpts) = made(&scale(Hand::Right, false), &options);
        assert!(excerpts.measures.iter().all(|range| *range == (1, 1)), "{:?}", excerpts.measures);
    }
}

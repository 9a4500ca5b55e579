//! The hardest spots as excerpts of the piece itself, with the fingers on them, for an engraver.
//!
//! In: an [`Analysis`] and the bytes of its score. Out: the score as MusicXML with fingers pencilled in around the spots, a
//! dashed arc over the crossing, and the measures of the spot. Printed digits are kept, and only parts that the hands
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

/// The number of the arc; slurs are numbered up to 16, and scores use the low numbers.
const ARC: u8 = 16;

/// A score to engrave, and which measures of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Excerpt {
    /// The whole score, with fingers around the spot.
    pub musicxml: String,
    /// First and last measure of the spot, counted from 0 by position in the file.
    pub measures: (usize, usize),
}

/// The spots that a report shows, hardest first.
///
/// # Errors
/// Those of [`crate::musicxml::read_score`], where the bytes are not those that were analysed.
pub fn excerpts(analysis: &Analysis, bytes: &[u8], limits: &Limits) -> Result<Vec<Excerpt>, Error> {
    let idle = idle_parts(analysis);
    // The analysis may be of some measures; the file is whole.
    let skipped = analysis.excerpt.as_ref().map_or(0, |excerpt| excerpt.first);
    let made = |spot: &Spot<'_>| {
        let (first, last) = measures_around(analysis, spot);
        let mut marks = fingers(analysis, (first, last));
        mark_crossing(analysis, spot, &mut marks);
        let musicxml = pencil(bytes, limits, &marks, &idle)?;
        Ok(Excerpt { musicxml, measures: (first + skipped, last + skipped) })
    };
    view::hardest(analysis, view::SPOTS).iter().map(made).collect()
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
fn fingers(analysis: &Analysis, (first, last): (MeasureIndex, MeasureIndex)) -> BTreeMap<NoteElement, PencilMark> {
    let mut marks = BTreeMap::new();
    for hand in Hand::BOTH {
        let fingers = &analysis.playing(hand).fingering.fingers;
        for (id, finger) in analysis.line(hand).notes.iter().zip(fingers) {
            let Some(note) = analysis.score.notes.get(*id) else { continue };
            if (first..=last).contains(&note.measure) && note.written.is_empty() && finger.is_some() {
                let below = hand == Hand::Left;
                marks.insert(note.element, PencilMark { finger: *finger, below, arcs: Vec::new() });
            }
        }
    }
    marks
}

/// The arc from the note left to the note reached: below where the thumb passes under, above where a finger passes over.
fn mark_crossing(analysis: &Analysis, spot: &Spot<'_>, marks: &mut BTreeMap<NoteElement, PencilMark>) {
    let below = spot.kind == CrossingKind::ThumbUnder;
    for (id, start) in [(spot.movement.from, true), (spot.movement.to, false)] {
        let Some(note) = analysis.score.notes.get(id) else { continue };
        marks.entry(note.element).or_default().arcs.push(ArcEnd { number: ARC, start, below });
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

    fn made(score: &str, options: &Options) -> (Analysis, Vec<Excerpt>) {
        let analysis = analyse(score.as_bytes(), options).unwrap();
        let excerpts = excerpts(&analysis, score.as_bytes(), &options.limits).unwrap();
        (analysis, excerpts)
    }

    #[test]
    fn every_note_around_a_spot_has_its_finger_and_the_crossing_an_arc() {
        for (hand, side) in [(Hand::Right, "above"), (Hand::Left, "below")] {
            let (analysis, excerpts) = made(&scale(hand, false), &Options::default());
            assert_eq!(excerpts.len(), view::SPOTS);
            for Excerpt { musicxml, measures: (first, last) } in excerpts {
                let (again, _) = crate::musicxml::read_score(musicxml.as_bytes(), &Limits::default()).unwrap();
                let fingers = &analysis.playing(hand).fingering.fingers;
                for (note, finger) in again.notes.iter().zip(fingers) {
                    let shown = (first..=last).contains(&note.measure);
                    assert_eq!(note.written.first().map(|written| written.finger), finger.filter(|_| shown));
                }
                assert!(musicxml.contains(&format!("<fingering placement=\"{side}\">")));
                assert_eq!(musicxml.matches("line-type=\"dashed\"").count(), 1);
            }
        }
    }

    #[test]
    fn printed_digits_are_kept_and_none_added() {
        let score = scale(Hand::Right, true);
        let count = |text: &str| text.matches("<fingering").count();
        for excerpt in made(&score, &Options::default()).1 {
            assert_eq!(count(&excerpt.musicxml), count(&score));
        }
    }

    #[test]
    fn measures_are_counted_in_the_file_also_when_only_some_are_looked_at() {
        let options = Options { measures: Some(("2".to_owned(), "2".to_owned())), ..Options::default() };
        let (_, excerpts) = made(&scale(Hand::Right, false), &options);
        assert!(!excerpts.is_empty());
        assert!(excerpts.iter().all(|excerpt| excerpt.measures == (1, 1)), "{excerpts:?}");
    }
}

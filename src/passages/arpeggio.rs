//! Arpeggios.
//!
//! # What it finds
//! The notes of one triad or seventh chord, one after another in one direction.
//!
//! # Why it matters
//! Over more than an octave the thumb must pass under thirds and fourths, further than in any scale, or the hand must
//! open and close; the arpeggio of the chord is the drill for it.
//!
//! # How it is measured
//! Semitones from the first to the last note. Each step goes to the next note of the chord or skips one, and is no
//! larger than a major sixth. Four notes must be one voice, with nothing struck beside the later ones. Three and more
//! arpeggios that follow within a measure, each of less than two octaves and shorter than three quarters of its measure,
//! are broken chords that open the hand, and told as such.
//!
//! # Limit
//! An octave: less lies under the hand and is a broken chord.
//!
//! # Example
//! `C3 E3 G3 C4 E4 G4 C5` in eighths: C major, up, 7 notes, 24 semitones.
//!
//! # Sources
//! Common practice, no source; the largest step is chosen by us, as wider ones are leaps from note to note.

use std::sync::LazyLock;

use super::broken_chord::LEAST_STROKES;
use super::chain::{Chain, Family, find_chains};
use super::chord::{Chord, Quality};
use super::{Finding, Material, Passage, PassageKind, View};
use crate::scales::NoteName;
use crate::units::Motion;

/// Fewest notes and semitones.
const LEAST_NOTES: usize = 4;
const LEAST_SPAN: i32 = 12;
/// Largest step, in semitones.
const LARGEST_STEP: i32 = 9;

/// From so many notes on, it is no chance that they belong to one chord; fewer must be one line. Chosen by us: two voices
/// and the chord after a tune make up four now and then.
const CERTAIN: usize = 5;
/// A figure lasts less than this part of its measure and spans less than two octaves. Chosen by us: an arpeggio that
/// fills its measure, or all but the last beat of four, is more than a figure.
const WHOLE_MEASURE: f64 = 0.75;
const TWO_OCTAVES: i32 = 24;
/// Fewest figures that make an accompaniment. Chosen by us: one up, one down, and again.
const LEAST_FIGURES: usize = 3;

/// How many steps of each size and direction the table has.
const STEPS: usize = 2 * LARGEST_STEP as usize + 1;

/// Chords are numbered by quality, then root.
static STEPS_OF_CHORDS: LazyLock<[[u128; STEPS]; 12]> = LazyLock::new(|| {
    let mut steps = [[0; STEPS]; 12];
    for (quality_index, quality) in Quality::ALL.iter().enumerate() {
        let intervals = quality.intervals();
        let size = intervals.len();
        for root in 0..12 {
            let bit = 1_u128 << (quality_index * 12 + root);
            for index in 0..size {
                for skip in 1..=2 {
                    let above = intervals[(index + skip) % size] + 12 * ((index + skip) / size) as i32;
                    let (low, rise) = (root as i32 + intervals[index], above - intervals[index]);
                    if rise <= LARGEST_STEP {
                        steps[(low % 12) as usize][(LARGEST_STEP + rise) as usize] |= bit;
                        steps[((low + rise) % 12) as usize][(LARGEST_STEP - rise) as usize] |= bit;
                    }
                }
            }
        }
    }
    steps
});

fn step(class: u8, interval: i32) -> u128 {
    let interval = usize::try_from(interval + LARGEST_STEP).unwrap_or(usize::MAX);
    STEPS_OF_CHORDS[usize::from(class % 12)].get(interval).copied().unwrap_or(0)
}

/// The chords that have a note of a pitch class, numbered as above.
pub(super) fn chords_with(class: i32) -> u128 {
    static CHORDS: LazyLock<[u128; 12]> = LazyLock::new(|| {
        let steps_of = |steps: &[u128; STEPS]| steps.iter().fold(0, |all, step| all | step);
        std::array::from_fn(|class| steps_of(&STEPS_OF_CHORDS[class]))
    });
    CHORDS[class.rem_euclid(12) as usize]
}

/// The arpeggios of a line, those of exactly an octave included, which may turn out to be a broken chord.
pub(super) fn find(view: &View) -> Vec<Passage> {
    let family = Family { least: LEAST_NOTES, step };
    let both = Motion::BOTH.into_iter().flat_map(|motion| find_chains(view, motion, &family));
    let mut passages: Vec<Passage> = both.filter_map(|chain| passage(view, &chain)).collect();
    passages.sort_by_key(|passage| (passage.first_slice, std::cmp::Reverse(passage.last_slice)));
    // What ends no later than an earlier one is the other voice of a chord broken in parallel.
    let mut end = None;
    passages.retain(|passage| {
        let is_new = end.is_none_or(|end| passage.last_slice > end);
        end = end.max(Some(passage.last_slice));
        is_new
    });
    join_figures(view, passages)
}

/// Tells three and more figures in a row as broken chords: an accompaniment that opens the hand.
fn join_figures(view: &View, passages: Vec<Passage>) -> Vec<Passage> {
    let onset = |slice: usize| view.line.slices[slice].onset.to_f64();
    let is_figure = |passage: &Passage| {
        let measure = view.score.measures[passage.first_measure].duration.to_f64();
        let short = onset(passage.last_slice) - onset(passage.first_slice) < WHOLE_MEASURE * measure;
        short && passage.finding.value < f64::from(TWO_OCTAVES)
    };
    let mut told: Vec<Passage> = Vec::with_capacity(passages.len());
    let mut row: Vec<Passage> = Vec::new();
    for passage in passages {
        let goes_on =
            is_figure(&passage) && row.last().is_some_and(|last| passage.first_measure <= last.last_measure + 1);
        if !goes_on {
            told.append(&mut join(view, &mut row));
        }
        if is_figure(&passage) {
            row.push(passage);
        } else {
            told.push(passage);
        }
    }
    told.append(&mut join(view, &mut row));
    told
}

fn join(view: &View, row: &mut Vec<Passage>) -> Vec<Passage> {
    let (Some(first), Some(last)) = (row.first(), row.last()) else { return Vec::new() };
    if row.len() < LEAST_FIGURES {
        return std::mem::take(row);
    }
    let value = (last.last_slice + 1 - first.first_slice) as f64;
    let finding = Finding { what: "strokes in a row", value, limit: LEAST_STROKES as f64 };
    let joined = Passage {
        material: view.key_around(first.first_slice, last.last_slice),
        ..view.passage(PassageKind::BrokenChord, first.first_slice, last.last_slice, finding)
    };
    row.clear();
    vec![joined]
}

fn passage(view: &View, chain: &Chain) -> Option<Passage> {
    let whole = (0, chain.notes.len());
    let (chord, (first, count)) = match name(view, &chain.notes)? {
        // A triad with a note of the tune at one end looks like these.
        Chord { quality: Quality::MinorSeventh | Quality::HalfDiminishedSeventh, .. } => {
            let shorter = [(0, chain.notes.len() - 1), (1, chain.notes.len() - 1)];
            let triad = shorter.into_iter().find_map(|(first, count)| {
                let notes = &chain.notes[first..first + count];
                let chord = name(view, notes).filter(|chord| chord.quality.intervals().len() == 3)?;
                is_wide(view, notes).then_some((chord, (first, count)))
            });
            triad.or_else(|| Some((name(view, &chain.notes)?, whole)))?
        }
        chord => (chord, whole),
    };
    let notes = &chain.notes[first..first + count];
    let first = chain.first_stroke + first;
    if !is_wide(view, notes) || !chain.is_of_single_notes(view) || count < CERTAIN && !is_one_line(view, notes, first) {
        return None;
    }
    let finding =
        Finding { what: "semitones in one direction", value: span(view, notes).into(), limit: LEAST_SPAN.into() };
    let passage = view.passage(PassageKind::Arpeggio, first, first + count - 1, finding);
    Some(Passage { material: Some(Material::Chord(chord)), direction: Some(chain.motion), notes: count, ..passage })
}

/// True when all notes are of one voice and nothing is struck with the later ones; under the first there may be a chord.
fn is_one_line(view: &View, notes: &[usize], first_stroke: usize) -> bool {
    let voice = |note: &usize| view.score.notes[view.line.notes[*note]].voice;
    let one_voice = notes.windows(2).all(|pair| voice(&pair[0]) == voice(&pair[1]));
    let later = first_stroke + 1..first_stroke + notes.len();
    one_voice && view.strokes[later].iter().all(|stroke| stroke.count == 1)
}

fn span(view: &View, notes: &[usize]) -> i32 {
    let end = |note: Option<&usize>| note.map_or(0, |note| view.key(*note));
    (end(notes.last()) - end(notes.first())).abs()
}

fn is_wide(view: &View, notes: &[usize]) -> bool {
    let classes = notes.iter().fold(0_u16, |all, note| all | 1 << (view.key(*note) % 12));
    notes.len() >= LEAST_NOTES && span(view, notes) >= LEAST_SPAN && classes.count_ones() >= 3
}

/// The simplest chord with these notes: a triad before a seventh chord. Chords that divide the octave evenly have as many
/// roots as notes; they are named after the lowest note.
fn name(view: &View, notes: &[usize]) -> Option<Chord> {
    let members = notes.iter().fold(u128::MAX, |members, note| members & chords_with(view.key(*note)));
    let lowest = notes.iter().min_by_key(|note| view.key(**note))?;
    let lowest_class = view.key(*lowest) % 12;
    let (_, _, index) = (0..Quality::ALL.len() * 12)
        .filter(|bit| members >> bit & 1 == 1)
        .map(|bit| (bit / 12, (bit % 12) as i32 != lowest_class, bit))
        .min()?;
    let root = (index % 12) as i32;
    let written = notes.iter().find(|note| view.key(**note) % 12 == root);
    let root = written.map(|note| NoteName::from(view.pitch(*note)))?;
    Some(Chord { root, quality: *Quality::ALL.get(index / 12)? })
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn arpeggios_are_named_by_their_chord() {
        assert_eq!(told("R: key=-3 Eb4/8 G4 Bb4 Eb5 G5 Bb5 Eb6/4"), ["arpeggio, E-flat major, up, 1-1, 7 notes"]);
        let seventh = "L: key=0 F4/8 D4 B3 G3 F3 D3 B2 G2";
        assert_eq!(told(seventh), ["arpeggio, G dominant seventh, down, 1-1, 8 notes"]);
        let even = "R: key=0 F#4/8 A4 C5 Eb5 F#5 A5 C6/4";
        assert_eq!(told(even), ["arpeggio, F-sharp diminished seventh, up, 1-1, 7 notes"]);
    }

    #[test]
    fn up_and_down_are_two_passages() {
        let text = "R: key=0 C4/8 E4 G4 C5 E5 G5 E5 C5 G4 E4 C4/2";
        assert_eq!(told(text), ["arpeggio, C major, up, 1-1, 6 notes", "arpeggio, C major, down, 1-2, 6 notes"]);
    }

    #[test]
    fn two_notes_leapt_over_octaves_are_no_arpeggio() {
        assert!(told("R: key=0 C4/8 G4 C5 G5 r/2").is_empty());
    }
}

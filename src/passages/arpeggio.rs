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
//! larger than a major sixth. Repeats of the same chord that follow at once, up or down, are told as one passage.
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
    passages.sort_by_key(|passage| (passage.first_slice, passage.last_slice));
    let mut told: Vec<Passage> = Vec::with_capacity(passages.len());
    for passage in passages {
        match told.last_mut() {
            Some(last) if last.material == passage.material && passage.first_slice <= last.last_slice + 2 => {
                let direction = last.direction.filter(|direction| passage.direction == Some(*direction));
                let value = last.finding.value.max(passage.finding.value);
                let notes = last.notes + passage.notes - usize::from(passage.first_slice == last.last_slice);
                let end = last.last_slice.max(passage.last_slice);
                let whole = view.passage(last.kind, last.first_slice, end, Finding { value, ..last.finding });
                *last = Passage { material: last.material, direction, notes, ..whole };
            }
            // The other voice of a chord that is broken in parallel.
            Some(last) if passage.last_slice <= last.last_slice => {}
            _ => told.push(passage),
        }
    }
    told
}

fn passage(view: &View, chain: &Chain) -> Option<Passage> {
    let ends = [chain.notes.first()?, chain.notes.last()?].map(|note| view.key(*note));
    let span = (ends[1] - ends[0]).abs();
    let classes = chain.notes.iter().fold(0_u16, |all, note| all | 1 << (view.key(*note) % 12));
    if span < LEAST_SPAN || classes.count_ones() < 3 || !chain.is_of_single_notes(view) {
        return None;
    }
    let finding = Finding { what: "semitones in one direction", value: span.into(), limit: LEAST_SPAN.into() };
    let passage = view.passage(PassageKind::Arpeggio, chain.first_stroke, chain.last_stroke(), finding);
    Some(Passage {
        material: name(view, chain).map(Material::Chord),
        direction: Some(chain.motion),
        notes: chain.notes.len(),
        ..passage
    })
}

/// The simplest chord with these notes: a triad before a seventh chord. Chords that divide the octave evenly have as many
/// roots as notes; they are named after the lowest note.
fn name(view: &View, chain: &Chain) -> Option<Chord> {
    let lowest = chain.notes.iter().min_by_key(|note| view.key(**note))?;
    let lowest_class = view.key(*lowest) % 12;
    let (_, _, index) = (0..Quality::ALL.len() * 12)
        .filter(|bit| chain.members >> bit & 1 == 1)
        .map(|bit| (bit / 12, (bit % 12) as i32 != lowest_class, bit))
        .min()?;
    let root = (index % 12) as i32;
    let written = chain.notes.iter().find(|note| view.key(**note) % 12 == root);
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
    fn up_and_down_the_same_chord_is_one_passage() {
        let text = "R: key=0 C4/8 E4 G4 C5 E5 G5 E5 C5 G4 E4 C4/2";
        assert_eq!(told(text), ["arpeggio, C major, 1-2, 11 notes"]);
    }

    #[test]
    fn two_notes_leapt_over_octaves_are_no_arpeggio() {
        assert!(told("R: key=0 C4/8 G4 C5 G5 r/2").is_empty());
    }
}

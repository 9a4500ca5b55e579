//! Scale runs.
//!
//! # What it finds
//! Notes of one scale, major, one of the three minors or chromatic, one after another in one direction.
//!
//! # Why it matters
//! More notes in a row than the hand has fingers must be taken over the thumb, and the scale itself is the drill for it.
//!
//! # How it is measured
//! Notes in one direction, each a neighbour of the one before in the scale (so the augmented second belongs to the
//! harmonic minor and to nothing else), in one flow of time: no rest, no step longer than a second. Where the notes fit
//! several scales, the name is the one that fits the music around: the key there, the signs nearby, and a first or last
//! note that is its tonic.
//!
//! # Limit
//! Six notes: the fewest that five fingers on five keys cannot play. Less than an octave must go at three notes in two
//! seconds or faster; slower it is a tune.
//!
//! # Example
//! `C4 D4 Eb4 F4 G4 Ab4 B4 C5` in sixteenths at 80 quarters a minute: C harmonic minor, up, 8 notes, 5.3 a second.
//!
//! # Sources
//! The limit follows from the hand; the choice of a name is ours. The keys nearby: see [`crate::keys`].

use std::sync::LazyLock;

use super::chain::{Chain, Family, find_chains};
use super::{Finding, Material, Passage, PassageKind, View};
use crate::scales::{Key, Scale};
use crate::units::Motion;

/// Fewest notes of a run.
const LEAST_NOTES: usize = 6;

/// A run of so many notes is one at any speed; a shorter one must be as fast as this, in notes a second. Chosen by us.
const OCTAVE: usize = 8;
const SLOWEST_SHORT: f64 = 1.5;

/// What speaks for a name, all chosen by us: the key around counts most; the key of the whole piece together with a tonic
/// at both ends of the run counts as much and a little more; then nearness to the key around on the circle of fifths
/// (for each fifth) and notes nearby that the scale lacks (for each).
const SAME_KEY: i32 = 40;
const HOME_KEY: i32 = 20;
const TONIC_AT_AN_END: i32 = 12;
const EACH_FIFTH: i32 = 6;
const EACH_FOREIGN_NOTE: i32 = 4;

/// The scales, and for every pitch class and step from -3 to 3 semitones which of them have that step.
struct Scales {
    scales: Vec<Scale>,
    steps: [[u64; 7]; 12],
}

static SCALES: LazyLock<Scales> = LazyLock::new(|| {
    let scales = Scale::all();
    let mut steps = [[0; 7]; 12];
    for (bit, scale) in scales.iter().enumerate() {
        // Melodic minor has its raised notes here; coming down it is the natural minor, which has its own name.
        let degrees = scale.intervals(Motion::Up);
        let size = degrees.len();
        for (index, degree) in degrees.iter().enumerate() {
            let above = degrees[(index + 1) % size] + if index + 1 == size { 12 } else { 0 };
            let (low, high) = (i32::from(scale.tonic().pitch_class()) + degree, above - degree);
            steps[(low % 12) as usize][(3 + high) as usize] |= 1 << bit;
            steps[((low + high) % 12) as usize][(3 - high) as usize] |= 1 << bit;
        }
    }
    Scales { scales, steps }
});

fn step(class: u8, interval: i32) -> u128 {
    let interval = usize::try_from(interval + 3).unwrap_or(usize::MAX);
    SCALES.steps[usize::from(class % 12)].get(interval).copied().unwrap_or(0).into()
}

/// Finds the runs of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let family = Family { least: LEAST_NOTES, step };
    for motion in Motion::BOTH {
        let chains = find_chains(view, motion, &family);
        let mut kept: Vec<Chain> = Vec::with_capacity(chains.len());
        for chain in chains.into_iter().filter(|chain| chain.is_of_single_notes(view)) {
            match kept.last_mut() {
                Some(last) if doubles(last, &chain) => {
                    if stands_before(view, &chain, last) {
                        *last = chain;
                    }
                }
                _ => kept.push(chain),
            }
        }
        let is_tune = |run: &Passage| run.notes < OCTAVE && run.rate < SLOWEST_SHORT;
        found.extend(kept.iter().map(|chain| passage(view, chain)).filter(|run| !is_tune(run)));
    }
}

fn passage(view: &View, chain: &Chain) -> Passage {
    let finding =
        Finding { what: "notes in one direction", value: chain.notes.len() as f64, limit: LEAST_NOTES as f64 };
    let passage = view.passage(PassageKind::ScaleRun, chain.first_stroke, chain.last_stroke(), finding);
    Passage {
        material: name(view, chain).map(Material::Scale),
        direction: Some(chain.motion),
        notes: chain.notes.len(),
        ..passage
    }
}

/// True when two chains are two voices of one movement: the shorter has half its strokes in the other.
fn doubles(a: &Chain, b: &Chain) -> bool {
    let shared = (a.last_stroke().min(b.last_stroke()) + 1).saturating_sub(a.first_stroke.max(b.first_stroke));
    // A chain that took over from another one shares notes with it, and is another thing.
    let another = a.notes.last() != b.notes.last() && a.notes.iter().any(|note| b.notes.contains(note));
    !another && 2 * shared > a.notes.len().min(b.notes.len())
}

/// Of two voices the longer chain is the run, then the outer one.
fn stands_before(view: &View, a: &Chain, b: &Chain) -> bool {
    let outer = |chain: &Chain| chain.notes.last().map_or(0, |note| view.line.hand.outward() * view.key(*note));
    (a.notes.len(), outer(a)) > (b.notes.len(), outer(b))
}

/// The scale that the run is made of.
fn name(view: &View, chain: &Chain) -> Option<Scale> {
    let first = view.strokes[chain.first_stroke].measure;
    let last = view.strokes[chain.last_stroke()].measure;
    let around = view.keys.at(usize::midpoint(first, last));
    let home = view.keys.home();
    let nearby = view.keys.notes_within(first, last);
    let ends = [chain.notes.first(), chain.notes.last()].map(|note| note.map_or(0, |note| view.key(*note)) % 12);
    let worth = |scale: &Scale| {
        let tonic = i32::from(scale.tonic().pitch_class());
        let mut worth = TONIC_AT_AN_END * ends.iter().filter(|end| **end == tonic).count() as i32;
        let own = scale.intervals(Motion::Up).iter().fold(0_u16, |own, degree| own | 1 << ((tonic + degree) % 12));
        worth -= EACH_FOREIGN_NOTE * (nearby & !own).count_ones() as i32;
        if let (Some(key), Some(around)) = (scale.key(), around) {
            let apart = (i32::from(key.fifths()) - i32::from(around.fifths())).rem_euclid(12);
            worth -= EACH_FIFTH * apart.min(12 - apart);
            if apart == 0 && key.mode() == around.mode() {
                worth += SAME_KEY;
            }
            if home.is_some_and(|home| home.main() == key.main()) {
                worth += HOME_KEY;
            }
        }
        worth
    };
    let fits = |(bit, _): &(usize, &Scale)| chain.members >> bit & 1 == 1;
    let candidates = SCALES.scales.iter().enumerate().filter(fits).map(|(_, scale)| scale);
    // Of equal names the first in the order of teaching: natural, harmonic, melodic.
    let best = candidates.rev().max_by_key(|scale| worth(scale)).copied()?;
    Some(spelled(view, chain, best, around))
}

/// The scale under the name of its notes: G-flat or F-sharp major as the run is written, else as the music around.
fn spelled(view: &View, chain: &Chain, scale: Scale, around: Option<Key>) -> Scale {
    let Some((key, twin)) = scale.key().and_then(|key| Some((key, key.twin()?))) else { return scale };
    let sharps: i32 = chain.notes.iter().map(|note| i32::from(view.pitch(*note).alter.signum())).sum();
    let lean = if sharps == 0 { around.map_or(0, |key| i32::from(key.fifths())) } else { sharps };
    let other = lean != 0 && lean.signum() != i32::from(key.fifths().signum());
    if other { Scale::new(twin, scale.form()).unwrap_or(scale) } else { scale }
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn runs_are_named_by_their_scale_and_direction() {
        let c_harmonic = "R: key=-3minor C4/16 D4 Eb4 F4 G4 Ab4 B4 C5 r/2";
        assert_eq!(told(c_harmonic), ["scale run, C minor (harmonic minor), up, 1-1, 8 notes"]);
        let e_flat = "L: key=-3major Eb4/16 D4 C4 Bb3 Ab3 G3 F3 Eb3 r/2";
        assert_eq!(told(e_flat), ["scale run, E-flat major (major), down, 1-1, 8 notes"]);
        let a_melodic = "R: key=0minor E4/8 F#4 G#4 A4 B4 C5 D5 E5 F#5 G#5 A5 r r/4";
        assert_eq!(told(a_melodic), ["scale run, A minor (melodic minor), up, 1-2, 11 notes"]);
        let chromatic = "R: key=0 C5/16 B4 Bb4 A4 Ab4 G4 Gb4 F4 E4/2";
        assert_eq!(told(chromatic), ["scale run, chromatic (chromatic), down, 1-1, 9 notes"]);
    }

    // Common practice, no source: natural C minor has exactly the notes of E-flat major.
    #[test]
    fn the_music_around_tells_a_minor_from_its_relative_major() {
        let run = "Eb5/16 D5 C5 Bb4 Ab4 G4 F4 Eb4";
        let minor = format!("R: key=-3 C4/4 Eb4/8 F4 G4/4 B4 C5/4 D5/8 B4 C5/2 {run} C4/2");
        assert_eq!(told(&minor), ["scale run, C minor (natural minor), down, 3-3, 8 notes"]);
        let major = format!("R: key=-3 Eb4/4 G4/8 F4 Bb4/4 D4 Eb4/4 F4/8 D4 Eb4/2 {run} Eb4/2");
        assert_eq!(told(&major), ["scale run, E-flat major (major), down, 3-3, 8 notes"]);
    }

    #[test]
    fn five_notes_under_five_fingers_are_no_run() {
        assert!(told("R: key=0 C4/8 D4 E4 F4 G4 F4 E4 D4 C4/2").is_empty());
    }

    #[test]
    fn a_slow_line_is_a_tune_unless_it_fills_an_octave() {
        assert!(told("R: key=0 C4/2. D4/2 E4 F4 G4 A4").is_empty());
        assert_eq!(told("R: key=0 C4/2 D4 E4 F4 G4 A4 B4 C5").len(), 1);
    }

    #[test]
    fn a_rest_a_leap_and_a_long_note_end_a_run() {
        assert!(told("R: key=0 C4/8 D4 E4 F4 r/4 G4/8 A4 B4 C5 r/4").is_empty(), "a rest");
        assert!(told("R: key=0 C4/8 D4 E4 F4 A4 B4 C5 D5 r/1").is_empty(), "a third");
        assert!(told("R: key=0 C4/8 D4 E4 F4 G4/2 A4/8 B4 C5 D5 r/1").is_empty(), "a long note");
    }

    #[test]
    fn a_run_that_changes_its_scale_is_told_twice_only_if_it_goes_on_for_long() {
        let text = "R: key=1 G4/16 A4 B4 C5 D5 E5 F#5 G5 A5 B5 C6 D6 E6 F6 r/2";
        assert_eq!(told(text), ["scale run, G major (major), up, 1-1, 13 notes"]);
        let longer = "R: key=0 G4/16 A4 B4 C5 D5 E5 F#5 G5 A5 B5 C6 D6 E6 F6 G6 A6 C6/4 r/2. C5/4 G4 F4 B4 C5 E5 G5 F5";
        assert_eq!(told(longer)[1], "scale run, C major (major), up, 1-1, 9 notes");
    }

    #[test]
    fn a_run_goes_on_over_held_notes_and_chords() {
        let text = "R: key=0 [E4 G4 C5]/8 D5 E5 F5 G5 A5 B5 C6";
        assert_eq!(told(text), ["scale run, C major (major), up, 1-1, 8 notes"]);
    }

    #[test]
    fn keys_of_many_accidentals_are_named_as_they_are_written() {
        let flats = "R: key=-6major Gb4/8 Ab4 Bb4 Cb5 Db5 Eb5 F5 Gb5";
        assert_eq!(told(flats), ["scale run, G-flat major (major), up, 1-1, 8 notes"]);
        let sharps = "R: key=6major F#4/8 G#4 A#4 B4 C#5 D#5 E#5 F#5";
        assert_eq!(told(sharps), ["scale run, F-sharp major (major), up, 1-1, 8 notes"]);
    }
}

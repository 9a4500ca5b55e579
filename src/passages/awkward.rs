//! Awkward crossings.
//!
//! # What it finds
//! Single crossings that are much harder than those of C major.
//!
//! # Why it matters
//! One such moment decides how fast the whole passage can go; it is isolated and drilled before the rest.
//!
//! # How it is measured
//! Points of awkwardness of the crossing, as for scales (see [`crate::scales::Awkwardness`]); its speed does not count.
//! Those of one measure and the next are told together, with the greatest.
//!
//! # Limit
//! In steps of a scale, up to a minor third: as many points as the hardest moment of the major scales, E-flat major, right
//! hand, from C down to B-flat. Wider, as in arpeggios: more points than anything in the arpeggios of the major and minor
//! keys.
//!
//! # Example
//! `C5` with the thumb, then `Bb4` with the fourth finger over it.
//!
//! # Sources
//! The scales and arpeggios that give the limits: common practice, no source.

use std::sync::LazyLock;

use super::{Finding, Passage, PassageKind, View};
use crate::scales::{Form, Key, Scale, arpeggio_fingerings, crossings_of, scale_lines};
use crate::score::Mode;
use crate::units::{Hand, Motion, Pitch};

/// Widest interval of a scale, in semitones.
const WIDEST_STEP: u32 = 3;

/// Fewest points within a scale: the most awkward crossing of any major one.
static LEAST_IN_SCALES: LazyLock<i32> = LazyLock::new(|| {
    let majors = scale_lines().iter().filter(|line| line.scale.form() == Form::Major);
    let points = majors.filter_map(|line| line.hardest()).map(|crossing| crossing.awkwardness.total());
    points.max().unwrap_or(i32::MAX)
});

/// Fewest points of a wider crossing: one more than the most awkward one in the arpeggios of the major and minor keys.
static LEAST_IN_ARPEGGIOS: LazyLock<i32> = LazyLock::new(|| {
    let keys = Key::twelve(Mode::Major).chain(Key::twelve(Mode::Minor));
    let points = keys.flat_map(|key| Hand::BOTH.map(|hand| (key, hand))).filter_map(|(key, hand)| hardest(key, hand));
    points.max().map_or(i32::MAX, |most| most + 1)
});

/// The points of the most awkward crossing in the arpeggio of a key, up and down two octaves.
fn hardest(key: Key, hand: Hand) -> Option<i32> {
    let form = if key.mode() == Mode::Major { Form::Major } else { Form::NaturalMinor };
    let scale = Scale::new(key, form)?;
    let points = |motion| {
        let run = scale.run(motion, 2, scale.lowest_key(hand, 2));
        // First, third and fifth of each octave; from the top the fifth and the third come in their turn.
        let degree = |place: usize| if motion == Motion::Up { place % 7 } else { (14 - place) % 7 };
        let of_chord = |(place, _): &(usize, Pitch)| matches!(degree(*place), 0 | 2 | 4);
        let pitches: Vec<Pitch> = run.into_iter().enumerate().filter(of_chord).map(|(_, pitch)| pitch).collect();
        let fingers = arpeggio_fingerings(key, hand, motion, 2).into_iter().next()?;
        let crossings = crossings_of(hand, motion, &pitches, &fingers);
        crossings.iter().map(|crossing| crossing.awkwardness.total()).max()
    };
    Motion::BOTH.into_iter().filter_map(points).max()
}

/// Finds the awkward crossings of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let limit =
        |interval: i32| if interval.unsigned_abs() <= WIDEST_STEP { *LEAST_IN_SCALES } else { *LEAST_IN_ARPEGGIOS };
    let crossings = view.movements.iter().filter(|movement| movement.slice > 0);
    let passages = crossings.filter_map(|movement| {
        let crossing = movement.crossing()?;
        let limit = limit(movement.interval);
        let (value, limit_value) = (movement.awkwardness.into(), limit.into());
        let finding = Finding { what: "points of awkwardness", value, limit: limit_value };
        let passage = || {
            let kind = PassageKind::AwkwardCrossing(crossing.kind);
            let direction = Some(if movement.interval > 0 { Motion::Up } else { Motion::Down });
            Passage { direction, ..view.passage(kind, movement.slice - 1, movement.slice, finding) }
        };
        (movement.awkwardness >= limit).then(passage)
    });
    found.append(&mut view.join_near(passages.collect()));
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;
    use super::LEAST_IN_ARPEGGIOS;

    // Common practice, no source: nothing else in E-flat major compares.
    #[test]
    fn the_hardest_moment_of_e_flat_major_is_the_limit() {
        assert_eq!(told("R: D5-2/4 C5-1 Bb4-4 Ab4-3"), ["awkward crossing, finger over, down, 1-1, 2 notes"]);
        assert!(told("R: G4-2/4 F4-1 Eb4-3 D4-2").is_empty());
        assert!(told("R: Ab4-3/4 Bb4-4 C5-1 D5-2").is_empty(), "going up");
    }

    #[test]
    fn the_thumb_below_a_finger_on_a_white_key_is_awkward() {
        assert_eq!(told("R: D4-2/4 E4-3 A4-4 C#5-1").len(), 0);
    }

    #[test]
    fn the_arpeggios_of_the_keys_are_as_taught_and_none_is_awkward() {
        assert!(told("R: A5-5/4 E5-3 C5-2 A4-1 E4-3 C4-2 A3-1").iter().all(|passage| passage.starts_with("arpeggio")));
        assert!((23..40).contains(&*LEAST_IN_ARPEGGIOS), "{}", *LEAST_IN_ARPEGGIOS);
    }
}

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
//! As many points as the hardest moment of the major scales: E-flat major, right hand, from C down to B-flat.
//!
//! # Example
//! `C5` with the thumb, then `Bb4` with the fourth finger over it.
//!
//! # Sources
//! The scale that gives the limit: common practice, no source.

use std::sync::LazyLock;

use super::{Finding, Passage, PassageKind, View};
use crate::scales::{Form, scale_lines};

/// Fewest points: the most awkward crossing of any major scale.
static LEAST_POINTS: LazyLock<i32> = LazyLock::new(|| {
    let majors = scale_lines().iter().filter(|line| line.scale.form() == Form::Major);
    let points = majors.filter_map(|line| line.hardest()).map(|crossing| crossing.awkwardness.total());
    points.max().unwrap_or(i32::MAX)
});

/// Finds the awkward crossings of a line.
pub(super) fn detect(view: &View, found: &mut Vec<Passage>) {
    let limit = f64::from(*LEAST_POINTS);
    let awkward = view.movements.iter().filter(|movement| movement.awkwardness >= *LEAST_POINTS && movement.slice > 0);
    let passages = awkward.map(|movement| {
        let finding = Finding { what: "points of awkwardness", value: movement.awkwardness.into(), limit };
        view.passage(PassageKind::AwkwardCrossing, movement.slice - 1, movement.slice, finding)
    });
    found.append(&mut view.join_near(passages.collect()));
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    // Common practice, no source: nothing else in E-flat major compares.
    #[test]
    fn the_hardest_moment_of_e_flat_major_is_the_limit() {
        assert_eq!(told("R: D5-2/4 C5-1 Bb4-4 Ab4-3"), ["awkward crossing, 1-1, 2 notes"]);
        assert!(told("R: G4-2/4 F4-1 Eb4-3 D4-2").is_empty());
        assert!(told("R: Ab4-3/4 Bb4-4 C5-1 D5-2").is_empty(), "going up");
    }

    #[test]
    fn the_thumb_below_a_finger_on_a_white_key_is_awkward() {
        assert_eq!(told("R: D4-2/4 E4-3 F4-4 Bb4-1").len(), 1);
    }
}

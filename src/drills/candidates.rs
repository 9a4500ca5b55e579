//! The scales that can be prescribed, and which of them practise a crossing.
//!
//! In: a crossing of a piece. Out: a bit for each of the [`candidates`] that contains it, exactly or nearly, in the
//! fingering that the handbooks print first. One look into a table that is filled once.

use std::sync::LazyLock;

use crate::crossing::{Crossing, CrossingKind};
use crate::scales::{Form, Scale, ScaleCrossing, ScaleLine, crossings_of, scale_lines, textbook_fingering};
use crate::units::{Finger, Hand, KeyColour, Motion};

/// All scales that can be prescribed, in the order in which equals are preferred: fewer accidentals first, major before
/// minor, harmonic before melodic before natural (common practice, no source: the order in which lessons add them).
pub fn candidates() -> &'static [Scale] {
    static ORDERED: LazyLock<Vec<Scale>> = LazyLock::new(|| {
        let mut scales = Scale::all();
        let place = |form| match form {
            Form::Major => 0,
            Form::HarmonicMinor => 1,
            Form::MelodicMinor => 2,
            Form::NaturalMinor => 3,
            Form::Chromatic => 4,
        };
        // A stable sort, so sharps and flats stay as they were.
        scales
            .sort_by_key(|scale| (scale.form() == Form::Chromatic, scale.fifths().unsigned_abs(), place(scale.form())));
        scales
    });
    &ORDERED
}

/// Index into [`candidates`] of a scale under its main name; every chromatic scale is the one on C.
pub fn candidate(scale: Scale) -> Option<usize> {
    let main = scale.key().and_then(|key| Scale::new(key.main(), scale.form())).unwrap_or(scale);
    candidates()
        .iter()
        .position(|known| *known == main || known.form() == Form::Chromatic && main.form() == Form::Chromatic)
}

/// Scales out of [`candidates`], a bit for each.
pub type ScaleMask = u64;

/// Scales that practise a crossing, in the one hand and direction that its kind leaves.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Practising {
    /// Those that contain it or one that comes near.
    pub nearly: ScaleMask,
    /// Those that contain it.
    pub exact: ScaleMask,
}

/// The scales that practise a crossing.
pub fn scales_practising(crossing: &Crossing) -> Practising {
    static TABLE: LazyLock<Vec<Practising>> = LazyLock::new(|| {
        let mut table = vec![Practising::default(); PLACES];
        for line in scale_lines() {
            enter(line, &mut table);
        }
        table
    });
    place(crossing).and_then(|place| TABLE.get(place)).copied().unwrap_or_default()
}

/// Every crossing of a scale in one hand and direction over so many octaves, in the textbook fingering: the one a player
/// drills, whatever other fingerings are accepted.
pub(crate) fn steps_of(scale: Scale, hand: Hand, motion: Motion, octaves: u8) -> Vec<ScaleCrossing> {
    let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
    crossings_of(hand, motion, &pitches, &textbook_fingering(scale, hand, motion, octaves))
}

fn enter(line: &ScaleLine, table: &mut [Practising]) {
    let Some(scale) = candidate(line.scale) else { return };
    let flipped = |colour| if colour == KeyColour::White { KeyColour::Black } else { KeyColour::White };
    for own in steps_of(line.scale, line.hand, line.motion, OCTAVES).into_iter().map(|step| step.crossing) {
        let near = [
            own,
            Crossing { interval: own.interval - 1, ..own },
            Crossing { interval: own.interval + 1, ..own },
            Crossing { from_colour: flipped(own.from_colour), ..own },
            Crossing { to_colour: flipped(own.to_colour), ..own },
        ];
        for crossing in near {
            let Some(entry) = place(&crossing).and_then(|place| table.get_mut(place)) else { continue };
            entry.nearly |= 1 << scale;
            if crossing == own {
                entry.exact |= 1 << scale;
            }
        }
    }
}

/// Octaves of the scales in the table: every crossing comes in two, also those of the ends.
pub(crate) const OCTAVES: u8 = 2;

/// Widest interval in the table, in semitones; no scale comes near it.
const WIDEST: usize = 7;
/// Hands, kinds, fingers, intervals, colours of both keys.
const PLACES: usize = 2 * 2 * 5 * (WIDEST + 1) * 2 * 2;

/// Where a crossing stands in the table; none for what cannot be a crossing, or is too wide for any scale.
fn place(crossing: &Crossing) -> Option<usize> {
    let (finger, thumb) = match crossing.kind {
        CrossingKind::ThumbUnder => (crossing.from_finger, crossing.to_finger),
        CrossingKind::FingerOver => (crossing.to_finger, crossing.from_finger),
    };
    let outward = crossing.interval.signum() * crossing.hand.outward();
    let right_way = outward == if crossing.kind == CrossingKind::ThumbUnder { 1 } else { -1 };
    let interval = crossing.interval.unsigned_abs() as usize;
    if thumb != Finger::THUMB || finger == Finger::THUMB || !right_way || interval > WIDEST {
        return None;
    }
    let bit = |yes: bool| usize::from(yes);
    let digits = [
        (bit(crossing.hand == Hand::Left), 2),
        (bit(crossing.kind == CrossingKind::FingerOver), 2),
        (finger.index(), 5),
        (interval, WIDEST + 1),
        (bit(crossing.from_colour == KeyColour::Black), 2),
        (bit(crossing.to_colour == KeyColour::Black), 2),
    ];
    Some(digits.into_iter().fold(0, |place, (digit, base)| place * base + digit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crossing::Practice;

    fn named(scales: &[usize]) -> Vec<String> {
        scales.iter().map(|index| candidates()[*index].to_string()).collect()
    }

    #[test]
    fn every_scale_is_a_candidate_and_twins_are_one() {
        assert_eq!(candidates().len(), 49);
        assert_eq!(named(&[0, 1, 2, 3]), ["C major", "A harmonic minor", "A melodic minor", "A natural minor"]);
        for (index, scale) in candidates().iter().enumerate() {
            assert_eq!(candidate(*scale), Some(index));
        }
        let twin =
            |a: &str, b: &str| candidate(Scale::parse(a, None).unwrap()) == candidate(Scale::parse(b, None).unwrap());
        assert!(twin("C-sharp major", "D-flat major"));
        assert!(twin("D chromatic", "C chromatic"));
    }

    #[test]
    fn the_table_agrees_with_the_scales_themselves() {
        let mut practising = 0;
        let all: Vec<_> = scale_lines()
            .iter()
            .map(|line| (candidate(line.scale).unwrap(), steps_of(line.scale, line.hand, line.motion, OCTAVES)))
            .collect();
        for own in scale_lines().iter().flat_map(|line| &line.crossings) {
            for interval in [-1, 0, 1, 2] {
                let crossing = Crossing { interval: own.crossing.interval + interval, ..own.crossing };
                // An interval turned round is no crossing of this kind.
                if crossing.interval.signum() != own.crossing.interval.signum() {
                    continue;
                }
                let mut expected = Practising::default();
                for (scale, steps) in &all {
                    let best = steps.iter().filter_map(|step| step.crossing.practises(&crossing)).max();
                    expected.nearly |= if best.is_some() { 1 << scale } else { 0 };
                    expected.exact |= if best == Some(Practice::Exact) { 1 << scale } else { 0 };
                }
                assert_eq!(scales_practising(&crossing), expected, "{crossing:?}");
                practising += expected.exact.count_ones();
            }
        }
        assert!(practising > 1000);
        assert!(candidates().len() <= ScaleMask::BITS as usize);
    }
}

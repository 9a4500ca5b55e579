//! Arpeggios, and where their thumb belongs.
//!
//! In: the moments of a line. Out: for each note inside an arpeggio of a triad beyond the octave, what the thumb costs
//! where it does not belong, and another finger where the thumb belongs.
//!
//! The thumb returns every octave to one note of the triad. Beginners and artists alike take the note at the thumb's end
//! of the arpeggio if it is a white key, so that the first octave begins as all others; else the handbooks say which
//! (Hanon 1873, no. 41, and scale manuals: common practice).

use std::sync::LazyLock;

use super::flow::{flows, number, own_ends};
use super::moments::{MOST, Moment};
use super::search::Leaning;
use super::weights::Weights;
use crate::scales::{Key, arpeggio_fingerings};
use crate::score::Mode;
use crate::units::{Hand, Motion};

/// Fewest notes of an arpeggio that leans on the pattern: with five the hand may still open over them. Chosen by us.
const LEAST: usize = 6;

/// A triad whose arpeggios the handbooks finger.
struct Triad {
    key: Key,
    /// Pitch class of the thumb inside the arpeggio in root position, for the right and the left hand.
    thumbs: [i32; 2],
}

impl Triad {
    fn is_root(&self, number: i32) -> bool {
        number.rem_euclid(12) == i32::from(self.key.tonic().pitch_class())
    }
}

/// The triads, and for every pitch class and step from -5 to 5 semitones which of them have that step.
struct Triads {
    all: Vec<Triad>,
    steps: [[u32; 11]; 12],
}

static TRIADS: LazyLock<Triads> = LazyLock::new(|| {
    let mut triads = Triads { all: Vec::new(), steps: [[0; 11]; 12] };
    for (bit, key) in Key::twelve(Mode::Major).chain(Key::twelve(Mode::Minor)).enumerate() {
        let third = if key.mode() == Mode::Major { 4 } else { 3 };
        let degrees = [0, third, 7, 12].map(|degree| i32::from(key.tonic().pitch_class()) + degree);
        for pair in degrees.windows(2) {
            let width = pair[1] - pair[0];
            triads.steps[pair[0].rem_euclid(12) as usize][(5 + width) as usize] |= 1 << bit;
            triads.steps[pair[1].rem_euclid(12) as usize][(5 - width) as usize] |= 1 << bit;
        }
        let thumbs = [Hand::Right, Hand::Left].map(|hand| {
            // The second octave of three is free of the ends.
            let fingers = arpeggio_fingerings(key, hand, Motion::Up, 3).swap_remove(0);
            let place = (3..6).find(|place| fingers.get(*place).is_some_and(|finger| finger.is_thumb()));
            degrees[place.unwrap_or(3) - 3].rem_euclid(12)
        });
        triads.all.push(Triad { key, thumbs });
    }
    triads
});

/// Adds what the arpeggios ask for to the leanings of a line.
pub fn lean_on_arpeggios(hand: Hand, moments: &[Moment], weights: &Weights, leanings: &mut [Leaning]) {
    let number = |at: usize| number(moments, at).map(|number| hand.outward() * number);
    let mut start = 0;
    while start < moments.len() {
        let (mut end, mut direction, mut fit) = (start + 1, 0, u32::MAX);
        while let (Some(last), Some(next)) = (number(end - 1), number(end)) {
            let step = next - last;
            let turns = direction != 0 && step.signum() != direction;
            let steps = &TRIADS.steps[last.rem_euclid(12) as usize];
            let fits = fit & usize::try_from(step + 5).ok().and_then(|step| steps.get(step)).unwrap_or(&0);
            if !flows(moments, end) || turns || fits == 0 {
                break;
            }
            (fit, direction, end) = (fits, step.signum(), end + 1);
        }
        if let (true, Some(first), Some(last)) = (end - start >= LEAST, number(start), number(end - 1)) {
            let triad = &TRIADS.all[fit.trailing_zeros() as usize];
            if triad.is_root(first) && triad.is_root(last) {
                let motion = if direction > 0 { Motion::Up } else { Motion::Down };
                let octaves = (first.abs_diff(last) / 12).min(9) as u8;
                let accepted = arpeggio_fingerings(triad.key, hand, motion, octaves);
                let own = own_ends(moments, start, end);
                for (place, at) in (start..end).enumerate() {
                    if at > start && at + 1 < end || at == start && own[0] || at + 1 == end && own[1] {
                        leanings[at].scale = [weights.scale; MOST];
                        for finger in accepted.iter().filter_map(|fingers| fingers.get(place)) {
                            leanings[at].scale[finger.index()] = 0;
                        }
                    }
                }
            } else {
                let inner = if direction == hand.outward() { start } else { end - 1 };
                let black = moments[inner].active.first().is_some_and(|active| active.key.black);
                let thumb =
                    if black { triad.thumbs[usize::from(hand == Hand::Left)] } else { number(inner).unwrap_or(0) };
                for (at, leaning) in leanings.iter_mut().enumerate().take(end).skip(start) {
                    let here = number(at).is_some_and(|number| (number - thumb).rem_euclid(12) == 0);
                    let inside = at > start && at + 1 < end;
                    leaning.scale = [if here && inside { weights.scale } else { 0 }; MOST];
                    leaning.scale[0] = if here { 0 } else { weights.scale };
                }
            }
        }
        start = if end - start > 1 { end - 1 } else { end };
    }
}

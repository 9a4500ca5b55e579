//! Arpeggios, and where their thumb belongs.
//!
//! In: the moments of a line. Out: for each note inside an arpeggio of a triad beyond the octave, what the thumb costs
//! where it does not belong, and another finger where the thumb belongs.
//!
//! The thumb returns every octave to one note of the triad. Beginners and artists alike take the note at the thumb's end
//! of the arpeggio if it is a white key, so that the first octave begins as all others; from the root, and from a black
//! key, the handbooks say it all (Hanon 1873, no. 41, and scale manuals: common practice).

use std::ops::Range;
use std::sync::LazyLock;

use super::costs::Cost;
use super::flow::{flows, number, own_ends};
use super::handbook::{Halves, costs, halves};
use super::moments::{MOST, Moment};
use super::search::Leaning;
use super::weights::Weights;
use crate::scales::{Key, arpeggio_fingerings};
use crate::score::Mode;
use crate::units::{Hand, Motion};

/// Fewest notes of an arpeggio that leans on the pattern: with five the hand may still open over them. Chosen by us.
const LEAST: usize = 6;

/// A triad and how the handbooks finger its arpeggios, for the right and the left hand.
struct Triad {
    /// Pitch class of the root.
    root: i32,
    /// Inside an arpeggio, by pitch class.
    inside: [[Option<Halves>; 12]; 2],
    /// On the lowest and the highest root of an arpeggio.
    ends: [[Halves; 2]; 2],
}

impl Triad {
    fn new(key: Key, degrees: [i32; 4]) -> Self {
        let mut triad = Self { root: degrees[0], inside: [[None; 12]; 2], ends: [[[0; MOST]; 2]; 2] };
        for (side, hand) in Hand::BOTH.into_iter().enumerate() {
            let accepted = arpeggio_fingerings(key, hand, Motion::Up, 3);
            let at = |place: usize| halves(accepted.iter().filter_map(|fingers| fingers.get(place).copied()));
            // The second octave of three is free of the ends.
            for (degree, place) in degrees.into_iter().zip(3..6) {
                triad.inside[side][degree.rem_euclid(12) as usize] = Some(at(place));
            }
            triad.ends[side] = [at(0), at(9)];
        }
        triad
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
        triads.all.push(Triad::new(key, degrees));
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
        if end - start >= LEAST {
            let triad = &TRIADS.all[fit.trailing_zeros() as usize];
            lean(hand, moments, start..end, direction, triad, weights.scale, leanings);
        }
        start = if end - start > 1 { end - 1 } else { end };
    }
}

/// Leans one arpeggio, which goes up or down by `direction`.
fn lean(
    hand: Hand,
    moments: &[Moment],
    run: Range<usize>,
    direction: i32,
    triad: &Triad,
    weight: Cost,
    leanings: &mut [Leaning],
) {
    let class = |at: usize| number(moments, at).map_or(0, |number| (hand.outward() * number).rem_euclid(12));
    let side = usize::from(hand == Hand::Left);
    let (first, last) = (run.start, run.end - 1);
    let inner = if direction == hand.outward() { first } else { last };
    let black = moments[inner].active.first().is_some_and(|active| active.key.black);
    if !black && class(inner) != triad.root {
        for at in run {
            let here = class(at) == class(inner);
            leanings[at].scale = [if here && at != first && at != last { weight } else { 0 }; MOST];
            leanings[at].scale[0] = if here { 0 } else { weight };
        }
        return;
    }
    for (at, leaning) in leanings.iter_mut().enumerate().take(last).skip(first + 1) {
        if let Some(halves) = triad.inside[side][class(at) as usize] {
            leaning.scale = costs(halves, weight);
        }
    }
    let own = own_ends(moments, run.start, run.end);
    for (end, at) in [first, last].into_iter().enumerate() {
        if own[end] && class(at) == triad.root {
            let highest = usize::from((at == last) == (direction > 0));
            leanings[at].scale = costs(triad.ends[side][highest], weight);
        }
    }
}

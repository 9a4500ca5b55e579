//! Runs that are scales, and the fingers that handbooks give them.
//!
//! In: the moments of a line and the keys of the score. Out: for each note inside a run, what a finger costs that is not
//! the textbook's. The lean is soft: it decides between fingerings that are nearly as easy. The ends of a run are free,
//! for there the hand looks to what comes before and after, but where the hand begins or turns on the tonic.

use std::sync::LazyLock;

use super::flow::{flows, number, own_ends};
use super::handbook::{Halves, costs, halves};
use super::moments::{MOST, Moment};
use super::search::Leaning;
use super::weights::Weights;
use crate::keys::LocalKeys;
use crate::scales::{Form, Key, Scale, accepted_fingerings, fingers_by_key};
use crate::score::MeasureIndex;
use crate::units::{Finger, Hand, Motion};

/// Fewest notes of a run from or to its tonic, and of any other run, that leans on the textbook. Chosen by us: a run of
/// an octave that starts and ends elsewhere is taken by where it starts or ends.
const LEAST: usize = 8;
const LEAST_ELSEWHERE: usize = 12;

/// What speaks against a scale that has the notes of a run: each fifth between its key and the key around, each end of
/// the run that is not its tonic; and one where only the mode differs. Chosen by us: a run from tonic to tonic is that
/// scale, whatever key is around.
const EACH_FIFTH: i32 = 2;
const EACH_END: i32 = 3;

/// Textbook fingers as indices, by pitch class.
type ByKey = [Option<u8>; 12];

/// Right hand up, right hand down, left hand up, left hand down.
type Rows<T> = [T; 4];

const ROWS: Rows<(Hand, Motion)> =
    [(Hand::Right, Motion::Up), (Hand::Right, Motion::Down), (Hand::Left, Motion::Up), (Hand::Left, Motion::Down)];

/// The scales, and for every pitch class and step from -3 to 3 semitones which of them have that step.
struct Textbook {
    scales: Vec<Scale>,
    fingers: Vec<Rows<ByKey>>,
    /// At the first and the last note of a run from tonic to tonic.
    ends: Vec<Rows<[Halves; 2]>>,
    steps: [[u64; 7]; 12],
}

static TEXTBOOK: LazyLock<Textbook> = LazyLock::new(|| {
    let scales = Scale::all();
    let rows = |scale: &Scale| {
        let of = |hand, motion| fingers_by_key(*scale, hand, motion).map(|f| f.map(|f| f.index() as u8));
        ROWS.map(|(hand, motion)| of(hand, motion))
    };
    let ends = |scale: &Scale| {
        ROWS.map(|(hand, motion)| {
            let accepted = accepted_fingerings(*scale, hand, motion, 2);
            [<[Finger]>::first, <[Finger]>::last]
                .map(|end| halves(accepted.iter().filter_map(|fingers| end(fingers).copied())))
        })
    };
    let mut steps = [[0; 7]; 12];
    for (bit, scale) in scales.iter().enumerate() {
        let tonic = i32::from(scale.tonic().pitch_class());
        // Coming down the melodic minor is the natural minor, which is a scale of its own here.
        let degrees = scale.intervals(Motion::Up);
        for (index, degree) in degrees.iter().enumerate() {
            let above = degrees.get(index + 1).copied().unwrap_or(degrees[0] + 12);
            let width = above - degree;
            steps[(tonic + degree).rem_euclid(12) as usize][(3 + width) as usize] |= 1 << bit;
            steps[(tonic + above).rem_euclid(12) as usize][(3 - width) as usize] |= 1 << bit;
        }
    }
    Textbook { fingers: scales.iter().map(rows).collect(), ends: scales.iter().map(ends).collect(), scales, steps }
});

/// Adds what the scales ask for to the leanings of a line.
pub fn lean_on_scales(
    hand: Hand,
    moments: &[Moment],
    measures: &[MeasureIndex],
    keys: &LocalKeys,
    weights: &Weights,
    leanings: &mut [Leaning],
) {
    let number = |at: usize| number(moments, at).map(|number| hand.outward() * number);
    let mut start = 0;
    while start < moments.len() {
        let (mut end, mut direction, mut fit) = (start + 1, 0, u64::MAX);
        while let (Some(last), Some(next)) = (number(end - 1), number(end)) {
            let step = next - last;
            let turns = direction != 0 && step.signum() != direction;
            let steps = &TEXTBOOK.steps[last.rem_euclid(12) as usize];
            let fits = fit & usize::try_from(step + 3).ok().and_then(|step| steps.get(step)).unwrap_or(&0);
            if !flows(moments, end) || turns || fits == 0 {
                break;
            }
            (fit, direction, end) = (fits, step.signum(), end + 1);
        }
        if end - start >= LEAST
            && let (Some(first), Some(last)) = (number(start), number(end - 1))
        {
            let around = keys.at(measures[usize::midpoint(start, end)]);
            let best = textbook(fit, [first, last], around);
            let row = usize::from(hand == Hand::Left) * 2 + usize::from(direction < 0);
            let fingers = &TEXTBOOK.fingers[best][row];
            let chromatic = TEXTBOOK.scales[best].form() == Form::Chromatic;
            let weight = if chromatic { weights.chromatic } else { weights.scale };
            let tonic = i32::from(TEXTBOOK.scales[best].tonic().pitch_class());
            let from_tonic = chromatic || [first, last].iter().any(|end| end.rem_euclid(12) == tonic);
            if end - start < LEAST_ELSEWHERE && !from_tonic {
                start = end - 1;
                continue;
            }
            for (at, leaning) in leanings.iter_mut().enumerate().take(end - 1).skip(start + 1) {
                let key = number(at).map_or(0, |number| number.rem_euclid(12) as usize);
                if let Some(finger) = fingers[key] {
                    leaning.scale = [weight; MOST];
                    leaning.scale[usize::from(finger)] = 0;
                }
            }
            let own = own_ends(moments, start, end);
            for (side, at) in [start, end - 1].into_iter().enumerate() {
                if own[side] && number(at).is_some_and(|number| number.rem_euclid(12) == tonic) {
                    leanings[at].scale = costs(TEXTBOOK.ends[best][row][side], weight);
                }
            }
        }
        // The last note of a run may be the first of the next.
        start = if end - start > 1 { end - 1 } else { end };
    }
}

/// Which of the scales that fit a run is nearest to the key around and to the ends of the run.
fn textbook(fit: u64, ends: [i32; 2], around: Option<Key>) -> usize {
    let far = |scale: &Scale| -> i32 {
        let (Some(key), Some(around)) = (scale.key(), around) else { return 0 };
        let fifths = (i32::from(key.fifths()) - i32::from(around.fifths())).rem_euclid(12);
        let tonic = i32::from(scale.tonic().pitch_class());
        let off = ends.iter().filter(|end| end.rem_euclid(12) != tonic).count() as i32;
        EACH_FIFTH * fifths.min(12 - fifths) + EACH_END * off + i32::from(key.mode() != around.mode())
    };
    let fitting = (0..TEXTBOOK.scales.len()).filter(|bit| fit >> bit & 1 == 1);
    fitting.min_by_key(|bit| far(&TEXTBOOK.scales[*bit])).unwrap_or(0)
}

//! Runs through more than an octave, and the thumb that falls on the same keys in every octave.
//!
//! In: the moments of a line and the rules. Out: for each note inside such a run, what a finger costs that does not fit.
//!
//! Scales, arpeggios and chromatic runs repeat their keys every octave, and their fingering repeats with them: that is
//! the one principle behind the tables of the handbooks (common practice, no source). So of all the ways to put the
//! thumb on the same keys in every octave, the cheapest by the rules is taken, and the run leans on it. The lean is
//! soft, and the ends of a run are free, for there the hand looks to what comes before and after.

use super::costs::{Cost, Rules};
use super::flow::{flows, number};
use super::keyboard::OCTAVE;
use super::moments::{MOST, Moment};
use super::search::{Leaning, Problem, State};
use super::states::Fingers;

/// Widest step inside a run, in semitones: the fourth of an arpeggio.
const WIDEST: i32 = 5;

/// Fewest notes of a run, which besides is longer than an octave and a half: an arpeggio of five may still lie under an
/// open hand, and a short run is fingered by where it starts and ends. Chosen by us.
const LEAST: usize = 6;

/// Most and fewest notes from thumb to thumb: four fingers pass before the thumb must follow.
const APART: std::ops::RangeInclusive<usize> = 2..=4;

/// Adds what the octaves ask for to the leanings of a line.
pub fn lean_on_octaves(moments: &[Moment], rules: &Rules, leanings: &mut [Leaning]) {
    let mut start = 0;
    while start < moments.len() {
        let Some((end, period)) = run_from(moments, start) else {
            start += 1;
            continue;
        };
        // A run that a handbook names leans on that already.
        let named = leanings[start..end].iter().any(|leaning| leaning.scale != [0; MOST]);
        if !named && let Some(fingers) = cheapest(&moments[start..end], period, rules) {
            for (leaning, finger) in leanings[start..end].iter_mut().zip(fingers).take(end - start - 1).skip(1) {
                leaning.scale = [rules.weights.octave; MOST];
                leaning.scale[usize::from(finger)] = 0;
            }
        }
        // The last note of a run may be the first of the next.
        start = end - 1;
    }
}

/// The end of the run that begins at a moment, and how many of its notes an octave has.
fn run_from(moments: &[Moment], start: usize) -> Option<(usize, usize)> {
    let number = |at: usize| number(moments, at);
    let first = number(start)?;
    let direction = (number(start + 1)? - first).signum();
    let (mut end, mut period) = (start + 1, None);
    while let (Some(last), Some(next)) = (number(end - 1), number(end)) {
        let step = (next - last) * direction;
        if !flows(moments, end) || !(1..=WIDEST).contains(&step) {
            break;
        }
        let octave = match period {
            None => (next - first) * direction <= 12,
            Some(period) => number(end - period).is_some_and(|below| (next - below) * direction == 12),
        };
        if !octave {
            break;
        }
        if (next - first) * direction == 12 {
            period = Some(end - start);
        }
        end += 1;
    }
    period.filter(|period| *period >= 3 && end - start >= LEAST.max(3 * period / 2 + 1)).map(|period| (end, period))
}

/// The fingers of the cheapest way through a run.
///
/// The ways are compared over three octaves like the first, so that neither end of the run has a say. The end at the
/// thumb's side takes the thumb if it is a white key, for there the hand begins (common practice, no source).
fn cheapest(run: &[Moment], period: usize, rules: &Rules) -> Option<Vec<u8>> {
    let white = |place: usize| run.get(place).is_some_and(|moment| !moment.active[0].key.black);
    let outward = run[1].active[0].key.number > run[0].active[0].key.number;
    let inner = if outward { 0 } else { (run.len() - 1) % period };
    let mut ways = thumbs(period, &white);
    if ways.is_empty() {
        // Where the white keys lie too far apart the thumb takes black ones.
        ways = thumbs(period, &|_| true);
    }
    if white(inner) && ways.iter().any(|way| way >> inner & 1 == 1) {
        ways.retain(|way| way >> inner & 1 == 1);
    }
    let octaves: Vec<Moment> = (0..3 * period)
        .map(|at| {
            let mut moment = run[1 + (at + period - 1) % period].clone();
            let up = if outward { 1 } else { -1 } * ((at / period) as i32 + i32::from(at % period == 0) - 1);
            let key = &mut moment.active[0].key;
            (key.number, key.place) = (key.number + 12 * up, key.place + OCTAVE * up);
            moment
        })
        .collect();
    let leanings = vec![Leaning::default(); octaves.len()];
    let mut best: Option<(i64, Vec<State>)> = None;
    for way in ways {
        let mut choices: Vec<Fingers> = Vec::new();
        let mut starts = vec![0];
        for at in 0..octaves.len() {
            let fits = |finger: &u8| (*finger == 0) == (way >> (at % period) & 1 == 1);
            choices.extend((0..MOST as u8).filter(fits).map(|finger| [finger, 0, 0, 0, 0]));
            starts.push(choices.len() as u32);
        }
        let problem = Problem { rules, moments: &octaves, choices: &choices, starts: &starts, leanings: &leanings };
        let chosen = problem.solve();
        let mut cost = 0;
        for at in period..2 * period {
            problem.charge_moment(at, &chosen, &mut |_, c: Cost| cost += i64::from(c));
        }
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, chosen));
        }
    }
    best.map(|(_, chosen)| (0..run.len()).map(|at| chosen[period + at % period].fingers[0]).collect())
}

/// The ways to put thumbs on the notes of an octave, a bit for each note, so that they are [`APART`] all the way round.
fn thumbs(period: usize, allowed: &dyn Fn(usize) -> bool) -> Vec<u32> {
    let keys = (0..period).filter(|place| allowed(*place)).fold(0_u32, |keys, place| keys | 1 << place);
    let fits = |way: &u32| {
        let places: Vec<usize> = (0..period).filter(|place| way >> place & 1 == 1).collect();
        let next = places.iter().skip(1).copied().chain(places.first().map(|first| first + period));
        way & !keys == 0 && places.iter().zip(next).all(|(place, next)| APART.contains(&(next - place)))
    };
    (1..1 << period).filter(fits).collect()
}

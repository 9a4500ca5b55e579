//! A speed for a score that names none, from its note values.

use crate::hands::Hands;
use crate::score::{Measure, Score};
use crate::units::{Hand, Quarters};

/// Onsets a second that the busier hand is assumed to play where nothing is said. Chosen by us: a running hand of eighths at
/// 96 quarter notes a minute, an easy speed for most pieces.
const ONSETS_PER_SECOND: f64 = 3.2;

/// Speeds within which the assumption stays, in quarter notes a minute. Chosen by us: fast notes do not make a piece slow
/// without end, nor slow ones fast.
const SPEEDS: (f64, f64) = (63.0, 120.0);

/// Quarter notes a minute for a score that names no tempo.
///
/// The measures in the upper quarter by how busy their busier hand is set the density, since a piece is practised at the
/// speed that its running measures allow.
pub(super) fn assume_speed(score: &Score, hands: &Hands) -> f64 {
    let mut densities: Vec<f64> = Vec::with_capacity(score.measures.len());
    let mut next = [0, 0];
    for measure in score.measures.iter().filter(|measure| measure.duration > Quarters::ZERO) {
        let mut busiest = 0;
        for (hand, next) in Hand::BOTH.into_iter().zip(&mut next) {
            let slices = &hands.line(hand).slices;
            let from = *next;
            while slices.get(*next).is_some_and(|slice| slice.onset < end(measure)) {
                *next += 1;
            }
            busiest = busiest.max(slices[from..*next].iter().filter(|slice| slice.grace == 0).count());
        }
        if busiest > 0 {
            densities.push(busiest as f64 / measure.duration.to_f64());
        }
    }
    densities.sort_unstable_by(f64::total_cmp);
    let density = densities.get(densities.len() * 3 / 4).copied().unwrap_or(1.0);
    (60.0 * ONSETS_PER_SECOND / density).clamp(SPEEDS.0, SPEEDS.1).round()
}

fn end(measure: &Measure) -> Quarters {
    measure.onset + measure.duration
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::score;

    fn assumed(text: &str) -> f64 {
        let (score, hands) = score(text);
        assume_speed(&score, &hands)
    }

    #[test]
    fn shorter_note_values_mean_a_slower_beat_within_bounds() {
        let quarters = assumed("R: C4 D4 E4 F4");
        let eighths = assumed("R: C4/8 D4 E4 F4 C4 D4 E4 F4");
        let sixteenths = assumed("R: C4/16 D4 E4 F4 C4 D4 E4 F4 C4 D4 E4 F4 C4 D4 E4 F4");
        assert!(quarters > eighths && eighths > sixteenths);
        assert!((63.0..=120.0).contains(&quarters) && (63.0..=120.0).contains(&sixteenths));
    }

    #[test]
    fn the_busier_hand_decides() {
        let both = assumed("R: C5 D5 E5 F5\nL: C4/8 D4 E4 F4 C4 D4 E4 F4");
        assert!((both - assumed("R: C4/8 D4 E4 F4 C4 D4 E4 F4")).abs() < 1e-9);
    }
}

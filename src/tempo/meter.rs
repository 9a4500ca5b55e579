//! Which note value is the beat of a pace, by the meter.
//!
//! In: a [`Pace`] of a term and the time signature in force. Out: quarter notes a minute. All of it is common practice,
//! no source; the factors are chosen by us after metronome marks that composers and editors print beside such terms.

use crate::score::TimeMark;
use crate::terms::Pace;

/// Paces from here on are fast: the beat is the large one of the meter.
const FAST: f64 = 90.0;

/// Quarter notes a minute that a pace means in a meter.
pub(super) fn quarter_bpm(pace: Pace, time: Option<&TimeMark>) -> f64 {
    let beats = pace.beats_per_minute;
    let fast = beats >= FAST;
    let (count, kind) = time.map_or((4, 4), |time| (time.beats, time.beat_type));
    match kind {
        // Alla breve: a slow piece is counted in quarters all the same; a fast one in halves that go less fast than
        // quarters under the same term.
        1 | 2 if !fast => beats,
        1 | 2 => beats * 2.0 * 0.65,
        // Compound meters: the dotted quarter is the beat, at three quarters of the pace; slow pieces are counted in
        // eighths, about half as fast again as quarters under the same term.
        8 if count % 3 == 0 && count > 3 => {
            if fast {
                beats * 0.75 * 1.5
            } else {
                beats * 0.5 * 1.5
            }
        }
        // 3/8 and other short bars: eighths, half as fast again as quarters when fast.
        8 => {
            if fast {
                beats * 1.4 * 0.5
            } else {
                beats * 1.1 * 0.5
            }
        }
        16.. => {
            if fast {
                beats * 0.75 * 0.75
            } else {
                beats * 0.5 * 0.75
            }
        }
        // 6/4 and 9/4 are compound too: their halves with a dot are the beat.
        4 if fast && count % 3 == 0 && count > 3 => beats * 0.5 * 3.0,
        _ => beats,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::read_pace;
    use crate::units::Quarters;

    fn quarters(words: &str, beats: u16, beat_type: u16) -> f64 {
        let time = TimeMark { onset: Quarters::ZERO, measure: 0, text: String::new(), beats, beat_type };
        quarter_bpm(read_pace(words).unwrap(), Some(&time))
    }

    #[test]
    fn a_slow_alla_breve_is_not_doubled_and_a_fast_one_is_faster_than_common_time() {
        assert!((quarters("Adagio sostenuto", 2, 2) - quarters("Adagio sostenuto", 4, 4)).abs() < 1.0);
        assert!(quarters("Allegro", 2, 2) > quarters("Allegro", 4, 4));
        assert!(quarters("Allegro", 2, 2) < 2.0 * quarters("Allegro", 4, 4));
    }

    #[test]
    fn compound_beats_are_dotted() {
        // Dotted quarters between 90 and 110 for an allegro, eighths between 100 and 140 for an andante.
        assert!((90.0..110.0).contains(&(quarters("Allegro", 6, 8) / 1.5)));
        assert!((100.0..140.0).contains(&(quarters("Andante", 6, 8) * 2.0)));
    }

    #[test]
    fn a_bar_of_three_eighths_is_slower_in_quarters() {
        assert!(quarters("Allegretto", 3, 8) < quarters("Allegretto", 3, 4));
    }
}

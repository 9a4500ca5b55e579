//! Speeds as a metronome gives them.
//!
//! In: notes a second. Out: a [`Mark`]: so many notes to a beat at so many beats a minute, such that the drill goes as
//! fast as the run of the piece.

use std::fmt;

use serde::Serialize;

/// Notes a second, in thousandths.
type Milli = i64;

/// Marks of a metronome from 40 to 208, as on the scale of Maelzel's (1815) and every mechanical one since (from
/// memory): by twos to 60, threes to 72, fours to 120, sixes to 144 and eights to 208.
const SCALE: [u16; 39] = [
    40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120,
    126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208,
];

/// A metronome mark for a drill.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
pub struct Mark {
    /// Notes to the beat.
    pub notes_a_beat: u8,
    /// Beats (quarter notes) a minute.
    pub quarter_bpm: u16,
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.notes_a_beat {
            1 => write!(f, "one note to the beat at quarter = {}", self.quarter_bpm),
            notes => write!(
                f,
                "{} notes to the beat at quarter = {}",
                ["two", "four"][usize::from(notes == 4)],
                self.quarter_bpm
            ),
        }
    }
}

/// Notes to the beat at which the beat is not slower than the metronome goes: four, else two, else one.
fn notes_a_beat(rate: Milli) -> u8 {
    let slowest = Milli::from(SCALE[0]);
    [4, 2].into_iter().find(|notes| rate * 60 / 1000 >= slowest * i64::from(*notes)).unwrap_or(1)
}

/// The mark that equals a speed in thousandths of a note a second, to the nearest beat a minute.
pub fn mark_for(rate: Milli) -> Mark {
    let rate = rate.clamp(1, 100_000);
    let notes = notes_a_beat(rate);
    let bpm = (rate * 60 + i64::from(notes) * 500) / (i64::from(notes) * 1000);
    Mark { notes_a_beat: notes, quarter_bpm: u16::try_from(bpm.max(1)).unwrap_or(u16::MAX) }
}

/// The mark on a mechanical metronome at or next below a speed, for steps on the way.
pub(crate) fn step_for(rate: Milli) -> Mark {
    let exact = mark_for(rate);
    let beats = |mark: u16| i64::from(mark) * i64::from(exact.notes_a_beat) * 1000;
    let below = SCALE.iter().rev().find(|mark| beats(**mark) <= rate.saturating_mul(60)).copied();
    Mark { quarter_bpm: below.unwrap_or(exact.quarter_bpm), ..exact }
}

/// Notes a second of a mark, in thousandths.
#[cfg(test)]
pub(crate) fn rate_of(mark: Mark) -> Milli {
    i64::from(mark.quarter_bpm) * i64::from(mark.notes_a_beat) * 1000 / 60
}

#[cfg(test)]
mod tests {
    use super::*;

    // Sixteenths at 132 to the quarter are 8.8 notes a second: the drill at 132 in fours equals them. Eighths at 132 are
    // 4.4: in fours at 66. Sextuplets at 80 are 8: in fours at 120.
    #[test]
    fn the_mark_of_a_run_plays_it_at_the_same_speed() {
        for (rate, notes_a_beat, quarter_bpm) in
            [(8_800, 4, 132), (4_400, 4, 66), (8_000, 4, 120), (2_000, 2, 60), (700, 1, 42), (20_000, 4, 300)]
        {
            assert_eq!(mark_for(rate), Mark { notes_a_beat, quarter_bpm }, "{rate}");
        }
    }

    #[test]
    fn steps_stop_at_the_marks_of_a_metronome_and_never_go_faster() {
        assert_eq!(step_for(8_900), Mark { notes_a_beat: 4, quarter_bpm: 132 });
        assert_eq!(step_for(20_000), Mark { notes_a_beat: 4, quarter_bpm: 208 });
        for rate in (300..25_000).step_by(37) {
            let step = step_for(rate);
            assert!(rate_of(step) <= rate.max(667), "{rate}: {step}");
        }
        assert!(SCALE.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn no_speed_breaks_the_metronome() {
        for rate in [i64::MIN, -1, 0, 1, i64::MAX] {
            assert!(mark_for(rate).quarter_bpm >= 1);
            assert!(step_for(rate).quarter_bpm >= 1);
        }
    }
}

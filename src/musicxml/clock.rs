//! Where in its measure a part is while it is read.
//!
//! In: durations, backups and forwards as the file counts them, and for some notes a truer length. Out: exact positions
//! in quarters from the start of the measure.
//!
//! Files round the durations of tuplets to whole ticks, so the sum of three of them may miss the beat. The notated type
//! tells the true length; the clock runs on true lengths and remembers by how much they drift from the counted ones, so
//! that a backup, which counts ticks, lands on the beat it means. A backup may go far before the barline and come back:
//! the position is kept as it is, and only the onsets of notes are held inside the measure.

use crate::units::Quarters;

/// The position of one part in one measure.
#[derive(Clone, Debug, Default)]
pub(super) struct Clock {
    /// As the file counts.
    counted: Quarters,
    /// True position minus counted position.
    drift: Quarters,
    /// Counted positions that drifted, with their drift, in the order met.
    drifted: Vec<(Quarters, Quarters)>,
    /// Onset and length of the last note or rest, which the other notes of a chord share.
    last: Option<(Quarters, Quarters)>,
}

/// Drifted positions that are remembered in one measure; the latest matter. Chosen by us, to keep the search short.
const MOST_DRIFTED: usize = 64;

impl Clock {
    /// Back to the start of a measure.
    pub(super) fn reset(&mut self) {
        self.counted = Quarters::ZERO;
        self.drift = Quarters::ZERO;
        self.drifted.clear();
        self.last = None;
    }

    /// The true position, which may lie before the measure.
    pub(super) fn now(&self) -> Quarters {
        if self.drift.is_zero() { self.counted } else { self.counted + self.drift }
    }

    /// The onset that the notes of the current chord share.
    pub(super) fn chord_onset(&self) -> Quarters {
        self.last.map_or_else(|| self.now(), |(onset, _)| onset)
    }

    /// The length of the first note of the current chord.
    pub(super) fn chord_length(&self) -> Option<Quarters> {
        self.last.map(|(_, length)| length)
    }

    /// A note or rest that the file counts as `counted` and that truly lasts `length`.
    pub(super) fn play(&mut self, counted: Quarters, length: Quarters) {
        self.last = Some((self.now(), length));
        self.counted = self.counted + counted;
        if counted != length {
            self.drift = self.drift + (length - counted);
        }
        if !self.drift.is_zero() && self.drifted.len() < MOST_DRIFTED {
            self.drifted.push((self.counted, self.drift));
        }
    }

    /// A grace note, which takes no time.
    pub(super) fn grace(&mut self) {
        self.last = Some((self.now(), Quarters::ZERO));
    }

    /// Moves by `<forward>` (positive) or `<backup>` (negative); `tick` is the unit that the file counts in.
    pub(super) fn jump(&mut self, by: Quarters, tick: Quarters) {
        self.last = None;
        self.counted = self.counted + by;
        if self.drift.is_zero() && self.drifted.is_empty() {
            return;
        }
        // Some programs make up for rounded tuplets with a jump of a tick or two; the true position needs none.
        let makes_up = if by > Quarters::ZERO {
            self.drift > Quarters::ZERO && by < self.drift + tick
        } else {
            self.drift < Quarters::ZERO && -by < tick - self.drift
        };
        if makes_up {
            self.drift = self.drift - by;
            return;
        }
        if let Some((_, drift)) = self.drifted.iter().rev().find(|(counted, _)| *counted == self.counted) {
            self.drift = *drift;
        } else if self.counted.denom() <= (self.counted + self.drift).denom() {
            // Of the two places that can be meant, with the drift and without, the simpler fraction is on a beat.
            self.drift = Quarters::ZERO;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(numer: i64, denom: i64) -> Quarters {
        Quarters::new(numer, denom).unwrap()
    }

    #[test]
    fn rounded_triplets_come_out_exact_and_the_backup_finds_the_barline() {
        let mut clock = Clock::default();
        // Divisions of 8: a triplet eighth is 2 2/3 ticks, cut to 2.
        for _ in 0..3 {
            clock.play(q(2, 8), q(1, 3));
        }
        assert_eq!(clock.now(), q(1, 1));
        clock.jump(-q(6, 8), q(1, 8));
        assert_eq!(clock.now(), Quarters::ZERO);
        clock.jump(q(6, 8), q(1, 8));
        assert_eq!(clock.now(), q(1, 1));
        // A program that rounds notes but not backups.
        clock.jump(-q(1, 1), q(1, 8));
        assert_eq!(clock.now(), Quarters::ZERO);
    }

    #[test]
    fn a_jump_that_makes_up_for_rounding_moves_nothing() {
        let mut clock = Clock::default();
        // Divisions of 480: nine 32nds in the time of eight last 53 1/3 ticks each.
        for _ in 0..3 {
            clock.play(q(53, 480), q(1, 9));
            clock.play(q(53, 480), q(1, 9));
            clock.jump(q(1, 480), q(1, 480));
            clock.play(q(53, 480), q(1, 9));
        }
        assert_eq!(clock.now(), q(1, 1));
        // Seven 16ths in the time of six last 68 4/7 ticks each and are counted as 69.
        for _ in 0..7 {
            clock.play(q(69, 480), q(1, 7));
        }
        clock.jump(-q(3, 480), q(1, 480));
        assert_eq!(clock.now(), q(2, 1));
    }

    #[test]
    fn a_far_backup_comes_back() {
        let mut clock = Clock::default();
        clock.play(q(1, 1), q(1, 1));
        clock.jump(-q(667, 1), q(1, 8));
        assert_eq!(clock.now(), q(-666, 1));
        clock.jump(q(667, 1), q(1, 8));
        assert_eq!(clock.now(), q(1, 1));
    }

    #[test]
    fn chord_notes_share_the_onset_of_the_note_before() {
        let mut clock = Clock::default();
        clock.play(q(2, 1), q(2, 1));
        assert_eq!(clock.chord_onset(), Quarters::ZERO);
        clock.jump(-q(1, 1), q(1, 8));
        assert_eq!(clock.chord_onset(), q(1, 1), "after a backup there is no chord to join");
    }
}

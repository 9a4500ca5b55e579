//! Which clef, and where an octave sign, so that a run stays near its staff.
//!
//! In: the notes of a staff, beat by beat. Out: a [`Staff`] for each beat: the cheapest way through, counting ledger lines
//! and every change.

use crate::units::Hand;

/// How pitches are shown on a staff.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Staff {
    /// Treble clef.
    Treble,
    /// Bass clef.
    Bass,
    /// Treble clef under an octave sign: sounds an octave higher than it looks.
    TrebleOctaveUp,
    /// Bass clef over an octave sign: sounds an octave lower than it looks.
    BassOctaveDown,
}

impl Staff {
    const ALL: [Self; 4] = [Self::Treble, Self::Bass, Self::TrebleOctaveUp, Self::BassOctaveDown];

    /// Sign and line of the clef.
    pub fn clef(self) -> (&'static str, &'static str) {
        match self {
            Self::Treble | Self::TrebleOctaveUp => ("G", "2"),
            Self::Bass | Self::BassOctaveDown => ("F", "4"),
        }
    }

    /// Octaves between what is seen and what sounds.
    pub fn octave(self) -> i32 {
        match self {
            Self::Treble | Self::Bass => 0,
            Self::TrebleOctaveUp => 1,
            Self::BassOctaveDown => -1,
        }
    }

    /// Ledger lines of a note at a staff position (steps from C0).
    fn ledger_lines(self, position: i32) -> i32 {
        let (lowest, highest) = match self.clef().0 {
            // E4 to F5, and G2 to A3: the outer lines of the staff.
            "G" => (30, 38),
            _ => (18, 26),
        };
        let seen = position - 7 * self.octave();
        ((lowest - seen).max(seen - highest) / 2).max(0)
    }
}

/// Price of a change of clef or octave sign, in squared ledger lines.
/// Chosen by us: three notes on the third ledger line are worth one.
const CHANGE: i32 = 27;

/// Price of each beat under an octave sign: it is read with a second thought.
/// Chosen by us: two notes on the third ledger line are read as easily.
const OCTAVE_SIGN: i32 = 18;

/// Price of each beat in the other hand's clef.
/// Chosen by us: two notes on the second ledger line stay in the hand's own clef.
const FOREIGN: i32 = 8;

/// The cheapest staff for each beat; `beats` holds the staff positions (steps from C0) of the notes in each. Of equals the
/// first in [`Staff::ALL`] is taken.
pub fn choose(hand: Hand, beats: &[Vec<i32>]) -> Vec<Staff> {
    let own = if hand == Hand::Right { Staff::Treble } else { Staff::Bass };
    let cost = |staff: Staff, notes: &[i32]| -> i32 {
        if notes.is_empty() {
            return 0;
        }
        let ledgers: i32 = notes.iter().map(|position| staff.ledger_lines(*position).pow(2)).sum();
        let octave_sign = if staff.octave() == 0 { 0 } else { OCTAVE_SIGN };
        let foreign = if staff.clef() == own.clef() { 0 } else { FOREIGN };
        ledgers + octave_sign + foreign
    };
    let mut best: [i32; 4] = Staff::ALL.map(|staff| if staff == own { 0 } else { CHANGE / 2 });
    let mut came_from: Vec<[usize; 4]> = Vec::new();
    for (index, notes) in beats.iter().enumerate() {
        let mut from = [0; 4];
        let mut next = [0; 4];
        for (to, staff) in Staff::ALL.into_iter().enumerate() {
            let change = |before: usize| if before == to || index == 0 { 0 } else { CHANGE };
            // At the start every staff comes from itself.
            let candidates = (0..4).filter(|before| index > 0 || *before == to);
            let before = candidates.min_by_key(|before| best[*before] + change(*before)).unwrap_or(to);
            from[to] = before;
            next[to] = best[before] + change(before) + cost(staff, notes);
        }
        best = next;
        came_from.push(from);
    }
    let mut at = (0..4).min_by_key(|staff| best[*staff]).unwrap_or(0);
    let mut chosen: Vec<Staff> = Vec::new();
    for from in came_from.iter().rev() {
        chosen.push(Staff::ALL[at]);
        at = from[at];
    }
    chosen.reverse();
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hand_keeps_its_own_clef_in_the_middle_of_the_keyboard() {
        // C4 to C6, and C3 to C5.
        let right: Vec<Vec<i32>> = (28..42).map(|position| vec![position]).collect();
        assert!(choose(Hand::Right, &right).iter().all(|staff| *staff == Staff::Treble));
        let left: Vec<Vec<i32>> = (21..35).map(|position| vec![position]).collect();
        assert!(choose(Hand::Left, &left).iter().all(|staff| *staff == Staff::Bass));
    }

    #[test]
    fn a_note_held_over_a_beat_costs_nothing_there() {
        let down = [vec![41, 38, 36], vec![34, 31, 29], vec![27, 24, 22], vec![20], Vec::new()];
        let chosen = choose(Hand::Right, &down);
        assert_eq!(chosen, [Staff::Treble, Staff::Treble, Staff::Bass, Staff::Bass, Staff::Bass]);
    }

    #[test]
    fn a_long_run_changes_once_each_way_and_takes_an_octave_sign_at_the_top() {
        // C3 to C7, four notes a beat.
        let run: Vec<i32> = (21..50).collect();
        let chosen = choose(Hand::Right, &run.chunks(4).map(<[i32]>::to_vec).collect::<Vec<_>>());
        assert_eq!(chosen.first(), Some(&Staff::Bass));
        assert_eq!(chosen.last(), Some(&Staff::TrebleOctaveUp));
        assert_eq!(chosen.windows(2).filter(|pair| pair[0] != pair[1]).count(), 2);
    }
}

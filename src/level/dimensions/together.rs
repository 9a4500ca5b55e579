//! The two hands together.
//!
//! # What it finds
//! Strokes that one hand places without the other, rhythms that do not divide alike, crossings that fall at different
//! times in the two hands, and hands that lie over or within one another.
//!
//! # Why it matters
//! Hands that move in step are one task, hands that do not are two; two against three is a step of its own, and hands
//! that interlock are in each other's way (common practice, no source; synchrony of the hands is a feature of
//! Sébastien, Ralambondrainy, Sébastien and Conruyt 2012, ISMIR).
//!
//! # How it is measured
//! Onsets at which one hand strikes alone, while both are at work; an onset in a beat that both hands divide, and that is
//! divided in two ways (twos and threes), counts [`CROSS_RHYTHM`] more, and an onset at which one hand crosses and the
//! other, at work too, does not, [`CROSSING_APART`] more. Onsets at which the left hand lies at or above
//! the right, or a semitone below. A second.

use super::rhythm::{Beats, Division};
use crate::level::demand::Demand;
use crate::level::strokes::{Piece, SAME, Stroke};
use crate::level::table::Table;
use crate::movements::MovementKind;
use crate::units::Hand;

/// Onsets that one onset of a cross rhythm counts for besides itself. Chosen by us: twice as much to place.
const CROSS_RHYTHM: f64 = 1.0;

/// Onsets that a crossing of one hand alone counts for. Chosen by us: as much as a stroke of one hand alone. Scales whose
/// thumbs pass together are practised hands together first (common practice, no source).
const CROSSING_APART: f64 = 1.0;

/// Seconds after its last stroke that a hand is still at work. Chosen by us: a beat of slow music.
const AT_WORK: f64 = 1.0;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    let beats = Beats::of(piece.score);
    let mut last: [Option<&Stroke>; 2] = [None, None];
    // Row and beat that each hand is in, and how it has divided it so far.
    let mut divided = [(usize::MAX, -1.0, Division::NONE); 2];
    let crossings = Hand::BOTH.map(|hand| crossings(piece, hand));
    let mut passed = [0, 0];
    joint(piece, |at, struck| {
        let Some(here) = struck[0].or(struck[1]) else { return };
        let place = beats.place(here.row, at);
        let crosses = [0, 1].map(|hand: usize| {
            let ahead = &crossings[hand][passed[hand]..];
            passed[hand] += ahead.partition_point(|onset| *onset < at - SAME);
            crossings[hand].get(passed[hand]).is_some_and(|onset| *onset <= at + SAME)
        });
        for hand in 0..2 {
            if struck[hand].is_some() {
                last[hand] = struck[hand];
                if (divided[hand].0, divided[hand].1) != (here.row, place.beat) {
                    divided[hand] = (here.row, place.beat, Division::NONE);
                }
                divided[hand].2 = divided[hand].2.and(place.division);
            }
        }
        let [Some(right), Some(left)] = last else { return };
        if here.seconds - right.seconds.min(left.seconds) <= AT_WORK {
            let [a, b] = divided;
            let same_beat = (a.0, a.1) == (b.0, b.1) && !a.2.is_none() && !b.2.is_none();
            let cross = same_beat && a.2.and(b.2).clashes();
            let alone = struck.iter().flatten().count() == 1;
            let apart = crosses[0] != crosses[1];
            let strokes = [(alone, 1.0), (cross, CROSS_RHYTHM), (apart, CROSSING_APART)];
            let strokes = strokes.iter().filter(|(is_so, _)| *is_so).map(|(_, strokes)| strokes).sum();
            table.add(here.row, Hand::Right, Demand::Independence, strokes);
        }
        let both_down = right.down_until > at + SAME && left.down_until > at + SAME;
        if both_down && left.highest_down + 1 >= right.lowest_down {
            table.add(here.row, Hand::Right, Demand::Interlock, 1.0);
        }
    });
}

/// Where one hand crosses, in quarters from the start of the score, in order.
fn crossings(piece: &Piece<'_>, hand: Hand) -> Vec<f64> {
    let crossings = piece.movements[hand as usize].iter().filter(|m| matches!(m.kind, MovementKind::Crossing(_)));
    crossings.filter_map(|m| piece.score.notes.get(m.to)).map(|note| note.onset.to_f64()).collect()
}

/// Visits every onset of either hand in order, with what the right and the left strike there.
pub(super) fn joint<'p>(piece: &'p Piece<'_>, mut visit: impl FnMut(f64, [Option<&'p Stroke>; 2])) {
    let hands = Hand::BOTH.map(|hand| piece.strokes(hand));
    let mut next = [0, 0];
    loop {
        let upcoming = [0, 1].map(|hand: usize| hands[hand].get(next[hand]));
        let Some(at) = upcoming.iter().flatten().map(|s| s.quarter).reduce(f64::min) else { return };
        let struck = upcoming.map(|stroke| stroke.filter(|s| s.quarter <= at + SAME));
        for hand in 0..2 {
            next[hand] += usize::from(struck[hand].is_some());
        }
        visit(at, struck);
    }
}

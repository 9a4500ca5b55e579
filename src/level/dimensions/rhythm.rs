//! Rhythm: syncopation, uneven metre.
//!
//! # What it finds
//! What is struck off the beat and held across it, and metres whose beats differ.
//!
//! # Why it matters
//! Rhythmic patterns are a feature of Chiu and Chen (2012, ISM); simple rhythms in both hands mark the early levels,
//! syncopation and tuplets the middle ones (Scanlan 1988, from memory).
//!
//! # How it is measured
//! An onset off the beat whose note is held across the next beat counts as a syncopation. Onsets in five, seven, eight
//! eighths or an additive signature count as uneven, and a change of signature as [`CHANGE`] of them. A second. (How
//! finely the beat is divided was a demand once; it goes with the speed.)

use super::together::joint;
use crate::level::demand::Demand;
use crate::level::strokes::{Piece, SAME};
use crate::level::table::Table;
use crate::score::{Score, TimeMark};
use crate::units::Hand;

/// Uneven onsets that a change of time signature counts for. Chosen by us: a measure of quarters has to be rethought.
const CHANGE: f64 = 1.0;

/// Distance from a place in the beat that still is that place, in beats. Chosen by us: rounded tuplets of real files.
const NEAR: f64 = 0.01;

/// Into how many parts onsets divide a beat.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Division(u8);

impl Division {
    pub(super) const NONE: Self = Self(0);
    const TWOS: Self = Self(1);
    const THREES: Self = Self(2);
    const OTHER: Self = Self(4);

    pub(super) fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    pub(super) fn is_none(self) -> bool {
        self.0 == 0
    }

    /// True when the beat is divided in more than one way.
    pub(super) fn clashes(self) -> bool {
        self.0.count_ones() > 1
    }
}

/// A place in its measure.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    /// Number of the beat, from 0.
    pub beat: f64,
    /// How an onset here divides the beat.
    pub division: Division,
    /// Where the next beat begins, in quarters from the start of the score.
    next_beat: f64,
}

/// The beats of every measure.
pub(super) struct Beats {
    /// Start of the measure and length of its beat in quarters; whether its beats differ; whether the signature changes.
    rows: Vec<(f64, f64, bool, bool)>,
}

impl Beats {
    pub(super) fn of(score: &Score) -> Self {
        let mut marks = score.times.iter().peekable();
        let mut current: Option<&TimeMark> = None;
        let mut rows = Vec::with_capacity(score.measures.len());
        for (row, measure) in score.measures.iter().enumerate() {
            let mut changes = false;
            while let Some(mark) = marks.next_if(|mark| mark.onset <= measure.onset) {
                changes |= row > 0 && current.is_some_and(|before| before.text != mark.text);
                current = Some(mark);
            }
            let (beat, uneven) = beat(current);
            rows.push((measure.onset.to_f64(), beat, uneven, changes));
        }
        Self { rows }
    }

    pub(super) fn place(&self, row: usize, quarter: f64) -> Place {
        let (start, length, ..) = self.rows.get(row).copied().unwrap_or((0.0, 1.0, false, false));
        let at = (quarter - start) / length;
        let beat = (at + SAME).floor();
        let within = at - beat;
        let on = |parts: f64| ((within * parts) - (within * parts).round()).abs() < NEAR;
        let division = if within < NEAR {
            Division::NONE
        } else if on(8.0) {
            Division::TWOS
        } else if on(6.0) {
            Division::THREES
        } else {
            Division::OTHER
        };
        Place { beat, division, next_beat: start + (beat + 1.0) * length }
    }
}

/// Length of a beat in quarters, and whether the beats of the measure differ.
fn beat(mark: Option<&TimeMark>) -> (f64, bool) {
    let Some(mark) = mark.filter(|mark| mark.beats > 0 && mark.beat_type > 0) else { return (1.0, false) };
    let unit = (4.0 / f64::from(mark.beat_type)).min(1.0);
    let additive = mark.text.contains('+');
    let eighths = mark.beat_type >= 8;
    let uneven = additive || matches!(mark.beats, 5 | 7 | 10 | 11 | 13) || (mark.beats == 8 && eighths);
    let units = match mark.beats {
        _ if additive || !eighths => 1.0,
        beats if beats % 3 == 0 => 3.0,
        beats if beats % 2 == 0 => 2.0,
        _ => 1.0,
    };
    (unit * units, uneven)
}

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    let beats = Beats::of(piece.score);
    for (row, (_, _, _, changes)) in beats.rows.iter().enumerate() {
        if *changes {
            table.add(row, Hand::Right, Demand::Metre, CHANGE);
        }
    }
    joint(piece, |at, struck| {
        let Some(here) = struck[0].or(struck[1]) else { return };
        let place = beats.place(here.row, at);
        let end = struck.iter().flatten().fold(at, |end, stroke| end.max(stroke.end));
        if !place.division.is_none() && end > place.next_beat + NEAR {
            table.add(here.row, Hand::Right, Demand::Syncopation, 1.0);
        }
        if beats.rows.get(here.row).is_some_and(|row| row.2) {
            table.add(here.row, Hand::Right, Demand::Metre, 1.0);
        }
    });
}

//! One staff of an exercise, laid out: clefs, accidentals, beams.
//!
//! In: an [`Exercise`] and a hand. Out: its notes, each with what is printed with it.

use super::clefs::{self, Staff};
use super::layout::{Accidental, accidentals, beams, beat};
use super::model::{Exercise, Tone};
use crate::units::{Hand, Step};

/// The notes of one staff of an exercise, laid out.
pub struct StaffLayout<'a> {
    /// Whose staff.
    pub hand: Hand,
    /// In playing order.
    pub notes: Vec<Placed<'a>>,
}

/// One note, and what is printed with it.
pub struct Placed<'a> {
    /// Ticks from the start of the exercise.
    pub at: u32,
    /// What is played.
    pub tone: &'a Tone,
    /// What is printed before it.
    pub accidental: Option<Accidental>,
    /// Values of `<beam>`, from the first beam.
    pub beams: Vec<&'static str>,
    /// Clef and octave sign it stands under.
    pub staff: Staff,
}

impl<'a> StaffLayout<'a> {
    /// Lays out one hand.
    pub fn new(exercise: &'a Exercise, hand: Hand) -> Self {
        let tones = exercise.tones(hand);
        let mut onsets = Vec::with_capacity(tones.len());
        let mut at = 0;
        for tone in tones {
            onsets.push(at);
            at += tone.value.ticks();
        }
        let beat = beat(tones, exercise.measure_ticks());
        let mut beats: Vec<Vec<i32>> = vec![Vec::new(); at.div_ceil(beat) as usize];
        for (at, tone) in onsets.iter().zip(tones) {
            if let Some(beat) = beats.get_mut((at / beat) as usize) {
                beat.push(tone.pitch.staff_position());
            }
        }
        let staves = clefs::choose(hand, &beats);
        let pitches: Vec<_> =
            onsets.iter().zip(tones).map(|(at, tone)| (at / exercise.measure_ticks(), tone.pitch)).collect();
        let altered = accidentals(&pitches, |step| signature(exercise.fifths, step));
        let beamed = beams(tones, exercise.measure_ticks());
        let notes = onsets.into_iter().zip(tones).zip(altered).zip(beamed).map(|(((at, tone), accidental), beams)| {
            let staff = staves.get((at / beat) as usize).copied().unwrap_or(Staff::Treble);
            Placed { at, tone, accidental, beams, staff }
        });
        Self { hand, notes: notes.collect() }
    }

    /// Number of the staff in the part.
    pub fn number(&self) -> &'static str {
        if self.hand == Hand::Right { "1" } else { "2" }
    }

    /// Voice of the part, as programs number the first voice of each staff.
    pub fn voice(&self) -> &'static str {
        if self.hand == Hand::Right { "1" } else { "5" }
    }

    /// 0 for the upper staff, 1 for the lower.
    pub fn index(&self) -> usize {
        usize::from(self.hand == Hand::Left)
    }

    /// The side of the staff away from the other one, where the fingers stand.
    pub fn outside(&self) -> &'static str {
        if self.hand == Hand::Right { "above" } else { "below" }
    }
}

/// What the signature does to a letter: the n-th sharp or flat is the n-th of F C G D A E B or of its reverse.
fn signature(fifths: i8, step: Step) -> i8 {
    use Step::{A, B, C, D, E, F, G};
    let sharps = [F, C, G, D, A, E, B];
    let place = sharps.iter().position(|other| *other == step).unwrap_or(0) as i8;
    if place < fifths {
        1
    } else if 6 - place < -fifths {
        -1
    } else {
        0
    }
}

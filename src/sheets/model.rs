//! A sheet as plain data: exercises of one or two hands, before anything is laid out.

use crate::crossing::CrossingKind;
use crate::score::Mode;
use crate::units::{Finger, Hand, Pitch};

/// Sixtieths of a quarter note: the least that holds sixteenths, triplets and quintuplets exactly.
pub const TICKS_PER_QUARTER: u32 = 60;

/// A note value without dots and tuplets.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum ValueKind {
    /// Sixteenth note.
    Sixteenth,
    /// Eighth note.
    Eighth,
    /// Quarter note.
    Quarter,
    /// Half note.
    Half,
    /// Whole note.
    Whole,
}

impl ValueKind {
    /// Name in MusicXML.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sixteenth => "16th",
            Self::Eighth => "eighth",
            Self::Quarter => "quarter",
            Self::Half => "half",
            Self::Whole => "whole",
        }
    }

    fn ticks(self) -> u32 {
        match self {
            Self::Sixteenth => 15,
            Self::Eighth => 30,
            Self::Quarter => 60,
            Self::Half => 120,
            Self::Whole => 240,
        }
    }
}

/// A note value as printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Value {
    /// Shape of the note.
    pub kind: ValueKind,
    /// With a dot.
    pub dotted: bool,
    /// So many in the time of so many: `(3, 2)` for a triplet, `(1, 1)` otherwise.
    pub tuplet: (u32, u32),
}

impl Value {
    /// Without dot or tuplet.
    pub const fn plain(kind: ValueKind) -> Self {
        Self { kind, dotted: false, tuplet: (1, 1) }
    }

    /// With a dot.
    pub const fn dotted(kind: ValueKind) -> Self {
        Self { kind, dotted: true, tuplet: (1, 1) }
    }

    /// Length in ticks of the sheet.
    pub fn ticks(self) -> u32 {
        let plain = self.kind.ticks();
        let dotted = if self.dotted { plain + plain / 2 } else { plain };
        dotted * self.tuplet.1 / self.tuplet.0.max(1)
    }
}

/// One note to play.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tone {
    /// Which key, spelled.
    pub pitch: Pitch,
    /// How long.
    pub value: Value,
    /// Which finger, if it is to be printed.
    pub finger: Option<Finger>,
    /// How the hand came here from the note before, if it crossed.
    pub crossing: Option<CrossingKind>,
    /// Played with an accent.
    pub accent: bool,
}

/// A change of loudness, between the staves.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Nuance {
    /// A dynamic mark of MusicXML: `p`, `f`.
    Mark(&'static str),
    /// A hairpin opens.
    Crescendo,
    /// A hairpin closes.
    Diminuendo,
    /// The hairpin ends.
    End,
}

/// One exercise: a few measures on systems of their own.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Exercise {
    /// Printed in bold above it.
    pub heading: String,
    /// Practice notes, one line each.
    pub notes: Vec<String>,
    /// Sharps or flats of the key signature.
    pub fifths: i8,
    /// Mode of the key, if it has one.
    pub mode: Option<Mode>,
    /// Quarter notes in a measure.
    pub beats: u32,
    /// Speed, in quarter notes a minute.
    pub quarter_bpm: Option<u32>,
    /// What the right hand plays; nothing: it rests.
    pub right: Vec<Tone>,
    /// What the left hand plays.
    pub left: Vec<Tone>,
    /// Changes of loudness, at ticks from its start, in order.
    pub nuances: Vec<(u32, Nuance)>,
    /// Measures to play again and again, between repeat signs: so many, then so many, ...; nothing: none is repeated.
    pub repeats: Vec<u32>,
    /// Begins a page.
    pub new_page: bool,
}

impl Exercise {
    /// The notes of a hand.
    pub fn tones(&self, hand: Hand) -> &[Tone] {
        match hand {
            Hand::Right => &self.right,
            Hand::Left => &self.left,
        }
    }

    /// Ticks in a measure.
    pub fn measure_ticks(&self) -> u32 {
        self.beats.max(1) * TICKS_PER_QUARTER
    }

    /// Whether a repeat begins and ends with a measure.
    pub fn repeats_at(&self, measure: u32) -> (bool, bool) {
        let mut start = 0;
        for length in &self.repeats {
            let next = start + length;
            if (start..next).contains(&measure) {
                return (measure == start, measure + 1 == next);
            }
            start = next;
        }
        (false, false)
    }

    /// Measures it takes; the last one may be short of notes, never of time.
    pub fn measures(&self) -> u32 {
        let length = |tones: &[Tone]| tones.iter().map(|tone| tone.value.ticks()).sum::<u32>();
        length(&self.right).max(length(&self.left)).div_ceil(self.measure_ticks())
    }
}

/// Exercises under one title.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Sheet {
    /// Title of the page.
    pub title: String,
    /// In the order to practise.
    pub exercises: Vec<Exercise>,
}

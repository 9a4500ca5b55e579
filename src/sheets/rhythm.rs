//! How a run is set in notes.
//!
//! In: keys with fingers, and a [`Rhythm`]. Out: [`Tone`]s, with the crossings among them.

use super::model::{TICKS_PER_QUARTER, Tone, Value, ValueKind};
use crate::crossing::Crossing;
use crate::units::{Finger, Hand, Pitch};

/// How a run is set.
pub enum Rhythm {
    /// The same value throughout.
    Even(Value),
    /// Dotted eighth, sixteenth.
    LongShort,
    /// Sixteenth, dotted eighth.
    ShortLong,
}

impl Rhythm {
    /// So many notes in a quarter.
    pub fn even(notes_per_quarter: u8) -> Self {
        let plain = Value::plain;
        Self::Even(match notes_per_quarter {
            0 | 1 => plain(ValueKind::Quarter),
            2 => plain(ValueKind::Eighth),
            3 => Value { tuplet: (3, 2), ..plain(ValueKind::Eighth) },
            4 => plain(ValueKind::Sixteenth),
            _ => Value { tuplet: (5, 4), ..plain(ValueKind::Sixteenth) },
        })
    }

    fn value(&self, index: usize) -> Value {
        let (dotted, short) = (Value::dotted(ValueKind::Eighth), Value::plain(ValueKind::Sixteenth));
        match (self, index % 2) {
            (Self::Even(value), _) => *value,
            (Self::LongShort, 0) | (Self::ShortLong, 1) => dotted,
            _ => short,
        }
    }
}

/// Sets a run in a rhythm; the last note is held to the barline, or for as long as one note can be, if that is sooner.
pub fn tones(hand: Hand, notes: &[(Pitch, Finger)], rhythm: &Rhythm) -> Vec<Tone> {
    let mut tones: Vec<Tone> = Vec::with_capacity(notes.len());
    let mut at = 0;
    for (index, (pitch, finger)) in notes.iter().enumerate() {
        let value = rhythm.value(index);
        let before = index.checked_sub(1).and_then(|before| notes.get(before));
        let crossing = before.and_then(|(before, with)| {
            let from = (before.midi()?, *with);
            Crossing::between(hand, from, (pitch.midi()?, *finger)).map(|crossing| crossing.kind)
        });
        tones.push(Tone { pitch: *pitch, value, finger: Some(*finger), crossing, accent: false });
        at += value.ticks();
    }
    if let Some(last) = tones.last_mut() {
        let start = at - last.value.ticks();
        last.value = match 4 - start / TICKS_PER_QUARTER % 4 {
            1 => Value::plain(ValueKind::Quarter),
            2 => Value::plain(ValueKind::Half),
            3 => Value::dotted(ValueKind::Half),
            _ => Value::plain(ValueKind::Whole),
        };
    }
    tones
}

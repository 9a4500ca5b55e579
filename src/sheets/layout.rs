//! Accidentals and beams.
//!
//! In: the notes of one staff of an exercise. Out: for each, where it stands, what is printed before it and how it is
//! beamed.

use std::collections::BTreeMap;

use super::model::{TICKS_PER_QUARTER, Tone, ValueKind};
use crate::units::{Pitch, Step};

/// An accidental to print before a note.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Accidental {
    /// Name in MusicXML.
    pub name: &'static str,
    /// Only a reminder: the measure or the octave before had another.
    pub reminder: bool,
}

/// Accidentals for the notes of a staff, in order; each with the measure it stands in.
///
/// As usual in print an accidental holds to the barline for its own line or space. A reminder is given on the same line or
/// space in the next measure, and in other octaves within the measure, where the note is another there.
pub fn accidentals(notes: &[(u32, Pitch)], signature: impl Fn(Step) -> i8) -> Vec<Option<Accidental>> {
    let mut in_measure: BTreeMap<(i8, Step), i8> = BTreeMap::new();
    let mut measure_before: BTreeMap<(i8, Step), i8> = BTreeMap::new();
    let mut in_any_octave: BTreeMap<Step, i8> = BTreeMap::new();
    let mut at = 0;
    let mut printed = Vec::with_capacity(notes.len());
    for (measure, pitch) in notes {
        if *measure != at {
            let skipped = *measure != at + 1;
            measure_before = std::mem::take(&mut in_measure);
            if skipped {
                measure_before.clear();
            }
            in_any_octave.clear();
            at = *measure;
        }
        let place = (pitch.octave, pitch.step);
        let holds = in_measure.get(&place).copied().unwrap_or_else(|| signature(pitch.step));
        let heard = in_any_octave.get(&pitch.step).or_else(|| measure_before.get(&place));
        let needed = pitch.alter != holds;
        let reminder = !needed && heard.is_some_and(|alter| *alter != pitch.alter);
        printed.push((needed || reminder).then(|| Accidental { name: accidental_name(pitch.alter), reminder }));
        in_measure.insert(place, pitch.alter);
        in_any_octave.insert(pitch.step, pitch.alter);
        // Reminded once.
        measure_before.remove(&place);
    }
    printed
}

fn accidental_name(alter: i8) -> &'static str {
    match alter {
        i8::MIN..=-2 => "flat-flat",
        -1 => "flat",
        0 => "natural",
        1 => "sharp",
        2..=i8::MAX => "double-sharp",
    }
}

/// Ticks that the notes of a staff are grouped by: half a measure of four quarters and whole shorter measures for plain
/// eighths and longer notes, a quarter where there are tuplets or sixteenths.
pub fn beat(tones: &[Tone], measure_ticks: u32) -> u32 {
    let plain = |tone: &Tone| tone.value.kind != ValueKind::Sixteenth && tone.value.tuplet == (1, 1);
    match measure_ticks {
        _ if !tones.iter().all(plain) => TICKS_PER_QUARTER,
        240 => 120,
        _ => measure_ticks.max(TICKS_PER_QUARTER),
    }
}

/// Values of `<beam>` for each note of a staff: one for eighths, two for sixteenths, none for a note on its own.
///
/// Beams do not reach beyond a [`beat`].
pub fn beams(tones: &[Tone], measure_ticks: u32) -> Vec<Vec<&'static str>> {
    let unit = beat(tones, measure_ticks);
    let mut at = 0;
    let mut places = Vec::with_capacity(tones.len());
    for tone in tones {
        places.push((at / unit, levels(tone)));
        at += tone.value.ticks();
    }
    // Whether the notes at two indices share a beam of this level.
    let joined = |level: usize, a: Option<usize>, b: Option<usize>| {
        let place = |index: Option<usize>| index.and_then(|index| places.get(index));
        place(a).zip(place(b)).is_some_and(|(a, b)| a.0 == b.0 && a.1 >= level && b.1 >= level)
    };
    let beam = |index: usize, level: usize| {
        let with_before = |level| joined(level, index.checked_sub(1), Some(index));
        let with_after = |level| joined(level, Some(index), Some(index + 1));
        match (with_before(level), with_after(level)) {
            (false, true) => Some("begin"),
            (true, true) => Some("continue"),
            (true, false) => Some("end"),
            (false, false) if level == 1 => None,
            (false, false) if with_before(1) => Some("backward hook"),
            (false, false) => with_after(1).then_some("forward hook"),
        }
    };
    (0..tones.len()).map(|index| (1..=places[index].1).filter_map(|level| beam(index, level)).collect()).collect()
}

fn levels(tone: &Tone) -> usize {
    match tone.value.kind {
        ValueKind::Sixteenth => 2,
        ValueKind::Eighth => 1,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scales::NoteName;
    use crate::sheets::model::Value;

    fn tones(values: &[Value]) -> Vec<Tone> {
        let pitch = NoteName { step: Step::C, alter: 0 }.on_key(60);
        let tone = |value: &Value| Tone { pitch, value: *value, finger: None, crossing: None, accent: false };
        values.iter().map(tone).collect()
    }

    fn pitch(octave: i8, step: Step, alter: i8) -> Pitch {
        Pitch { octave, step, alter }
    }

    #[test]
    fn eighths_are_beamed_by_the_half_measure_and_sixteenths_by_the_quarter() {
        let eighth = Value::plain(ValueKind::Eighth);
        let beamed = beams(&tones(&[eighth; 6]), 240);
        assert_eq!(beamed.concat(), ["begin", "continue", "continue", "end", "begin", "end"]);
        let dotted = [Value::dotted(ValueKind::Eighth), Value::plain(ValueKind::Sixteenth)];
        let beamed = beams(&tones(&[dotted[0], dotted[1], dotted[1], dotted[0]]), 240);
        assert_eq!(beamed, [vec!["begin"], vec!["end", "backward hook"], vec!["begin", "forward hook"], vec!["end"]]);
        let alone = beams(&tones(&[eighth, Value::plain(ValueKind::Quarter)]), 240);
        assert!(alone.iter().all(Vec::is_empty));
    }

    #[test]
    fn accidentals_hold_to_the_barline_on_their_own_line() {
        let names = |notes: &[(u32, Pitch)]| {
            let printed = accidentals(notes, |_| 0);
            printed.iter().map(|one| one.map(|one| (one.name, one.reminder))).collect::<Vec<_>>()
        };
        let sharp = pitch(4, Step::F, 1);
        assert_eq!(
            names(&[(0, sharp), (0, sharp), (1, sharp)]),
            [Some(("sharp", false)), None, Some(("sharp", false))]
        );
        let natural = pitch(4, Step::F, 0);
        assert_eq!(names(&[(0, sharp), (0, natural)])[1], Some(("natural", false)));
        assert_eq!(names(&[(0, sharp), (1, natural)])[1], Some(("natural", true)), "a reminder in the next measure");
        assert_eq!(names(&[(0, sharp), (2, natural)])[1], None, "forgotten after a measure");
        assert_eq!(names(&[(0, sharp), (0, pitch(5, Step::F, 0))])[1], Some(("natural", true)), "in another octave");
        assert_eq!(names(&[(0, sharp), (0, pitch(5, Step::F, 1))])[1], Some(("sharp", false)), "in another octave");
    }
}

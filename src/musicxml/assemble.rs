//! From the draft to the score: times aligned at every barline, notes in order, loose ends tied up.

use std::collections::BTreeMap;

use super::draft::{At, Draft, Shift};
use super::fingers::settle_digits;
use super::hand_words::mark_hand_words;
use super::ties::merge_ties;
use crate::error::Remarks;
use crate::score::{Measure, MeasureIndex, Note, NoteMarks, Score};
use crate::units::Quarters;

/// The finished score, with what was remarked on the way.
pub(super) fn assemble(draft: Draft<'_>) -> (Score, Remarks) {
    let Draft { mut score, mut heads, slurs, shifts, hand_words, mut remarks, .. } = draft;
    let mut onset = Quarters::ZERO;
    for measure in &mut score.measures {
        measure.onset = onset;
        onset = onset + measure.duration;
    }
    let measures = std::mem::take(&mut score.measures);
    let start = |measure: MeasureIndex| measures.get(measure).map_or(Quarters::ZERO, |m| m.onset);
    for head in &mut heads {
        head.note.onset = start(head.note.measure) + head.note.onset;
    }
    place_marks(&mut score, &measures);
    heads.sort_by(|a, b| order(&a.note, &b.note));
    merge_ties(&mut heads, &measures, &mut remarks);
    score.notes = heads.into_iter().map(|head| head.note).collect();

    settle_digits(&mut score.notes, &score.clefs);

    let absolute = |at: At| start(at.measure) + at.offset;
    let spans = slurs.iter().map(|slur| {
        let voice = (slur.part, slur.voice);
        (voice, absolute(slur.start), absolute(slur.stop))
    });
    mark_legato(&mut score.notes, spans.collect());
    print_octave_shifts(&mut score.notes, &shifts, absolute);
    mark_hand_words(&mut score.notes, &hand_words, absolute);
    score.measures = measures;
    (score, remarks)
}

/// Playing order: by onset, grace notes before their main note, low to high.
fn order(a: &Note, b: &Note) -> std::cmp::Ordering {
    let place = |note: &Note| if note.grace == 0 { u16::MAX } else { note.grace };
    a.onset
        .cmp(&b.onset)
        .then_with(|| place(a).cmp(&place(b)))
        .then_with(|| (a.midi, a.part, a.staff, a.voice).cmp(&(b.midi, b.part, b.staff, b.voice)))
}

/// Gives every mark its time from the start of the score, and sorts each kind by it.
fn place_marks(score: &mut Score, measures: &[Measure]) {
    let place = |onset: &mut Quarters, measure: MeasureIndex| {
        *onset = measures.get(measure).map_or(Quarters::ZERO, |m| m.onset) + *onset;
    };
    for mark in &mut score.keys {
        place(&mut mark.onset, mark.measure);
    }
    for mark in &mut score.times {
        place(&mut mark.onset, mark.measure);
    }
    for mark in &mut score.clefs {
        place(&mut mark.onset, mark.measure);
    }
    for mark in &mut score.tempos {
        place(&mut mark.onset, mark.measure);
    }
    for mark in &mut score.directions {
        place(&mut mark.onset, mark.measure);
    }
    score.keys.sort_by_key(|mark| mark.onset);
    score.times.sort_by_key(|mark| mark.onset);
    score.clefs.sort_by_key(|mark| mark.onset);
    score.tempos.sort_by_key(|mark| mark.onset);
    score.directions.sort_by_key(|mark| mark.onset);
    // Every part prints the time signature again.
    score
        .times
        .dedup_by(|b, a| a.onset == b.onset && (&a.text, a.beats, a.beat_type) == (&b.text, b.beats, b.beat_type));
    score.tempos.dedup_by(|b, a| {
        a.onset == b.onset && a.origin == b.origin && a.quarter_bpm == b.quarter_bpm && a.text == b.text
    });
}

type Voice = (u16, u16);

/// Marks the notes of a voice that lie under a slur, but for its last one.
fn mark_legato(notes: &mut [Note], mut spans: Vec<(Voice, Quarters, Quarters)>) {
    if spans.is_empty() {
        return;
    }
    spans.sort_unstable();
    // Overlapping slurs of a voice become one stretch, so that one walk over the notes is enough.
    let mut joined: Vec<(Voice, Quarters, Quarters)> = Vec::with_capacity(spans.len());
    for (voice, start, stop) in spans {
        match joined.last_mut() {
            Some((last_voice, _, last_stop)) if *last_voice == voice && start < *last_stop => {
                *last_stop = stop.max(*last_stop);
            }
            _ => joined.push((voice, start, stop)),
        }
    }
    // For each voice its first stretch that is not over yet.
    let mut voices: Vec<(Voice, usize)> = Vec::new();
    for (index, (voice, ..)) in joined.iter().enumerate() {
        if voices.last().is_none_or(|(last, _)| last != voice) {
            voices.push((*voice, index));
        }
    }
    for note in notes {
        let voice = (note.part, note.voice);
        let Ok(place) = voices.binary_search_by_key(&voice, |(voice, _)| *voice) else { continue };
        let next = &mut voices[place].1;
        while joined.get(*next).is_some_and(|(of, _, stop)| *of == voice && *stop <= note.onset) {
            *next += 1;
        }
        if joined.get(*next).is_some_and(|(of, start, _)| *of == voice && *start <= note.onset) {
            note.marks |= NoteMarks::LEGATO;
        }
    }
}

/// Notes under an octave line are printed that much away from where they sound.
fn print_octave_shifts(notes: &mut [Note], shifts: &[Shift], absolute: impl Fn(At) -> Quarters) {
    if shifts.is_empty() {
        return;
    }
    let mut changes: Vec<(Quarters, usize)> =
        shifts.iter().enumerate().map(|(index, shift)| (absolute(shift.at), index)).collect();
    changes.sort_unstable();
    let mut in_force: BTreeMap<(u16, u8), i16> = BTreeMap::new();
    let mut next = 0;
    for note in notes {
        while let Some((_, index)) = changes.get(next).filter(|(onset, _)| *onset <= note.onset) {
            let shift = &shifts[*index];
            let staff = (shift.part, shift.staff);
            in_force.insert(staff, i16::from(shift.octaves));
            next += 1;
        }
        if let Some(octaves) = in_force.get(&(note.part, note.staff)) {
            note.staff_position -= 7 * octaves;
        }
    }
}

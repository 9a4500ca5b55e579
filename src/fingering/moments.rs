//! The line as the hand meets it: which keys go down, which are still down, and how free the hand is to move.
//!
//! In: a line and its tempo. Out: one [`Moment`] for each slice.

use super::keyboard::Key;
use crate::hands::Line;
use crate::score::{NoteMarks, Score};
use crate::tempo::Tempo;
use crate::units::Hand;

/// A hand has five fingers, so no more than five keys are looked at.
pub const MOST: usize = 5;

/// A key that is down.
#[derive(Clone, Copy, Debug)]
pub struct Active {
    /// Which key.
    pub key: Key,
    /// Index into [`Line::notes`].
    pub note: u32,
    /// Where it stood among the active keys of the moment before, if it is held from there.
    pub held: Option<u8>,
}

/// One slice as the hand meets it.
#[derive(Clone, Debug, Default)]
pub struct Moment {
    /// Keys that are down, from the thumb's side outward.
    pub active: Vec<Active>,
    /// Milliseconds since the moment before.
    pub since: i32,
    /// Milliseconds between the last key released and this moment.
    pub rest: i32,
}

impl Moment {
    /// The keys struck now, with their place among the active ones.
    pub fn struck(&self) -> impl Iterator<Item = (usize, &Active)> {
        self.active.iter().enumerate().filter(|(_, a)| a.held.is_none())
    }

    /// The places of the keys still down, now and at the moment before.
    pub fn held(&self) -> impl Iterator<Item = (usize, usize)> {
        self.active.iter().enumerate().filter_map(|(place, a)| a.held.map(|was| (place, usize::from(was))))
    }

    /// The keys struck at this moment that are up again at the `next`, with their place.
    pub fn released(&self, next: &Self) -> impl Iterator<Item = (usize, &Active)> {
        self.struck().filter(|(place, _)| !next.active.iter().any(|a| a.held == Some(*place as u8)))
    }
}

/// Reads the moments of a line; `reach` is the largest distance in semitones that the hand spans.
pub fn read_moments(score: &Score, line: &Line, tempo: &Tempo, reach: i32) -> Vec<Moment> {
    let mut moments: Vec<Moment> = Vec::with_capacity(line.slices.len());
    let mut last_start = 0;
    let mut last_end = 0;
    for slice in &line.slices {
        let mut moment = Moment::default();
        let start = milliseconds(tempo.seconds(slice.onset));
        for index in slice.first..slice.first + slice.count {
            let key = Key::seen_by(line.hand, score.notes[line.notes[index]].midi);
            moment.active.push(Active { key, note: index as u32, held: None });
        }
        if line.hand == Hand::Left {
            moment.active.reverse();
        }
        if moment.active.len() > MOST {
            // The outer keys say where the hand is.
            moment.active.drain(MOST.div_ceil(2)..moment.active.len() - MOST / 2);
        }
        if let Some(before) = moments.last() {
            moment.since = (start - last_start).max(0);
            moment.rest = (start - last_end).max(0);
            for (place, active) in before.active.iter().enumerate() {
                let note = &score.notes[line.notes[active.note as usize]];
                let short = note.marks.intersects(NoteMarks::STACCATO | NoteMarks::BREATH);
                if note.end() > slice.onset && !short {
                    hold(&mut moment, *active, place as u8, reach);
                }
            }
        }
        last_start = start;
        last_end = 0;
        for index in slice.first..slice.first + slice.count {
            let note = &score.notes[line.notes[index]];
            let end = milliseconds(tempo.seconds(note.end()));
            let short = note.marks.intersects(NoteMarks::STACCATO);
            last_end = last_end.max(if short { start.midpoint(end) } else { end });
        }
        moments.push(moment);
    }
    moments
}

/// Keeps a key down unless the hand cannot: then the finger lets go (and the pedal, or the ear, keeps the note).
fn hold(moment: &mut Moment, active: Active, place: u8, reach: i32) {
    let number = active.key.number;
    let within = moment.active.iter().all(|a| (a.key.number - number).abs() <= reach && a.key.number != number);
    if within && moment.active.len() < MOST {
        let at = moment.active.partition_point(|a| a.key.number < number);
        moment.active.insert(at, Active { held: Some(place), ..active });
    }
}

fn milliseconds(seconds: f64) -> i32 {
    // A float cast saturates, so a score of any length stays in range.
    (seconds * 1000.0).round() as i32
}

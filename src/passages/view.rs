//! One hand's line with all that the detectors measure it by, and what they share: rows of strokes, and how a passage
//! follows from its place.

use super::{Finding, Material, Passage, PassageKind};
use crate::fingering::Fingering;
use crate::hands::Line;
use crate::keys::LocalKeys;
use crate::movements::{LONGEST_LINK, Movement, Stroke, measure_strokes};
use crate::score::{NoteMarks, Score};
use crate::tempo::Tempo;
use crate::units::Pitch;

/// One hand's line, measured.
pub(super) struct View<'a> {
    pub score: &'a Score,
    pub line: &'a Line,
    pub fingering: &'a Fingering,
    pub movements: &'a [Movement],
    pub strokes: Vec<Stroke>,
    pub keys: &'a LocalKeys,
    /// For every stroke, how many crossings lead to it and to those before it.
    crossings: Vec<usize>,
}

impl<'a> View<'a> {
    /// Measures the line.
    pub fn new(
        score: &'a Score,
        line: &'a Line,
        fingering: &'a Fingering,
        movements: &'a [Movement],
        keys: &'a LocalKeys,
        tempo: &Tempo,
    ) -> Self {
        let mut crossings = vec![0; line.slices.len()];
        for movement in movements.iter().filter(|movement| movement.crossing().is_some()) {
            if let Some(count) = crossings.get_mut(movement.slice) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for count in &mut crossings {
            sum += *count;
            *count = sum;
        }
        let strokes = measure_strokes(score, line, tempo);
        Self { score, line, fingering, movements, strokes, keys, crossings }
    }

    /// MIDI number of a note of the line.
    pub fn key(&self, note: usize) -> i32 {
        i32::from(self.score.notes[self.line.notes[note]].midi.number())
    }

    /// Spelled pitch of a note of the line.
    pub fn pitch(&self, note: usize) -> Pitch {
        self.score.notes[self.line.notes[note]].pitch
    }

    /// Signs on the notes of a stroke.
    pub fn marks(&self, stroke: &Stroke) -> NoteMarks {
        let ids = &self.line.notes[stroke.range()];
        ids.iter().fold(NoteMarks::empty(), |all, id| all | self.score.notes[*id].marks)
    }

    /// True when the hand does not leave the keys before a stroke.
    pub fn is_connected(&self, stroke: usize) -> bool {
        self.strokes[stroke].silence <= LONGEST_LINK
    }

    /// Seconds from the stroke before to a stroke.
    pub fn step_seconds(&self, stroke: usize) -> f64 {
        self.strokes[stroke].seconds - self.strokes[stroke - 1].seconds
    }

    /// The key in the middle of a stretch of strokes.
    pub fn key_around(&self, first: usize, last: usize) -> Option<Material> {
        self.keys.at(self.strokes[usize::midpoint(first, last)].measure).map(Material::Key)
    }

    /// A passage from stroke to stroke, both included, with everything that follows from the place.
    pub fn passage(&self, kind: PassageKind, first: usize, last: usize, finding: Finding) -> Passage {
        let (from, to) = (&self.strokes[first], &self.strokes[last]);
        let seconds = to.seconds - from.seconds;
        // In a broken file a note may be written in a later measure than one that sounds after it.
        let measures = [from.measure.min(to.measure), from.measure.max(to.measure)];
        Passage {
            hand: self.line.hand,
            kind,
            material: None,
            direction: None,
            first_slice: first,
            last_slice: last,
            first_measure: measures[0],
            last_measure: measures[1],
            notes: to.first + to.count - from.first,
            crossings: self.crossings[last] - self.crossings[first],
            rate: if seconds > 0.0 { (last - first) as f64 / seconds } else { 0.0 },
            finding,
        }
    }

    /// Rows of at least `least` strokes, first and last, in which every stroke goes on from the one before.
    pub fn rows(&self, least: usize, goes_on: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
        let mut rows = Vec::new();
        let mut first = 0;
        for stroke in 1..=self.strokes.len() {
            if stroke == self.strokes.len() || !goes_on(stroke) {
                if stroke - first >= least {
                    rows.push((first, stroke - 1));
                }
                first = stroke;
            }
        }
        rows
    }

    /// Tells neighbours of one kind, key and direction as one: those that follow within the same or the next measure. The greater
    /// finding is kept.
    pub fn join_near(&self, passages: Vec<Passage>) -> Vec<Passage> {
        let mut joined: Vec<Passage> = Vec::with_capacity(passages.len());
        for passage in passages {
            match joined.last_mut() {
                Some(last)
                    if (last.kind, last.material, last.direction)
                        == (passage.kind, passage.material, passage.direction)
                        && passage.first_measure <= last.last_measure + 1 =>
                {
                    let value = last.finding.value.max(passage.finding.value);
                    let end = last.last_slice.max(passage.last_slice);
                    let whole = self.passage(last.kind, last.first_slice, end, Finding { value, ..last.finding });
                    // The speed of the passages themselves, not of the music between them.
                    let rate = last.rate.max(passage.rate);
                    let (material, direction) = (last.material, last.direction);
                    let notes = last.notes + passage.notes;
                    *last = Passage { material, direction, notes, rate, ..whole };
                }
                _ => joined.push(passage),
            }
        }
        joined
    }
}

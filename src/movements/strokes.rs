//! When one hand strikes, and what it has at hand: the plain numbers that movements and passages are measured from.
//!
//! In: a line and the tempo. Out: a [`Stroke`] for every slice. Computed once for each hand, in one pass.

use crate::hands::Line;
use crate::score::{MeasureIndex, NoteId, Score};
use crate::tempo::Tempo;

/// What one grace note lasts, in seconds, where there is time for it.
///
/// Chosen by us: a crushed grace note is played as fast as fingers go, and the fastest trills of pianists are about
/// twelve notes a second (common practice, no source).
const GRACE_SECONDS: f64 = 0.08;

/// One slice as numbers.
#[derive(Clone, Copy, Debug)]
pub struct Stroke {
    /// When it is struck, in seconds from the start; grace notes are given a little time before their main note.
    pub seconds: f64,
    /// How long no key of this hand was down before it, in seconds, as written (articulation is not counted).
    pub silence: f64,
    /// Lowest key, by MIDI number.
    pub low: i32,
    /// Highest key, by MIDI number.
    pub high: i32,
    /// First index into [`Line::notes`].
    pub first: usize,
    /// How many notes.
    pub count: usize,
    /// True for grace notes.
    pub grace: bool,
    /// Measure.
    pub measure: MeasureIndex,
}

impl Stroke {
    /// Semitones between its lowest and highest key.
    pub fn span(&self) -> i32 {
        self.high - self.low
    }

    /// Indices into [`Line::notes`].
    pub fn range(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.count
    }
}

/// The strokes of a line, one for each of its slices.
pub fn measure_strokes(score: &Score, line: &Line, tempo: &Tempo) -> Vec<Stroke> {
    let mut clock = Clock::new(tempo);
    let mut strokes: Vec<Stroke> = Vec::with_capacity(line.slices.len());
    // Quarters at which the last key so far is released.
    let mut released = 0.0_f64;
    let mut graces = 0;
    for slice in &line.slices {
        let notes = &line.notes[slice.first..slice.first + slice.count];
        let onset = slice.onset.to_f64();
        let seconds = clock.seconds(onset);
        let silence = if onset > released { seconds - clock.seconds(released) } else { 0.0 };
        let grace = slice.grace > 0;
        strokes.push(Stroke {
            seconds,
            silence,
            low: key_of(score, notes.first()),
            high: key_of(score, notes.last()),
            first: slice.first,
            count: slice.count,
            grace,
            measure: notes.first().map_or(0, |id| score.notes[*id].measure),
        });
        if grace {
            graces += 1;
        } else {
            make_room(&mut strokes, graces);
            graces = 0;
        }
        for id in notes {
            released = released.max(onset + score.notes[*id].duration.to_f64());
        }
        if grace {
            // A grace note holds until its main note.
            released = released.max(onset);
        }
    }
    // Grace notes after the last main note: the last of them stands in for it.
    make_room(&mut strokes, graces.saturating_sub(1));
    strokes
}

/// Moves the `graces` strokes before the last one earlier, so that each has a time of its own: at most
/// [`GRACE_SECONDS`], and less where the stroke before them is near.
fn make_room(strokes: &mut [Stroke], graces: usize) {
    let Some(main) = strokes.len().checked_sub(1).filter(|_| graces > 0) else { return };
    let first = main.saturating_sub(graces);
    let available = match first.checked_sub(1) {
        Some(before) => strokes[main].seconds - strokes[before].seconds,
        None => f64::INFINITY,
    };
    let each = GRACE_SECONDS.min(available.max(0.0) / (graces + 1) as f64);
    for (index, stroke) in strokes[first..main].iter_mut().enumerate() {
        stroke.seconds -= each * (graces - index) as f64;
    }
}

fn key_of(score: &Score, id: Option<&NoteId>) -> i32 {
    id.map_or(0, |id| i32::from(score.notes[*id].midi.number()))
}

/// Turns quarters into seconds, for times that hardly ever go back: [`Tempo::seconds`] without searching.
struct Clock<'a> {
    segments: &'a [(crate::units::Quarters, f64, f64)],
    next: usize,
}

impl<'a> Clock<'a> {
    fn new(tempo: &'a Tempo) -> Self {
        Self { segments: &tempo.segments, next: 0 }
    }

    fn seconds(&mut self, at: f64) -> f64 {
        while self.segments.get(self.next).is_some_and(|(onset, ..)| onset.to_f64() <= at) {
            self.next += 1;
        }
        while self.next > 1 && self.segments.get(self.next - 1).is_some_and(|(onset, ..)| onset.to_f64() > at) {
            self.next -= 1;
        }
        let Some((onset, seconds, per_quarter)) = self.segments.get(self.next.saturating_sub(1)) else { return at };
        seconds + (at - onset.to_f64()) * per_quarter
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tempo::TempoSource;
    use crate::testing::{line, steady};
    use crate::units::Quarters;

    #[test]
    fn strokes_know_when_and_after_what_silence() {
        let (score, line) = line("R: C4/8 [E4 G4] r D4/4>8 F4/8 r G4");
        let strokes = measure_strokes(&score, &line, &steady(60.0));
        let seconds: Vec<f64> = strokes.iter().map(|s| s.seconds).collect();
        assert_eq!(seconds, [0.0, 0.5, 1.5, 2.0, 3.0]);
        let silences: Vec<f64> = strokes.iter().map(|s| s.silence).collect();
        assert_eq!(silences, [0.0, 0.0, 0.5, 0.0, 0.5]);
        assert_eq!((strokes[1].low, strokes[1].span(), strokes[1].count), (64, 3, 2));
    }

    #[test]
    fn grace_notes_take_their_time_from_the_note_before() {
        let (score, line) = line("R: C4/4 g:D4 g:E4 F4 G4/64 g:A4 G4");
        let strokes = measure_strokes(&score, &line, &steady(60.0));
        let seconds: Vec<f64> = strokes.iter().map(|s| (s.seconds * 1000.0).round()).collect();
        assert_eq!(seconds, [0.0, 840.0, 920.0, 1000.0, 2000.0, 2031.0, 2063.0]);
        assert!(strokes.iter().all(|s| s.silence < 1e-9));
    }

    #[test]
    fn the_clock_agrees_with_the_tempo_at_every_place() {
        let segments =
            vec![(Quarters::ZERO, 0.0, 0.5), (Quarters::whole(2), 1.0, 1.0), (Quarters::new(7, 2).unwrap(), 2.5, 0.25)];
        let tempo = Tempo { quarter_bpm: 120.0, source: TempoSource::Written, segments };
        let mut clock = Clock::new(&tempo);
        for eighths in [0, 3, 4, 5, 9, 8, 3, 0, 11, 7] {
            let at = Quarters::new(eighths, 2).unwrap();
            assert!((clock.seconds(at.to_f64()) - tempo.seconds(at)).abs() < 1e-12, "{at}");
        }
    }
}

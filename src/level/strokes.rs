//! The two hands as strokes in seconds: the one view of the music that every dimension measures from.
//!
//! In: score, hands and tempo of the measures looked at. Out: [`Piece`]. Grace notes are no strokes; they are counted
//! among the ornaments. Times are floating numbers here, since nothing downstream decides on equality beyond
//! [`SAME`].

use super::Playing;
use crate::hands::{Hands, Line};
use crate::movements::Movement;
use crate::score::Score;
use crate::tempo::Tempo;
use crate::units::{Hand, Quarters};

/// Quarters below which two times are one. A 128th triplet lasts forty times as long.
pub(super) const SAME: f64 = 1e-3;

/// Seconds of a quarter at a common tempo, 110 to the minute. Chosen by us: the middle of the tempos of the table.
///
/// Times are counted halfway (geometric mean) between the tempo of the piece and this one. Printed marks, terms and
/// playback defaults of the same piece differ by a third and more, and players settle near a comfortable tempo, so that
/// a mark twice as fast does not ask for twice the speed; counting the written seconds alone, or none, orders the
/// table worse (`docs/level.md`). A faster tempo still makes everything faster.
const COMMON_QUARTER_SECONDS: f64 = 60.0 / 110.0;

/// Shortest time between two strokes that counts, in seconds. Chosen by us: 25 strokes a second, above what hands do, so
/// that chords a file spreads over two onsets are no leaps at infinite speed.
pub(super) const SHORTEST: f64 = 0.04;

/// Everything one hand strikes at one onset, grace notes apart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    /// Onset in quarters from the start of the score.
    pub quarter: f64,
    /// Latest end of its notes, in quarters.
    pub end: f64,
    /// Latest end of all keys down, its own and those held, in quarters.
    pub down_until: f64,
    /// Onset in seconds from the start of the score.
    pub seconds: f64,
    /// Seconds since the stroke before, 0 for the first.
    pub gap: f64,
    /// Measure, a row of the table.
    pub row: usize,
    /// Lowest key struck.
    pub low: u8,
    /// Highest key struck.
    pub high: u8,
    /// Keys struck.
    pub count: usize,
    /// Keys held down meanwhile that nothing was struck above or below before.
    pub newly_held: usize,
    /// Lowest key down, struck or held.
    pub lowest_down: u8,
    /// Highest key down.
    pub highest_down: u8,
}

/// What is measured.
#[derive(Clone, Debug)]
pub(super) struct Piece<'a> {
    pub score: &'a Score,
    pub hands: &'a Hands,
    pub movements: [&'a [Movement]; 2],
    /// Seconds at the start of every measure, and at the end of the last.
    pub starts: Vec<f64>,
    /// The same in seconds as played.
    pub played: Vec<f64>,
    /// Strokes of the right and the left hand.
    pub strokes: [Vec<Stroke>; 2],
}

impl<'a> Piece<'a> {
    pub(super) fn new(playing: &Playing<'a>) -> Self {
        let Playing { score, hands, movements, tempo, .. } = *playing;
        let mut onsets: Vec<Quarters> = score.measures.iter().map(|measure| measure.onset).collect();
        onsets.push(score.measures.last().map_or(Quarters::ZERO, |last| last.onset + last.duration));
        let mut clock = Clock::new(tempo);
        let starts = rising(onsets.iter().map(|onset| clock.seconds(onset.to_f64())));
        let played = rising(onsets.iter().map(|onset| tempo.seconds(*onset)));
        let strokes = Hand::BOTH.map(|hand| strokes_of(score, hands.line(hand), tempo));
        Self { score, hands, movements, starts, played, strokes }
    }

    /// The strokes of one hand.
    pub(super) fn strokes(&self, hand: Hand) -> &[Stroke] {
        &self.strokes[hand as usize]
    }
}

/// Backward barlines of a broken file must not make time run backwards.
fn rising(times: impl Iterator<Item = f64>) -> Vec<f64> {
    times
        .scan(f64::NEG_INFINITY, |latest, time| {
            *latest = latest.max(time);
            Some(*latest)
        })
        .collect()
}

/// Converts quarters that (mostly) rise into counted seconds without searching.
struct Clock {
    /// Onset in quarters, counted seconds there, counted seconds for a quarter.
    segments: Vec<(f64, f64, f64)>,
    at: usize,
}

impl Clock {
    fn new(tempo: &Tempo) -> Self {
        let mut segments: Vec<(f64, f64, f64)> = Vec::with_capacity(tempo.segments.len());
        for (onset, _, per_quarter) in &tempo.segments {
            let onset = onset.to_f64();
            let counted = (per_quarter * COMMON_QUARTER_SECONDS).sqrt();
            let seconds = segments.last().map_or(0.0, |(before, at, per)| at + (onset - before) * per);
            segments.push((onset, seconds, counted));
        }
        Self { segments, at: 0 }
    }

    fn seconds(&mut self, quarter: f64) -> f64 {
        while self.at > 0 && self.segments[self.at].0 > quarter {
            self.at -= 1;
        }
        while self.segments.get(self.at + 1).is_some_and(|next| next.0 <= quarter) {
            self.at += 1;
        }
        let (onset, seconds, per_quarter) = self.segments[self.at];
        seconds + (quarter - onset) * per_quarter
    }
}

fn strokes_of(score: &Score, line: &Line, tempo: &Tempo) -> Vec<Stroke> {
    let mut clock = Clock::new(tempo);
    let mut strokes: Vec<Stroke> = Vec::with_capacity(line.slices.len());
    // Keys that are still down: their ends, and whether they were held under another stroke before.
    let mut down: Vec<(f64, u8, bool)> = Vec::new();
    for (index, slice) in line.slices.iter().enumerate() {
        if slice.grace > 0 || slice.count == 0 {
            continue;
        }
        let notes = line.slice_notes(index);
        let measure = score.notes[notes[0]].measure;
        let quarter = slice.onset.to_f64();
        let keys = || notes.iter().map(|id| score.notes[*id].midi.number());
        down.retain(|(end, key, _)| *end > quarter + SAME && !keys().any(|k| k == *key));
        let (low, high) = keys().fold((u8::MAX, 0), |(low, high), key| (low.min(key), high.max(key)));
        let newly_held = down.iter().filter(|(_, _, met)| !met).count();
        let reach = down.iter().fold((low, high), |(low, high), (_, key, _)| (low.min(*key), high.max(*key)));
        let mut down_until = down.iter().fold(quarter, |end, (until, ..)| end.max(*until));
        for (_, _, met) in &mut down {
            *met = true;
        }
        let mut end = quarter;
        for id in notes {
            let note = &score.notes[*id];
            let note_end = quarter + note.duration.to_f64();
            end = end.max(note_end);
            down_until = down_until.max(note_end);
            down.push((note_end, note.midi.number(), false));
        }
        // A pedal point written in a hundred voices must not make this slow.
        down.truncate(16);
        let seconds = clock.seconds(quarter);
        let gap = strokes.last().map_or(0.0, |before| (seconds - before.seconds).max(0.0));
        let (lowest_down, highest_down) = reach;
        let row = measure;
        let count = notes.len();
        strokes.push(Stroke {
            quarter,
            end,
            down_until,
            seconds,
            gap,
            row,
            low,
            high,
            count,
            newly_held,
            lowest_down,
            highest_down,
        });
    }
    strokes
}

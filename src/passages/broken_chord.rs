//! Broken chords.
//!
//! # What it finds
//! The notes of chords one after another under the open hand: Alberti figures and their kin, one figure after another.
//!
//! # Why it matters
//! The commonest accompaniment there is: the hand must shape the chord before it plays it, keep it while single fingers
//! play, and change it in time.
//!
//! # How it is measured
//! Strokes in a row that fall into figures: at least three strokes with three notes of one triad or seventh chord, or
//! six with two, inside an octave. At most a third of the strokes may have a second note, and at most a third of the
//! steps be smaller than a third, or it is a tune. Passages that follow within a measure are told as one.
//!
//! # Limit
//! Eight strokes: two figures of Alberti.
//!
//! # Example
//! `C4 G4 E4 G4 D4 G4 F4 G4` in eighths: broken chords, 8 strokes.
//!
//! # Sources
//! Common practice, no source; the numbers are chosen by us.

use super::arpeggio::chords_with;
use super::{Finding, Passage, PassageKind, View};
use crate::movements::Stroke;

/// Fewest strokes of a passage.
pub(super) const LEAST_STROKES: usize = 8;
/// Smallest third, in semitones.
const THIRD: i32 = 3;
/// Widest figure, in semitones.
const WIDEST: i32 = 12;
/// How many strokes two figures may share. Chosen by us: one figure of Alberti.
const MOST_SHARED: usize = 4;
/// Longest step in seconds: slower notes are a tune. Chosen by us.
const LONGEST_STEP: f64 = 0.55;

/// A figure as far as it goes.
#[derive(Clone, Copy)]
struct Figure {
    first: usize,
    last: usize,
    low: i32,
    high: i32,
    chords: u128,
    classes: u16,
}

impl Figure {
    fn starting(view: &View, stroke: usize) -> Self {
        let s = &view.strokes[stroke];
        let (chords, classes) = content(view, stroke);
        Self { first: stroke, last: stroke, low: s.low, high: s.high, chords, classes }
    }

    /// The figure with the stroke after or before it, if that still fits.
    fn with(self, view: &View, stroke: usize) -> Option<Self> {
        let s = &view.strokes[stroke];
        let (chords, classes) = content(view, stroke);
        let longer = Self {
            first: self.first.min(stroke),
            last: self.last.max(stroke),
            low: self.low.min(s.low),
            high: self.high.max(s.high),
            chords: self.chords & chords,
            classes: self.classes | classes,
        };
        (longer.chords != 0 && longer.high - longer.low <= WIDEST).then_some(longer)
    }

    /// A new figure that begins with `stroke`, where this one ended. The new chord may have been sounding for a few
    /// strokes that fitted the old one as well.
    fn next(self, view: &View, stroke: usize) -> Self {
        let earliest = self.first.max(stroke.saturating_sub(MOST_SHARED));
        let fitting = (earliest..stroke).rev().try_fold(Self::starting(view, stroke), |figure, earlier| {
            figure.with(view, earlier).map_or_else(|| Err(figure), Ok)
        });
        match fitting {
            Ok(figure) | Err(figure) => figure,
        }
    }

    fn is_whole(self) -> bool {
        let (strokes, notes) = (self.last + 1 - self.first, self.classes.count_ones());
        (notes >= 3 && strokes >= 3) || (notes == 2 && strokes >= 6)
    }
}

/// Chords that have all notes of a stroke, and its pitch classes.
fn content(view: &View, stroke: usize) -> (u128, u16) {
    let classes = view.strokes[stroke].range().map(|note| view.key(note) % 12);
    classes.fold((u128::MAX, 0), |(chords, all), class| (chords & chords_with(class), all | 1 << class))
}

/// Finds the broken chords of a line, and settles with its arpeggios which of both a stretch is.
pub(super) fn detect(view: &View, mut arpeggios: Vec<Passage>, found: &mut Vec<Passage>) {
    // More than an octave in one direction is an arpeggio, whatever the figures it could be cut into.
    let mut taken = vec![false; view.strokes.len()];
    let is_wider =
        |passage: &&Passage| passage.kind == PassageKind::BrokenChord || passage.finding.value > f64::from(WIDEST);
    for passage in arpeggios.iter().filter(is_wider) {
        taken[passage.first_slice..=passage.last_slice].fill(true);
    }
    let mut passages = Vec::new();
    let mut row: Option<(usize, usize)> = None;
    let mut figure: Option<Figure> = None;
    for (stroke, taken) in taken.into_iter().enumerate() {
        let fits = view.strokes[stroke].count <= 2 && !view.strokes[stroke].grace && !taken;
        let goes_on = fits && stroke > 0 && view.is_connected(stroke) && view.step_seconds(stroke) <= LONGEST_STEP;
        let longer = figure.filter(|_| goes_on).and_then(|figure| figure.with(view, stroke));
        if longer.is_none() {
            close_figure(view, figure, &mut row, &mut passages);
            if !goes_on {
                close_row(view, &mut row, &mut passages);
            }
        }
        let next = || match figure {
            Some(figure) if goes_on => figure.next(view, stroke),
            _ => Figure::starting(view, stroke),
        };
        figure = longer.or_else(|| fits.then(next));
    }
    close_figure(view, figure, &mut row, &mut passages);
    close_row(view, &mut row, &mut passages);
    arpeggios.retain(|arpeggio| {
        let begun = passages.partition_point(|passage| passage.first_slice <= arpeggio.first_slice);
        let around = begun.checked_sub(1).and_then(|index| passages.get(index));
        around.is_none_or(|passage| passage.last_slice < arpeggio.last_slice)
    });
    let (mut wide, mut arpeggios): (Vec<_>, Vec<_>) =
        arpeggios.into_iter().partition(|passage| passage.kind == PassageKind::BrokenChord);
    passages.append(&mut wide);
    passages.sort_by_key(|passage| passage.first_slice);
    found.append(&mut arpeggios);
    found.append(&mut view.join_near(passages));
}

/// Adds a whole figure to the row, or ends the row where the figure is broken off.
fn close_figure(view: &View, figure: Option<Figure>, row: &mut Option<(usize, usize)>, passages: &mut Vec<Passage>) {
    match (figure.filter(|figure| figure.is_whole()), &mut *row) {
        (Some(figure), Some((_, last))) if figure.first <= *last + 1 => *last = figure.last,
        (Some(figure), _) => {
            close_row(view, row, passages);
            *row = Some((figure.first, figure.last));
        }
        (None, _) => close_row(view, row, passages),
    }
}

fn close_row(view: &View, row: &mut Option<(usize, usize)>, passages: &mut Vec<Passage>) {
    let Some((first, last)) = row.take() else { return };
    let count = last + 1 - first;
    let doubled = view.strokes[first..=last].iter().filter(|stroke| stroke.count > 1).count();
    let step = |pair: &[Stroke]| (pair[1].low - pair[0].low).abs();
    let small = view.strokes[first..=last].windows(2).filter(|pair| step(pair) < THIRD).count();
    if count < LEAST_STROKES || 3 * doubled > count || 3 * small > count - 1 {
        return;
    }
    let finding = Finding { what: "strokes in a row", value: count as f64, limit: LEAST_STROKES as f64 };
    let material = view.key_around(first, last);
    passages.push(Passage { material, ..view.passage(PassageKind::BrokenChord, first, last, finding) });
}

#[cfg(test)]
mod tests {
    use super::super::tests::told;

    #[test]
    fn alberti_figures_are_one_passage_though_the_chord_changes() {
        let alberti = "L: key=0 C3/8 G3 E3 G3 B2 G3 D3 G3 C3 G3 E3 G3 D3 G3 F3 G3";
        assert_eq!(told(alberti), ["broken chord, C major, 1-2, 16 notes"]);
        let waltz = "L: key=0 time=3/4 C3/8 E3 G3 C4 G3 E3 B2 D3 G3 B3 G3 D3";
        assert_eq!(told(waltz).len(), 1);
    }

    #[test]
    fn a_tune_and_a_bass_with_chords_are_no_broken_chords() {
        assert!(told("R: key=0 C4/8 D4 E4 C4 F4 E4 D4 B3 C4 E4 D4 F4").is_empty(), "steps");
        assert!(told("L: key=0 C3/8 [E3 G3] C3 [E3 G3] C3 [E3 G3] C3 [E3 G3]").is_empty(), "chords after the beat");
    }

    #[test]
    fn four_notes_over_an_octave_are_a_figure_when_repeated_and_an_arpeggio_alone() {
        assert_eq!(told("R: key=0 C4/8 E4 G4 C5 C4 E4 G4 C5"), ["broken chord, C major, 1-1, 8 notes"]);
        assert_eq!(told("R: key=0 C4/8 E4 G4 C5/2 r/8"), ["arpeggio, C major, up, 1-1, 4 notes"]);
    }
}

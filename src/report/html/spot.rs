//! A hard spot as a keyboard-and-finger strip: the keys below, one row a note above them, read downwards.

use maud::{Markup, html};

use super::keyboard::{Keyboard, px};
use crate::analysis::Analysis;
use crate::report::view::{AROUND, Spot, StripNote, strip};
use crate::units::Midi;

/// Width of a white key; as wide as the circle of a finger needs.
const WHITE: f64 = 24.0;
/// Height of a row.
const ROW: f64 = 28.0;
/// Height of the keys.
const KEYS: f64 = 76.0;
/// Space for the names of the notes.
const NAMES: f64 = 44.0;
/// Radius of the circle around a finger.
const RADIUS: f64 = 10.5;

/// Draws the spot; `id` makes the ids inside unique.
pub fn draw(analysis: &Analysis, spot: &Spot<'_>, id: &str) -> Markup {
    let notes = strip(analysis, spot.movement, AROUND);
    let keys: Vec<(StripNote, Midi)> = notes.iter().filter_map(|note| Some((*note, note.pitch.midi()?))).collect();
    let (Some(low), Some(high)) = (keys.iter().map(|(_, key)| *key).min(), keys.iter().map(|(_, key)| *key).max())
    else {
        return html! {};
    };
    let board = Keyboard::new(low, high, NAMES, WHITE);
    let (width, below) = (NAMES + board.width() + 2.0, keys.len() as f64 * ROW + 8.0);
    let place = |row: usize, key: Midi| (board.middle(key), row as f64 * ROW + ROW / 2.0);
    let class = |key: Midi| if keys.iter().any(|(_, played)| *played == key) { "played" } else { "" };
    html! {
        svg.spot role="img" aria-labelledby={ (id) "-title " (id) "-notes" } width=(px(width)) height=(px(below + KEYS + 2.0))
            viewBox={ "0 0 " (px(width)) " " (px(below + KEYS + 2.0)) }
        {
            title id={ (id) "-title" } { "Keys and fingers of this spot" }
            desc id={ (id) "-notes" } { (words(analysis, spot)) }
            @for (row, (_, key)) in keys.iter().enumerate() {
                @let (x, y) = place(row, *key);
                line.guide x1=(px(x)) y1=(px(y)) x2=(px(x)) y2=(px(below)) {}
            }
            (board.draw(below, KEYS, class))
            @for (row, pair) in keys.windows(2).enumerate() {
                @let (x1, y1) = place(row, pair[0].1);
                @let (x2, y2) = place(row + 1, pair[1].1);
                line.way.crossing[pair[1].0.reached] x1=(px(x1)) y1=(px(y1)) x2=(px(x2)) y2=(px(y2)) {}
            }
            @for (row, (note, key)) in keys.iter().enumerate() {
                @let (x, y) = place(row, *key);
                text.note x=(px(NAMES - 8.0)) y=(px(y + 4.5)) text-anchor="end" { (note.pitch) }
                circle.finger.reached[note.reached] cx=(px(x)) cy=(px(y)) r=(px(RADIUS)) {}
                text.digit.reached[note.reached] x=(px(x)) y=(px(y + 4.5)) text-anchor="middle" {
                    @match note.finger { Some(finger) => (finger), None => "–" }
                }
            }
        }
    }
}

/// The spot in words: `Eb5 with finger 2, D5 with finger 1, crossing to C5 with finger 3`.
pub fn words(analysis: &Analysis, spot: &Spot<'_>) -> String {
    let word = |note: StripNote| {
        let finger = note.finger.map_or_else(String::new, |finger| format!(" with finger {finger}"));
        format!("{}{}{finger}", if note.reached { "crossing to " } else { "" }, note.pitch)
    };
    strip(analysis, spot.movement, AROUND).into_iter().map(word).collect::<Vec<_>>().join(", ")
}

//! Where each hand works on the keyboard, and where its crossings land.

use maud::{Markup, html};

use super::keyboard::{Keyboard, px};
use crate::analysis::Analysis;
use crate::movements::MovementKind;
use crate::units::{Hand, Midi};

const WIDTH: f64 = 720.0;
/// Height of the bars of one hand.
const BARS: f64 = 54.0;
/// Height of the row that marks crossings.
const MARKS: f64 = 14.0;
const KEYS: f64 = 46.0;

/// What one hand does on each key.
struct Use {
    notes: [u32; 128],
    crossings: [u32; 128],
}

fn count(analysis: &Analysis, hand: Hand) -> Use {
    let mut used = Use { notes: [0; 128], crossings: [0; 128] };
    let key = |id: usize| analysis.score.notes.get(id).map(|note| usize::from(note.midi.number()));
    for id in &analysis.line(hand).notes {
        if let Some(count) = key(*id).and_then(|key| used.notes.get_mut(key)) {
            *count += 1;
        }
    }
    for movement in &analysis.playing(hand).movements {
        if let (MovementKind::Crossing(_), Some(count)) =
            (movement.kind, key(movement.to).and_then(|key| used.crossings.get_mut(key)))
        {
            *count += 1;
        }
    }
    used
}

/// Draws the keyboard with a bar for every key that is played, the right hand above and the left below.
pub fn draw(analysis: &Analysis) -> Markup {
    let [right, left] = Hand::BOTH.map(|hand| count(analysis, hand));
    let played = |key: &usize| right.notes[*key] + left.notes[*key] > 0;
    let key = |number: usize| Midi::new(number as i32);
    let (Some(low), Some(high)) = ((0..128).find(played).and_then(key), (0..128).rfind(played).and_then(key)) else {
        return html! {};
    };
    let board = Keyboard::octaves(low, high, 0.0, 1.0).scaled_to(WIDTH);
    let most = right.notes.iter().chain(&left.notes).copied().max().unwrap_or(1);
    // Areas would say the same with taller bars: the root keeps keys that are played once visible beside busy ones.
    let bar = |count: u32| BARS * (f64::from(count) / f64::from(most)).sqrt();
    let (top, bottom) = (BARS + MARKS, BARS + MARKS + KEYS);
    let height = bottom + MARKS + BARS + 16.0;
    let busiest = |used: &Use| {
        let key = (0..128).rev().max_by_key(|key| used.notes[*key]).filter(|key| used.notes[*key] > 0)?;
        Some((key, used.notes[key], used.crossings.iter().sum::<u32>()))
    };
    // Half a white key: the bars of neighbouring keys, a white and a black one, just touch.
    let width = board.white_width() / 2.0;
    html! {
        svg.reach role="img" aria-labelledby="reach-title reach-text" viewBox={ "0 0 " (px(WIDTH)) " " (px(height)) } {
            title id="reach-title" { "Where each hand works on the keyboard" }
            desc id="reach-text" {
                @for (hand, used) in Hand::BOTH.into_iter().zip([&right, &left]) {
                    @if let Some((key, times, crossings)) = busiest(used) {
                        "The " (hand.name()) " plays " (key_name(key)) " most, " (times) " times, and makes "
                        (crossings) " crossings. "
                    }
                }
            }
            @for key in board.keys() {
                @let at = usize::from(key.number());
                @let x = board.middle(key);
                @if right.notes[at] > 0 {
                    rect.right x=(px(x - width / 2.0)) width=(px(width)) y=(px(BARS - bar(right.notes[at])))
                        height=(px(bar(right.notes[at]))) {}
                }
                @if left.notes[at] > 0 {
                    rect.left x=(px(x - width / 2.0)) width=(px(width)) y=(px(bottom + MARKS))
                        height=(px(bar(left.notes[at]))) {}
                }
                @if right.crossings[at] > 0 {
                    path.mark.right d=(triangle(x, top - 3.0, -7.0)) {}
                }
                @if left.crossings[at] > 0 {
                    path.mark.left d=(triangle(x, bottom + 3.0, 7.0)) {}
                }
            }
            (board.draw(top, KEYS, |key| {
                match usize::from(key.number()) {
                    at if right.notes[at] > 0 && left.notes[at] > 0 => "both",
                    at if right.notes[at] > 0 => "right",
                    at if left.notes[at] > 0 => "left",
                    _ => "",
                }
            }))
            @for key in board.keys().filter(|key| key.number() % 12 == 0) {
                text.number x=(px(board.middle(key))) y=(px(bottom - 5.0)) text-anchor="middle" {
                    (key_name(usize::from(key.number())))
                }
            }
        }
    }
}

/// A triangle that points at the keys; `height` is negative above them.
fn triangle(x: f64, y: f64, height: f64) -> String {
    let half = height.abs() * 0.6;
    format!("M{} {}L{} {}L{} {}Z", px(x), px(y), px(x - half), px(y + height), px(x + half), px(y + height))
}

/// The name of a key, with sharps: the drawing does not know the spelling.
fn key_name(number: usize) -> String {
    const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
    format!("{}{}", NAMES[number % 12], number as i32 / 12 - 1)
}

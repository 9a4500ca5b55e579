//! A stretch of the keyboard drawn in SVG.
//!
//! In: the lowest and highest key to show. Out: where each key lies, and its drawing. White keys are evenly wide, and a
//! black key stands over the line between its neighbours, as on the instrument seen from above.

use maud::{Markup, html};

use crate::units::{KeyColour, Midi};

/// A stretch of keys in a drawing.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Keyboard {
    low: u8,
    high: u8,
    left: f64,
    white_width: f64,
}

impl Keyboard {
    /// From a white key at or below `low` to one at or above `high`, with its left edge at `left`.
    pub fn new(low: Midi, high: Midi, left: f64, white_width: f64) -> Self {
        let white = |number: u8| Midi::new(i32::from(number)).is_none_or(|key| key.colour() == KeyColour::White);
        let (mut first, mut last) = (low.number().min(high.number()), high.number().max(low.number()));
        while !white(first) {
            first -= 1; // 0 is a white key
        }
        while !white(last) {
            last += 1; // 127 is a white key
        }
        Self { low: first, high: last, left, white_width }
    }

    /// From the C at or below `low` to the B at or above `high`: whole octaves.
    pub fn octaves(low: Midi, high: Midi, left: f64, white_width: f64) -> Self {
        let first = low.number() / 12 * 12;
        let last = (high.number() / 12 * 12 + 11).min(127);
        Self { low: first, high: last, left, white_width }
    }

    /// The same keys, with another width of the white ones.
    pub fn scaled_to(self, width: f64) -> Self {
        Self { white_width: width / self.white_keys() as f64, ..self }
    }

    /// Width of the drawing.
    pub fn width(&self) -> f64 {
        self.white_keys() as f64 * self.white_width
    }

    /// Width of a white key.
    pub fn white_width(&self) -> f64 {
        self.white_width
    }

    /// Width of a black key: about six tenths of a white one, as on the instrument.
    fn black_width(&self) -> f64 {
        self.white_width * 0.6
    }

    /// The keys from low to high.
    pub fn keys(&self) -> impl Iterator<Item = Midi> + use<> {
        (i32::from(self.low)..=i32::from(self.high)).filter_map(Midi::new)
    }

    /// The middle of a key; keys outside are placed where they would be.
    pub fn middle(&self, key: Midi) -> f64 {
        let before = white_before(key.number()) as f64 - white_before(self.low) as f64;
        let within = if key.colour() == KeyColour::White { 0.5 } else { 0.0 };
        self.left + (before + within) * self.white_width
    }

    /// The keys, with `top` as their upper edge; `class` adds a class of style to a key.
    pub fn draw(&self, top: f64, height: f64, class: impl Fn(Midi) -> &'static str) -> Markup {
        let of = |colour| self.keys().filter(move |key| key.colour() == colour);
        let black = self.black_width();
        html! {
            @for key in of(KeyColour::White) {
                rect class={ "white " (class(key)) } x=(px(self.middle(key) - self.white_width / 2.0)) y=(px(top))
                    width=(px(self.white_width)) height=(px(height)) {}
            }
            @for key in of(KeyColour::Black) {
                rect class={ "black " (class(key)) } x=(px(self.middle(key) - black / 2.0)) y=(px(top))
                    width=(px(black)) height=(px(height * 0.62)) {}
            }
        }
    }

    fn white_keys(&self) -> usize {
        white_before(self.high) + 1 - white_before(self.low)
    }
}

/// White keys below a key.
fn white_before(number: u8) -> usize {
    const WITHIN: [usize; 12] = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6];
    usize::from(number / 12) * 7 + WITHIN[usize::from(number % 12)]
}

/// A length or place in a drawing, to hundredths, so that the page is the same on every machine.
pub fn px(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(number: i32) -> Midi {
        Midi::new(number).unwrap()
    }

    #[test]
    fn an_octave_has_seven_white_keys_and_black_ones_stand_between_them() {
        let board = Keyboard::octaves(key(60), key(70), 0.0, 10.0);
        assert_eq!(px(board.width()), "70");
        let places: Vec<String> = [60, 61, 62, 64, 65, 66].map(|number| px(board.middle(key(number)))).into();
        assert_eq!(places, ["5", "10", "15", "25", "35", "40"]);
    }

    #[test]
    fn a_stretch_begins_and_ends_on_white_keys() {
        let board = Keyboard::new(key(61), key(70), 0.0, 10.0);
        let keys: Vec<u8> = board.keys().map(Midi::number).collect();
        assert_eq!((keys[0], keys[keys.len() - 1]), (60, 71));
        assert!(Keyboard::new(key(0), key(127), 0.0, 1.0).keys().count() == 128);
    }
}

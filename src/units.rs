//! The units that everything else is measured in: score time, pitches, fingers, hands.
//!
//! In: checked numbers. Out: values that cannot be wrong (a finger is 1 to 5, a key is 0 to 127). Things that people
//! confuse are different types, so that the compiler keeps them apart.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Neg, Sub};

use num_rational::Ratio;
use serde::{Deserialize, Serialize, Serializer};

/// Score time in quarter notes, an exact fraction: a triplet eighth is exactly 1/3.
///
/// Sums that leave the range of the fraction are rounded to [`Quarters::GRID`] instead of overflowing; no real score
/// comes near.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Quarters(Ratio<i64>);

impl Quarters {
    /// No time at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// Denominator used when an exact fraction does not fit: 2^6 * 3^2 * 5 * 7 parts of a quarter hold every tuplet of
    /// ordinary music exactly. Chosen by us.
    pub const GRID: i64 = 20_160;

    /// Largest magnitude of a score time, in quarters (about a year of music at 120 to the minute). Chosen by us so
    /// that sums cannot overflow.
    pub const MAX: i64 = 1 << 26;

    /// Denominators stay below this, so that products of two score times fit in 128 bits with room to spare.
    const DENOM_BOUND: i64 = 1 << 31;

    /// `numer / denom` quarters, or `None` when `denom` is zero or the value is beyond [`Quarters::MAX`]. A fraction
    /// finer than music can be is rounded to the grid.
    pub fn new(numer: i64, denom: i64) -> Option<Self> {
        if denom == 0 || numer == i64::MIN || denom == i64::MIN {
            return None;
        }
        if i128::from(numer).abs() > i128::from(Self::MAX) * i128::from(denom).abs() {
            return None;
        }
        Some(Self::reduce(i128::from(numer), i128::from(denom)))
    }

    /// A whole number of quarters, clamped to [`Quarters::MAX`].
    pub fn whole(quarters: i64) -> Self {
        Self(Ratio::from_integer(quarters.clamp(-Self::MAX, Self::MAX)))
    }

    /// The nearest value on the [`Quarters::GRID`]; not-a-number becomes zero, and the ends are clamped.
    pub fn nearest(quarters: f64) -> Self {
        let limit = Self::MAX as f64;
        let clamped = if quarters.is_nan() { 0.0 } else { quarters.clamp(-limit, limit) };
        Self(Ratio::new((clamped * Self::GRID as f64).round() as i64, Self::GRID))
    }

    /// The numerator of the reduced fraction.
    pub fn numer(self) -> i64 {
        *self.0.numer()
    }

    /// The denominator of the reduced fraction, always positive.
    pub fn denom(self) -> i64 {
        *self.0.denom()
    }

    /// As a floating number of quarters, for seconds and for printing.
    pub fn to_f64(self) -> f64 {
        self.numer() as f64 / self.denom() as f64
    }

    /// This time multiplied by `numer / denom` (a tuplet, for instance), rounded to the grid if it does not fit.
    pub fn scaled(self, numer: i64, denom: i64) -> Self {
        if denom == 0 {
            return self;
        }
        let n = i128::from(self.numer()) * i128::from(numer);
        let d = i128::from(self.denom()) * i128::from(denom);
        Self::reduce(n, d)
    }

    /// True for exactly zero.
    pub fn is_zero(self) -> bool {
        self.numer() == 0
    }

    fn reduce(numer: i128, denom: i128) -> Self {
        if let (Ok(n), Ok(d @ 1..)) = (i64::try_from(numer), i64::try_from(denom)) {
            return Self::reduce_small(n, d);
        }
        let sign = if denom < 0 { -1 } else { 1 };
        let divisor = num_integer::gcd(numer, denom).max(1);
        let (n, d) = (sign * numer / divisor, sign * denom / divisor);
        match (i64::try_from(n), i64::try_from(d)) {
            (Ok(n), Ok(d)) => Self::checked(n, d),
            _ => Self::nearest(n as f64 / d as f64),
        }
    }

    /// The same where both fit in 64 bits, which is nearly always and much faster; `denom` is positive.
    fn reduce_small(numer: i64, denom: i64) -> Self {
        if denom == 1 {
            return Self::checked(numer, 1);
        }
        let divisor = num_integer::gcd(numer, denom);
        Self::checked(numer / divisor, denom / divisor)
    }

    /// A reduced fraction, if it is within the bounds.
    fn checked(numer: i64, denom: i64) -> Self {
        let within = i128::from(numer).abs() <= i128::from(Self::MAX) * i128::from(denom);
        if denom < Self::DENOM_BOUND && within {
            return Self(Ratio::new_raw(numer, denom));
        }
        Self::nearest(numer as f64 / denom as f64)
    }

    /// Both parts of both fractions, if every product of two of them fits in 64 bits.
    fn small(self, other: Self) -> Option<[i64; 4]> {
        let parts = [self.numer(), self.denom(), other.numer(), other.denom()];
        parts.iter().all(|part| i32::try_from(*part).is_ok()).then_some(parts)
    }
}

impl Add for Quarters {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        if self.denom() == other.denom() {
            return Self::reduce_small(self.numer() + other.numer(), self.denom());
        }
        if let Some([n, d, other_n, other_d]) = self.small(other) {
            return Self::reduce_small(n * other_d + other_n * d, d * other_d);
        }
        let wide = |n: i64, d: i64| i128::from(n) * i128::from(d);
        let numer = wide(self.numer(), other.denom()) + wide(other.numer(), self.denom());
        Self::reduce(numer, wide(self.denom(), other.denom()))
    }
}

impl Sub for Quarters {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Quarters {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Ord for Quarters {
    fn cmp(&self, other: &Self) -> Ordering {
        if self.denom() == other.denom() {
            return self.numer().cmp(&other.numer());
        }
        if let Some([n, d, other_n, other_d]) = self.small(*other) {
            return (n * other_d).cmp(&(other_n * d));
        }
        (i128::from(self.numer()) * i128::from(other.denom()))
            .cmp(&(i128::from(other.numer()) * i128::from(self.denom())))
    }
}

impl PartialOrd for Quarters {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Debug for Quarters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl fmt::Display for Quarters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

/// A letter name of the staff.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[allow(missing_docs)] // the seven letters say it
pub enum Step {
    C,
    D,
    E,
    F,
    G,
    A,
    B,
}

impl Step {
    /// All letters, from C.
    pub const ALL: [Self; 7] = [Self::C, Self::D, Self::E, Self::F, Self::G, Self::A, Self::B];

    /// The letter for a capital ASCII letter `A` to `G`.
    pub fn from_letter(letter: char) -> Option<Self> {
        Some(match letter {
            'C' => Self::C,
            'D' => Self::D,
            'E' => Self::E,
            'F' => Self::F,
            'G' => Self::G,
            'A' => Self::A,
            'B' => Self::B,
            _ => return None,
        })
    }

    /// The capital letter.
    pub fn letter(self) -> char {
        ['C', 'D', 'E', 'F', 'G', 'A', 'B'][self as usize]
    }

    /// Semitones of the natural above C: 0, 2, 4, 5, 7, 9, 11.
    pub fn semitones(self) -> i32 {
        [0, 2, 4, 5, 7, 9, 11][self as usize]
    }
}

/// A spelled, sounding pitch: `Bb4`, `F#4`; `C4` is middle C.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Pitch {
    /// Octave in scientific pitch notation (ISO 16): the octave of middle C is 4.
    pub octave: i8,
    /// Letter name.
    pub step: Step,
    /// Sharps (positive) or flats (negative), in semitones.
    pub alter: i8,
}

impl Pitch {
    /// The key that sounds, or `None` beyond MIDI 0 to 127.
    pub fn midi(self) -> Option<Midi> {
        Midi::new((i32::from(self.octave) + 1) * 12 + self.step.semitones() + i32::from(self.alter))
    }

    /// Steps of the staff above C0, ignoring accidentals: middle C is 28, the D above it 29.
    pub fn staff_position(self) -> i32 {
        i32::from(self.octave) * 7 + self.step as i32
    }
}

impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.step.letter())?;
        let sign = if self.alter < 0 { 'b' } else { '#' };
        for _ in 0..self.alter.unsigned_abs() {
            write!(f, "{sign}")?;
        }
        write!(f, "{}", self.octave)
    }
}

impl Serialize for Pitch {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// White or black, of a key on the keyboard.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum KeyColour {
    /// A natural key.
    White,
    /// A raised key.
    Black,
}

/// A key of the keyboard by MIDI number, 0 to 127; 60 is middle C.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Midi(u8);

impl Midi {
    /// Middle C.
    pub const MIDDLE_C: Self = Self(60);

    /// Checked: 0 to 127.
    pub fn new(number: i32) -> Option<Self> {
        u8::try_from(number).ok().filter(|n| *n < 128).map(Self)
    }

    /// The number.
    pub fn number(self) -> u8 {
        self.0
    }

    /// White or black.
    pub fn colour(self) -> KeyColour {
        if matches!(self.0 % 12, 1 | 3 | 6 | 8 | 10) { KeyColour::Black } else { KeyColour::White }
    }

    /// Signed semitones from `self` up to `other`.
    pub fn semitones_to(self, other: Self) -> i32 {
        i32::from(other.0) - i32::from(self.0)
    }
}

/// A finger, 1 (thumb) to 5 (little finger).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(try_from = "u8")]
pub struct Finger(u8);

impl TryFrom<u8> for Finger {
    type Error = String;
    fn try_from(number: u8) -> Result<Self, String> {
        Self::new(number).ok_or_else(|| format!("finger {number}, expected 1 to 5"))
    }
}

impl Finger {
    /// The thumb.
    pub const THUMB: Self = Self(1);
    /// All five, from the thumb.
    pub const ALL: [Self; 5] = [Self(1), Self(2), Self(3), Self(4), Self(5)];

    /// Checked: 1 to 5.
    pub fn new(number: u8) -> Option<Self> {
        (1..=5).contains(&number).then_some(Self(number))
    }

    /// The number, 1 to 5.
    pub fn number(self) -> u8 {
        self.0
    }

    /// Zero-based, for tables: the thumb is 0.
    pub fn index(self) -> usize {
        usize::from(self.0 - 1)
    }

    /// True for the thumb.
    pub fn is_thumb(self) -> bool {
        self.0 == 1
    }
}

impl fmt::Display for Finger {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// Right or left.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub enum Hand {
    /// The right hand.
    #[serde(rename = "R")]
    Right,
    /// The left hand.
    #[serde(rename = "L")]
    Left,
}

impl Hand {
    /// Both hands, right first, as reports list them.
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// `R` or `L`.
    pub fn letter(self) -> char {
        match self {
            Self::Right => 'R',
            Self::Left => 'L',
        }
    }

    /// `right hand` or `left hand`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right hand",
            Self::Left => "left hand",
        }
    }

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// +1 for the right hand, whose fifth finger points up the keyboard, and -1 for the left: multiplying an interval
    /// by it mirrors the left hand onto the right.
    pub fn outward(self) -> i32 {
        match self {
            Self::Right => 1,
            Self::Left => -1,
        }
    }
}

/// Up or down the keyboard.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Motion {
    /// Towards the higher keys, to the right.
    Up,
    /// Towards the lower keys, to the left.
    Down,
}

impl Motion {
    /// Both, up first, as a scale is practised.
    pub const BOTH: [Self; 2] = [Self::Up, Self::Down];

    /// `up` or `down`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
        }
    }

    /// +1 up, -1 down: the sign of an interval in this direction.
    pub fn sign(self) -> i32 {
        match self {
            Self::Up => 1,
            Self::Down => -1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn score_time_is_exact() {
        let third = Quarters::new(1, 3).unwrap();
        assert_eq!(third + third + third, Quarters::whole(1));
        assert!(third < Quarters::new(1, 2).unwrap());
    }

    #[test]
    fn sums_beyond_the_fraction_are_rounded_and_do_not_overflow() {
        let mut sum = Quarters::ZERO;
        for denom in [2_147_483_629, 2_147_483_587, 2_147_483_579, 2_147_483_563] {
            sum = sum + Quarters::new(1, denom).unwrap();
        }
        assert!(sum.to_f64().abs() < 1e-4);
        assert!(Quarters::new(i64::MAX, 1).is_none());
        assert_eq!(Quarters::whole(i64::MAX) + Quarters::whole(i64::MAX), Quarters::whole(Quarters::MAX));
    }

    #[test]
    fn pitches_are_named_as_musicians_do() {
        let b_flat = Pitch { octave: 4, step: Step::B, alter: -1 };
        assert_eq!(b_flat.to_string(), "Bb4");
        assert_eq!(b_flat.midi().map(Midi::number), Some(70));
        assert_eq!(b_flat.midi().map(Midi::colour), Some(KeyColour::Black));
    }
}

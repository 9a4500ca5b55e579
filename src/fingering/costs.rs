//! What each rule costs.
//!
//! In: fingers and the keys they play. Out: costs, rule by rule, given to a `charge` closure, so that the search may sum
//! them and the breakdown may list them from the same code.
//!
//! # References
//! Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), Music Perception 14(4), 341-382: the twelve rules; one of their
//! points is 100 here. Jacobs (2001), Music Perception 18(4), 505-511: real distances, and only the fourth finger
//! is weak. Al Kasimi, Nichols and Raphael (2007), ISMIR: spans inside chords.

use super::keyboard::{Key, TenthMillimetres, semitones};
use super::spans::Spans;

/// Effort, in hundredths of a point of Parncutt et al. (1997).
pub type Cost = i32;

/// One point of the published rules.
pub const POINT: Cost = 100;

/// A reason for a cost.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // the weights say what each is
pub enum Rule {
    Stretch,
    LargeSpan,
    SmallSpan,
    WeakFinger,
    ThumbOnBlack,
    FifthOnBlack,
    ThumbPassing,
    FingersCrossed,
    SameFinger,
    RepeatChange,
    PositionChange,
    ReturnChange,
    ThreeFourFive,
    Chord,
    Substitution,
    ScalePattern,
    Figure,
    Avoided,
}

macro_rules! weights {
    ($($(#[$doc:meta])* $name:ident = $value:expr;)*) => {
        /// The weights of the rules: few, round, and each with its source.
        #[derive(Clone, PartialEq, Eq, Debug)]
        pub struct Weights {
            $($(#[$doc])* pub $name: Cost,)*
        }

        impl Default for Weights {
            fn default() -> Self {
                Self { $($name: $value,)* }
            }
        }

        impl Weights {
            /// The names, in the order of the table.
            pub const NAMES: &'static [&'static str] = &[$(stringify!($name)),*];

            /// The weight called `name`, for a tool that varies it.
            pub fn by_name(&mut self, name: &str) -> Option<&mut Cost> {
                match name {
                    $(stringify!($name) => Some(&mut self.$name),)*
                    _ => None,
                }
            }
        }
    };
}

weights! {
    /// Each semitone beyond the comfortable span. Source: Parncutt et al. (1997), rule 1: two points.
    stretch = 100;
    /// Each semitone beyond the relaxed span of a pair with the thumb. Source: rule 3, one point.
    large_span_thumb = 100;
    /// Each semitone beyond the relaxed span of any other pair. Source: rule 3, two points.
    large_span = 200;
    /// Each semitone short of the relaxed span of a pair with the thumb. Source: rule 2, one point; halved, for the
    /// thumb lies beside the second finger without effort.
    small_span_thumb = 50;
    /// Each semitone short of the relaxed span of any other pair. Source: rule 2, two points.
    small_span = 300;
    /// Where a stretch becomes a leap: from here on distance counts an eighth. Chosen by us.
    leap = 1200;
    /// Fourth finger. Source: rule 6 (Jacobs 2001 keeps it for this finger only), one point.
    weak_fourth = 100;
    /// Fifth finger. Source: rule 6, one point; Jacobs (2001) drops it.
    weak_fifth = 20;
    /// Thumb on a black key. Source: rule 10, one point.
    thumb_black = 300;
    /// ... and on white the note before or after, each. Source: rule 10, two points.
    thumb_black_white = 500;
    /// Fifth finger on a black key. Chosen by us: small.
    fifth_black = 50;
    /// ... and on white the note before or after, each. Source: rule 11, two points.
    fifth_black_white = 400;
    /// Thumb under the third finger or the third over it. Source: rule 12 has one point; more here because the
    /// published position rules already see part of it.
    passing = 200;
    /// More, for the second finger. Chosen by us.
    passing_second = 100;
    /// More, for the fourth finger. Chosen by us: textbook scales pass the fourth as readily as the third.
    passing_fourth = 0;
    /// More, for the fifth finger. Chosen by us.
    passing_fifth = 500;
    /// Each semitone of a passing beyond two. Chosen by us, as a stretch.
    passing_far = 100;
    /// More, where the thumb passes onto black under a finger on white. Source: rule 12, three points.
    passing_onto_black = 300;
    /// More, where both keys have one colour. Source: rule 12, one point.
    passing_same_level = 150;
    /// Fingers crossed without the thumb. Chosen by us: worse than a leap is, but not forbidden.
    crossed = 1200;
    /// ... and each semitone of it.
    crossed_far = 200;
    /// One finger on two keys in turn: the hand lifts. Chosen by us.
    same_finger = 1300;
    /// ... and each semitone of it.
    same_finger_far = 100;
    /// One finger slid from a black key to its white neighbour. Chosen by us.
    slide = 600;
    /// Another finger on a repeated key. Chosen by us.
    repeat_change = 300;
    /// Two notes with one between lie outside the comfortable span. Source: rule 4, one point.
    position_change = 100;
    /// ... and each semitone of it. Source: rule 5, one point.
    position_far = 100;
    /// Another finger on a key to which the hand returns after one note. Chosen by us.
    return_change = 250;
    /// Third, fourth and fifth finger in a row, in any order. Source: rule 7, one point.
    three_four_five = 100;
    /// The span rules inside a chord, in hundredths. Chosen by us: a chord does not have to be bound.
    chord = 50;
    /// Another finger on a held key. Chosen by us.
    substitution = 600;
    /// A finger other than the textbook has in a run that is a scale. Chosen by us.
    scale = 300;
    /// A finger other than the same figure has elsewhere. Chosen by us.
    figure = 200;
    /// What is left of the binding rules after a rest of half a second, in hundredths. Chosen by us.
    free = 10;
}

/// A finger by index on a key.
pub type Placed = (usize, Key);

/// `weight` for each semitone of `length`.
fn per_semitone(weight: Cost, length: TenthMillimetres) -> Cost {
    weight * length.max(0) / semitones(1)
}

/// The rules for one hand.
#[derive(Clone, Debug)]
pub struct Rules {
    /// What each rule costs.
    pub weights: Weights,
    /// How far the fingers open.
    pub spans: Spans,
}

impl Rules {
    /// A finger on a key, whatever comes before and after.
    pub fn placed(&self, (finger, key): Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        match finger {
            3 => charge(Rule::WeakFinger, w.weak_fourth),
            4 => charge(Rule::WeakFinger, w.weak_fifth),
            _ => {}
        }
        if key.black && finger == 0 {
            charge(Rule::ThumbOnBlack, w.thumb_black);
        }
        if key.black && finger == 4 {
            charge(Rule::FifthOnBlack, w.fifth_black);
        }
    }

    /// From one note to the next with the hand bound to both (legato).
    pub fn step(&self, from: Placed, to: Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let ((f1, k1), (f2, k2)) = (from, to);
        if k1.number == k2.number {
            if f1 != f2 {
                charge(Rule::RepeatChange, w.repeat_change);
            }
            return;
        }
        if k1.black != k2.black {
            let onto_black = if k1.black { f1 } else { f2 };
            if onto_black == 0 {
                charge(Rule::ThumbOnBlack, w.thumb_black_white);
            } else if onto_black == 4 {
                charge(Rule::FifthOnBlack, w.fifth_black_white);
            }
        }
        let distance = (k2.place - k1.place).abs();
        if f1 == f2 {
            if k1.black && !k2.black && distance < semitones(2) {
                charge(Rule::SameFinger, w.slide);
            } else {
                self.capped(Rule::SameFinger, w.same_finger + per_semitone(w.same_finger_far, distance), charge);
            }
            return;
        }
        let ((inner, low), (outer, high)) = if f1 < f2 { (from, to) } else { (to, from) };
        let span = high.place - low.place;
        if span > 0 {
            self.open(inner, outer, span, charge);
        } else if inner == 0 {
            let own = [0, w.passing_second, 0, w.passing_fourth, w.passing_fifth][outer];
            let far = per_semitone(w.passing_far, -span - semitones(2));
            let level = match (high.black, low.black) {
                // The thumb on white under a finger on black is the easy case: the finger stands higher.
                (true, false) => 0,
                (false, true) => w.passing_onto_black,
                _ => w.passing_same_level,
            };
            let beyond = per_semitone(w.stretch, self.spans.between(0, outer).min_comfortable - span);
            self.capped(Rule::ThumbPassing, w.passing + own + far + level + beyond, charge);
        } else {
            self.capped(Rule::FingersCrossed, w.crossed + per_semitone(w.crossed_far, -span), charge);
        }
    }

    /// The three rules of the open hand.
    fn open(&self, inner: usize, outer: usize, span: TenthMillimetres, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let limits = self.spans.between(inner, outer);
        let (small, large) =
            if inner == 0 { (w.small_span_thumb, w.large_span_thumb) } else { (w.small_span, w.large_span) };
        charge(Rule::SmallSpan, per_semitone(small, limits.min_relaxed - span));
        let large = per_semitone(large, span - limits.max_relaxed);
        let stretch = per_semitone(w.stretch, span - limits.max_comfortable);
        let total = large + stretch;
        if total > w.leap {
            charge(Rule::Stretch, w.leap + (total - w.leap) / 8);
        } else {
            charge(Rule::LargeSpan, large);
            charge(Rule::Stretch, stretch);
        }
    }

    /// Beyond [`Weights::leap`] the hand lets go and flies, and the distance counts little.
    fn capped(&self, rule: Rule, cost: Cost, charge: &mut impl FnMut(Rule, Cost)) {
        let leap = self.weights.leap;
        charge(rule, if cost > leap { leap + (cost - leap) / 8 } else { cost });
    }

    /// From one note to the next but one.
    pub fn over(&self, from: Placed, to: Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let ((f1, k1), (f2, k2)) = (from, to);
        if k1.number == k2.number {
            if f1 != f2 {
                charge(Rule::ReturnChange, w.return_change);
            }
            return;
        }
        let outside = if f1 == f2 {
            (k2.place - k1.place).abs()
        } else {
            let (inner, outer, span) =
                if f1 < f2 { (f1, f2, k2.place - k1.place) } else { (f2, f1, k1.place - k2.place) };
            let limits = self.spans.between(inner, outer);
            (span - limits.max_comfortable).max(limits.min_comfortable - span)
        };
        if outside > 0 {
            self.capped(Rule::PositionChange, w.position_change + per_semitone(w.position_far, outside), charge);
        }
    }

    /// Three fingers in a row, wherever they play.
    pub fn triple(&self, [a, b, c]: [usize; 3], charge: &mut impl FnMut(Rule, Cost)) {
        if a.min(b).min(c) == 2 && a != b && b != c && a != c {
            charge(Rule::ThreeFourFive, self.weights.three_four_five);
        }
    }

    /// Two neighbouring notes of a chord.
    pub fn chord(&self, low: Placed, high: Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let ((inner, k1), (outer, k2)) = (low, high);
        if inner >= outer {
            let passed = if outer == 0 { w.crossed } else { 2 * w.crossed };
            charge(Rule::Chord, passed);
            return;
        }
        let mut total = 0;
        self.open(inner, outer, k2.place - k1.place, &mut |_, cost| total += cost);
        charge(Rule::Chord, total * w.chord / 100);
    }
}

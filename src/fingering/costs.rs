//! What each rule costs.
//!
//! In: fingers and the keys they play. Out: costs, rule by rule, given to a `charge` closure, so that the search may sum
//! them and the breakdown may list them from the same code.
//!
//! # References
//! Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), Music Perception 14(4), 341-382: the twelve rules; one of their
//! points is [`POINT`] here. Jacobs (2001), Music Perception 18(4), 505-511: real distances, and only the fourth finger
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
#[allow(missing_docs)] // `Rule::meaning` says it
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

/// The weights of the rules: few, round, and each with its source.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Weights {
    pub stretch: Cost,
    pub large_span_thumb: Cost,
    pub large_span: Cost,
    pub small_span_thumb: Cost,
    pub small_span: Cost,
    pub leap: Cost,
    pub weak: [Cost; 5],
    pub thumb_black: Cost,
    pub thumb_black_white: Cost,
    pub fifth_black: Cost,
    pub fifth_black_white: Cost,
    pub passing: [Cost; 5],
    pub passing_far: Cost,
    pub passing_onto_black: Cost,
    pub passing_same_level: Cost,
    pub crossed: Cost,
    pub crossed_far: Cost,
    pub same_finger: Cost,
    pub same_finger_far: Cost,
    pub slide: Cost,
    pub repeat_change: Cost,
    pub position_change: Cost,
    pub position_far: Cost,
    pub return_change: Cost,
    pub three_four_five: Cost,
    pub chord: Cost,
    pub substitution: Cost,
    pub scale: Cost,
    pub figure: Cost,
    pub free: Cost,
}

impl Default for Weights {
    fn default() -> Self {
        Self {
            stretch: 200,
            large_span_thumb: 100,
            large_span: 200,
            small_span_thumb: 100,
            small_span: 200,
            leap: 1600,
            weak: [0, 0, 0, 100, 0],
            thumb_black: 100,
            thumb_black_white: 200,
            fifth_black: 0,
            fifth_black_white: 200,
            passing: [0, 400, 300, 300, 800],
            passing_far: 100,
            passing_onto_black: 300,
            passing_same_level: 100,
            crossed: 1200,
            crossed_far: 200,
            same_finger: 800,
            same_finger_far: 100,
            slide: 400,
            repeat_change: 300,
            position_change: 100,
            position_far: 100,
            return_change: 300,
            three_four_five: 100,
            chord: 100,
            substitution: 600,
            scale: 300,
            figure: 200,
            free: 12,
        }
    }
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
    pub weights: Weights,
    pub spans: Spans,
}

impl Rules {
    /// A finger on a key, whatever comes before and after.
    pub fn placed(&self, (finger, key): Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        charge(Rule::WeakFinger, w.weak[finger]);
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
            let far = per_semitone(w.passing_far, -span - semitones(2));
            let level = match (high.black, low.black) {
                // The thumb on white under a finger on black is the easy case: the finger stands higher.
                (true, false) => 0,
                (false, true) => w.passing_onto_black,
                _ => w.passing_same_level,
            };
            let beyond = per_semitone(w.stretch, self.spans.between(0, outer).min_comfortable - span);
            self.capped(Rule::ThumbPassing, w.passing[outer] + far + level + beyond, charge);
        } else {
            self.capped(Rule::FingersCrossed, w.crossed + per_semitone(w.crossed_far, -span), charge);
        }
    }

    /// The three rules of the open hand.
    fn open(&self, inner: usize, outer: usize, span: TenthMillimetres, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let limits = self.spans.between(inner, outer);
        let (small, large) = if inner == 0 {
            (w.small_span_thumb, w.large_span_thumb)
        } else {
            (w.small_span, w.large_span)
        };
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
    pub fn triple(&self, a: usize, b: usize, c: usize, charge: &mut impl FnMut(Rule, Cost)) {
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

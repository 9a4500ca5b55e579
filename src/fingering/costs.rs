//! What each rule costs.
//!
//! In: fingers, the keys they play and where the hand lies. Out: costs, rule by rule, given to a `charge` closure, so
//! that the search may sum them and the breakdown may list them from the same code.
//!
//! The hand has a *position*: the place on the keyboard over which its third finger lies, the others a white key apart.
//! A finger that leaves its place in the position reaches; a position that changes costs a move. Pairs of notes in turn
//! add the spans between fingers, thumb passing, crossed fingers and one finger on two keys.
//!
//! # References
//! Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), Music Perception 14(4), 341-382: the rules by number; one of
//! their points is 100 here. Jacobs (2001), Music Perception 18(4), 505-511: real distances. Al Kasimi, Nichols and
//! Raphael (2007), ISMIR: spans inside chords.

use super::keyboard::{Key, TenthMillimetres, WHITE_KEY, semitones};
use super::spans::Spans;
use super::weights::Weights;

/// Effort, in hundredths of a point of Parncutt et al. (1997).
pub type Cost = i32;

/// One point of the published rules.
pub const POINT: Cost = 100;

/// A finger by index on a key.
pub type Placed = (usize, Key);

/// Where the fingers of a hand at rest lie, from the third.
pub const AT_REST: [TenthMillimetres; 5] = [-2 * WHITE_KEY, -WHITE_KEY, 0, WHITE_KEY, 2 * WHITE_KEY];

macro_rules! rules {
    ($($(#[$doc:meta])* $rule:ident, $words:literal;)*) => {
        /// A reason for a cost.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, serde::Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Rule { $($(#[$doc])* $rule),* }

        impl Rule {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$rule),*];

            /// The rule in a teacher's words.
            pub fn words(self) -> &'static str {
                match self { $(Self::$rule => $words),* }
            }
        }
    };
}

rules! {
    /// A finger lies away from its place in the position of the hand.
    Reach, "reaching out of position";
    /// The hand moves to another position.
    PositionChange, "moving the hand";
    /// Two fingers open beyond what is comfortable.
    Stretch, "stretch";
    /// Two fingers open beyond what is relaxed.
    LargeSpan, "wide span";
    /// Two fingers are closer than is relaxed.
    SmallSpan, "narrow span";
    /// The fourth or fifth finger plays.
    WeakFinger, "weak finger";
    /// The thumb plays a black key.
    ThumbOnBlack, "thumb on a black key";
    /// The fifth finger plays a black key beside a white one.
    FifthOnBlack, "fifth finger on a black key";
    /// The thumb passes under, or a finger over it.
    ThumbPassing, "thumb passing";
    /// Fingers cross without the thumb.
    FingersCrossed, "fingers crossed";
    /// One finger plays two keys in turn.
    SameFinger, "one finger on two keys";
    /// A repeated key gets another finger.
    RepeatChange, "another finger on a repeated key";
    /// The fingers of a chord lie open or close.
    Chord, "shape of the chord";
    /// A held key gets another finger.
    Substitution, "another finger on a held key";
    /// A run that is a scale is not fingered as that scale.
    ScalePattern, "not as the run is fingered";
    /// An ornament has no finger for its second key.
    Ornament, "no finger free for the ornament";
    /// A key repeated fast is struck by the same finger, or by one further from the thumb.
    FastRepeat, "one finger on a fast repeated key";
    /// The player avoids the finger.
    Avoided, "a finger to avoid";
}

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
    /// Fingers that the player avoids.
    pub avoided: [bool; 5],
}

/// Steps from a bound hand to a free one.
pub const BOUND_STEPS: usize = 8;

impl Rules {
    /// How much of the binding rules counts, in hundredths, when the hand is free by so many steps.
    pub fn bound(&self, step: usize) -> Cost {
        100 - step.min(BOUND_STEPS) as Cost * (100 - self.weights.free) / BOUND_STEPS as Cost
    }

    /// A finger on a key, whatever comes before and after. In a chord no finger is weak: the hand carries it.
    pub fn placed(&self, (finger, key): Placed, in_chord: bool, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        match finger {
            0 if key.black => charge(Rule::ThumbOnBlack, w.thumb_black),
            3 if !in_chord => charge(Rule::WeakFinger, w.weak_fourth),
            4 if !in_chord => charge(Rule::WeakFinger, w.weak_fifth),
            _ => {}
        }
        if self.avoided[finger] {
            charge(Rule::Avoided, w.avoided);
        }
    }

    /// A finger on a key while the hand lies at `position`. Thumb and fifth finger open outward more easily than any
    /// finger closes or the middle ones open.
    pub fn reach(&self, (finger, key): Placed, position: TenthMillimetres, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let away = key.place - position - AT_REST[finger];
        let weight = if finger == 0 && away < 0 || finger == 4 && away > 0 { w.reach_open } else { w.reach };
        charge(Rule::Reach, per_semitone(weight, away.abs()));
    }

    /// From one note to the next with the hand bound to both (legato).
    pub fn step(&self, from: Placed, to: Placed, fast: bool, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let ((f1, k1), (f2, k2)) = (from, to);
        if k1.number == k2.number {
            if !fast && f1 != f2 {
                charge(Rule::RepeatChange, w.repeat_change);
            } else if fast && f1 <= f2 {
                charge(Rule::FastRepeat, if f1 == f2 { w.repeat_fast } else { w.repeat_fast / 2 });
            }
            return;
        }
        if k1.black != k2.black {
            match if k1.black { f1 } else { f2 } {
                0 => charge(Rule::ThumbOnBlack, w.thumb_black_white),
                4 => charge(Rule::FifthOnBlack, w.fifth_black_white),
                _ => {}
            }
        }
        let distance = (k2.place - k1.place).abs();
        if f1 == f2 {
            let slides = k1.black && !k2.black && distance < semitones(2);
            charge(Rule::SameFinger, if slides { w.slide } else { w.same_finger });
            return;
        }
        let ((inner, low), (outer, high)) = if f1 < f2 { (from, to) } else { (to, from) };
        let span = high.place - low.place;
        if span > 0 {
            self.open(inner, outer, span, charge);
        } else if inner == 0 {
            let own = if outer == 4 { w.passing_fifth } else { 0 };
            let far = per_semitone(w.passing_far, -span - semitones(2));
            // The thumb on white under a finger on black is the easy case: the finger stands higher.
            let level = if high.black == low.black { w.passing_same_level } else { 0 };
            charge(Rule::ThumbPassing, self.flown(w.passing + own + far + level));
        } else {
            charge(Rule::FingersCrossed, w.crossed);
        }
    }

    /// The three rules of the open hand.
    fn open(&self, inner: usize, outer: usize, span: TenthMillimetres, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let limits = self.spans.between(inner, outer);
        let (small, large) = if inner == 0 { (w.small_span_thumb, w.large_span_thumb) } else { (0, w.large_span) };
        charge(Rule::SmallSpan, per_semitone(small, limits.min_relaxed - span));
        let large = per_semitone(large, span - limits.max_relaxed);
        let stretch = per_semitone(w.stretch, span - limits.max_comfortable);
        if large + stretch > w.leap {
            charge(Rule::Stretch, self.flown(large + stretch));
        } else {
            charge(Rule::LargeSpan, large);
            charge(Rule::Stretch, stretch);
        }
    }

    /// Beyond [`Weights::leap`] the hand lets go and flies, and the distance counts little.
    fn flown(&self, cost: Cost) -> Cost {
        let leap = self.weights.leap;
        if cost > leap { leap + (cost - leap) / 8 } else { cost }
    }

    /// Two neighbouring notes of a chord.
    pub fn chord(&self, low: Placed, high: Placed, charge: &mut impl FnMut(Rule, Cost)) {
        let w = &self.weights;
        let ((inner, k1), (outer, k2)) = (low, high);
        if inner >= outer {
            charge(Rule::Chord, if outer == 0 { w.crossed } else { 2 * w.crossed });
            return;
        }
        self.open(inner, outer, k2.place - k1.place, &mut |_, cost| charge(Rule::Chord, cost));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::player::HandShape;

    #[test]
    fn the_longer_the_rest_the_less_binds_in_even_steps_down_to_what_a_free_hand_keeps() {
        let weights = Weights { free: 20, ..Weights::default() };
        let rules = Rules { weights, spans: Spans::of(&HandShape::default()), avoided: [false; 5] };
        let bound: Vec<Cost> = (0..=BOUND_STEPS + 1).map(|step| rules.bound(step)).collect();
        assert_eq!(bound, [100, 90, 80, 70, 60, 50, 40, 30, 20, 20]);
    }

    #[test]
    fn every_rule_has_words_of_its_own() {
        let words: std::collections::BTreeSet<&str> = Rule::ALL.iter().map(|rule| rule.words()).collect();
        assert_eq!(words.len(), Rule::ALL.len());
    }
}

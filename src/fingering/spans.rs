//! How far two fingers open, for one hand.
//!
//! In: the player's [`HandShape`]. Out: [`Spans`], six limits for each pair of fingers.

use super::keyboard::{TenthMillimetres, semitones};
use crate::player::HandShape;

/// The limits of one pair of fingers, from the finger nearer the thumb to the other, outward positive. A negative
/// minimum says how far the thumb passes under the other finger.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Span {
    /// Smallest without discomfort.
    pub min_comfortable: TenthMillimetres,
    /// Smallest with the hand at rest.
    pub min_relaxed: TenthMillimetres,
    /// Largest with the hand at rest.
    pub max_relaxed: TenthMillimetres,
    /// Largest without discomfort.
    pub max_comfortable: TenthMillimetres,
    /// Largest that can be played legato.
    pub max_practical: TenthMillimetres,
}

/// Limits in semitones: minimum comfortable and relaxed, maximum relaxed, comfortable and practical; for the pairs 1-2,
/// 1-3, 1-4, 1-5, 2-3, 2-4, 2-5, 3-4, 3-5, 4-5.
///
/// Source: Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), Music Perception 14(4), table 1 (right hand; the
/// left is its mirror). Its minimum practical spans are not used: what is below comfort is priced by distance.
const PUBLISHED: [(usize, usize, [i32; 5]); 10] = [
    (0, 1, [-3, 1, 5, 8, 10]),
    (0, 2, [-2, 3, 7, 10, 12]),
    (0, 3, [-1, 5, 9, 12, 14]),
    (0, 4, [1, 7, 11, 13, 15]),
    (1, 2, [1, 1, 2, 3, 5]),
    (1, 3, [1, 3, 4, 5, 7]),
    (1, 4, [2, 5, 6, 8, 10]),
    (2, 3, [1, 1, 2, 2, 4]),
    (2, 4, [1, 3, 4, 5, 7]),
    (3, 4, [1, 1, 2, 3, 5]),
];

/// The limits of every pair of fingers of one hand.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Spans {
    pairs: [[Span; 5]; 5],
}

impl Spans {
    /// The published limits belong to the average adult hand, which is [`HandShape::default`]; a larger or smaller hand
    /// scales the comfortable and the practical maxima (and the relaxed with the comfortable) in proportion. Minima do
    /// not depend on size. A pair limit of the player is the practical maximum of that pair, and the others keep a
    /// semitone below it.
    pub fn of(shape: &HandShape) -> Self {
        let average = HandShape::default();
        let scaled = |value: i32, own: i32, usual: i32| semitones(value) * own.clamp(1, 48) / usual;
        let mut pairs = [[Span::default(); 5]; 5];
        for (inner, outer, [min_comfortable, min_relaxed, relaxed, comfortable, practical]) in PUBLISHED {
            let mut max_practical = scaled(practical, shape.largest_span, average.largest_span);
            let mut max_comfortable = scaled(comfortable, shape.comfortable_span, average.comfortable_span);
            let mut max_relaxed = scaled(relaxed, shape.comfortable_span, average.comfortable_span);
            for limit in &shape.pair_limits {
                if (limit.inner.index().min(limit.outer.index()), limit.inner.index().max(limit.outer.index()))
                    == (inner, outer)
                {
                    max_practical = max_practical.min(semitones(limit.semitones.clamp(0, 48)));
                }
            }
            max_comfortable = max_comfortable.min(max_practical);
            max_relaxed = max_relaxed.min(max_comfortable);
            let min_relaxed = semitones(min_relaxed).min(max_relaxed);
            pairs[inner][outer] = Span {
                min_comfortable: semitones(min_comfortable).min(min_relaxed),
                min_relaxed,
                max_relaxed,
                max_comfortable,
                max_practical,
            };
        }
        Self { pairs }
    }

    /// The limits of two different fingers given by index, the one nearer the thumb first.
    pub fn between(&self, inner: usize, outer: usize) -> &Span {
        &self.pairs[inner][outer]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::player::PairLimit;
    use crate::units::Finger;

    #[test]
    fn the_limits_of_every_pair_are_in_order_for_any_hand() {
        for span in [5, 9, 12, 16] {
            let shape = HandShape { comfortable_span: span, largest_span: span + 2, ..HandShape::default() };
            let spans = Spans::of(&shape);
            for (inner, outer, _) in PUBLISHED {
                let s = spans.between(inner, outer);
                assert!(s.min_comfortable <= s.min_relaxed, "{s:?}");
                assert!(s.max_relaxed <= s.max_comfortable && s.max_comfortable <= s.max_practical, "{s:?}");
            }
        }
    }

    #[test]
    fn a_pair_the_player_must_not_open_is_limited_alone() {
        let limit = PairLimit { inner: Finger::new(4).unwrap(), outer: Finger::new(5).unwrap(), semitones: 2 };
        let spans = Spans::of(&HandShape { pair_limits: vec![limit], ..HandShape::default() });
        assert_eq!(spans.between(3, 4).max_practical, semitones(2));
        assert_eq!(spans.between(2, 3), Spans::of(&HandShape::default()).between(2, 3));
    }
}

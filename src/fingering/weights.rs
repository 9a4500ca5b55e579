//! The weights of the rules: few, round, each with its source. Where one departs from what is published, it was raised or
//! lowered with the sets of docs/fingering.md in view.
//!
//! In: nothing. Out: [`Weights`], whose default is what the program uses; docs/fingering.md shows what each is worth.

use super::costs::Cost;

macro_rules! weights {
    ($($(#[$doc:meta])* $name:ident = $value:expr;)*) => {
        /// What each rule costs, in hundredths of a point of Parncutt et al. (1997).
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
    /// Each semitone that a finger lies away from its place in the position. Chosen by us.
    reach = 100;
    /// The same for thumb and fifth finger outward, which the hand opens for. Chosen by us: two thirds.
    reach_open = 70;
    /// The hand moves. Source: rule 4, one point for a half change.
    position_change = 100;
    /// ... and each semitone it moves. Source: rule 5 has one point; a third here, as every move is seen.
    position_far = 30;
    /// Each semitone beyond the comfortable span. Source: rule 1, two points; halved, for reach counts it as well.
    stretch = 100;
    /// Each semitone beyond the relaxed span of a pair with the thumb. Source: rule 3, one point.
    large_span_thumb = 100;
    /// Each semitone beyond the relaxed span of any other pair. Source: rule 3, two points; halved, for the same reason.
    large_span = 100;
    /// Each semitone short of the relaxed span of a pair with the thumb. Source: rule 2, one point; halved, for the
    /// thumb lies beside the second finger without effort.
    small_span_thumb = 50;
    /// Where a stretch becomes a leap: from here on distance counts an eighth. Chosen by us.
    leap = 1200;
    /// Fourth finger on a note that comes or goes in haste. Source: rule 6, one point; less, for reach counts it where it
    /// is out of its place.
    weak_fourth = 60;
    /// Fifth finger likewise. Source: rule 6, one point; a little more, so that a figure of four keys takes the first four
    /// fingers.
    weak_fifth = 120;
    /// Thumb on a black key. Source: rule 10, one point; two, for the position lets the hand come to it too cheaply.
    thumb_black = 200;
    /// ... and on white the note before or after, each. Source: rule 10, two points; three, for the same reason.
    thumb_black_white = 300;
    /// Fifth finger on black and on white the note before or after, each. Source: rule 11, two points.
    fifth_black_white = 200;
    /// Thumb under a finger or a finger over it. Source: rule 12 has one point; two here, for the moves of the hand cost
    /// less.
    passing = 200;
    /// More, for the fifth finger. Chosen by us.
    passing_fifth = 500;
    /// Each semitone of a passing beyond two. Chosen by us: less than a stretch, for the wrist turns with it.
    passing_far = 60;
    /// More, where both keys have one colour. Source: rule 12, one point.
    passing_same_level = 100;
    /// Fingers crossed without the thumb. Chosen by us: as bad as a leap.
    crossed = 1000;
    /// One finger on two keys in turn: the hand lifts. Chosen by us.
    same_finger = 1200;
    /// One finger slid from a black key to its white neighbour. Chosen by us: half.
    slide = 600;
    /// Another finger on a repeated key, unless it comes fast. Chosen by us.
    repeat_change = 300;
    /// The same finger on a key that is repeated fast; and a finger further from the thumb than the one before, for the
    /// hand closes towards the thumb (Hanon 1873, no. 44: 4-3-2-1, from memory). Chosen by us.
    repeat_fast = 200;
    /// How much more the binding rules count in haste, and how much less at leisure, in hundredths. Chosen by us.
    haste = 20;
    /// A finger that an ornament leaves without a neighbour. Chosen by us.
    ornament = 200;
    /// How much of the binding rules counts from chord to chord, in hundredths: the hand moves as one.
    block = 30;
    /// How much of the reach counts for each finger of a chord, in hundredths.
    chord_reach = 60;
    /// Another finger on a held key. Chosen by us.
    substitution = 600;
    /// A finger other than the handbooks have in a run that is a scale or an arpeggio. Chosen by us: as a passing.
    scale = 200;
    /// The same in a chromatic run, whose alternation of thumb and third finger the spans do not lead to. Chosen by us.
    chromatic = 400;
    /// A finger that does not fit in a run through more than an octave, where the thumb falls on the same keys in every
    /// octave. Chosen by us: half of what a handbook counts.
    octave = 100;
    /// What is left of the binding rules after a rest of half a second, in hundredths. Chosen by us.
    free = 10;
    /// A finger that the player avoids. Chosen by us: above all other reasons, below what is written.
    avoided = 100_000;
}

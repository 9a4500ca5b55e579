//! Travel and leaps.
//!
//! # What it finds
//! How far the hand moves along the keyboard, and how suddenly.
//!
//! # Why it matters
//! Displacement of the hands is among the features of Sébastien, Ralambondrainy, Sébastien and Conruyt (2012, ISMIR,
//! section 3.3) and, as hand displacement rate, of Chiu and Chen (2012, ISM). A leap is hard for its size by the time
//! there is for it.
//!
//! # How it is measured
//! Between strokes the way of the lower or the upper edge of the hand counts, whichever is longer, in mm. Travel is the
//! way a second. Leaps, in metres a second, are the root mean square of the speed over time: the square of the way by the time it has, so
//! that the same way in half the time counts twice, and one leap counts more than its way in steps. A note put on the
//! way can make neither smaller (the inequality of the triangle, and of Cauchy and Schwarz).

use crate::level::demand::Demand;
use crate::level::strokes::{Piece, SHORTEST};
use crate::level::table::Table;
use crate::units::Hand;

/// Width of an octave in mm: seven white keys of 23.5 mm. Common practice, no source; pianos differ by 1 %.
const OCTAVE_MM: f64 = 164.5;

pub(super) fn add(piece: &Piece<'_>, table: &mut Table) {
    for hand in Hand::BOTH {
        let mut before: Option<(f64, f64)> = None;
        for stroke in piece.strokes(hand) {
            let edges = (place_mm(stroke.low), place_mm(stroke.high));
            if let Some((low, high)) = before {
                let way = (edges.0 - low).abs().max((edges.1 - high).abs());
                table.add(stroke.row, hand, Demand::Travel, way);
                let metres = way / 1000.0;
                table.add(stroke.row, hand, Demand::Leaps, metres * metres / stroke.gap.max(SHORTEST));
            }
            before = Some(edges);
        }
    }
}

/// Where a key lies, in mm from the lowest C; a black key between its neighbours.
fn place_mm(key: u8) -> f64 {
    const WHITES: [f64; 12] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0];
    (f64::from(key / 12) * 7.0 + WHITES[usize::from(key % 12)]) * (OCTAVE_MM / 7.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_octave_is_as_wide_everywhere() {
        for key in 0..100 {
            assert!((place_mm(key + 12) - place_mm(key) - OCTAVE_MM).abs() < 1e-9);
        }
    }
}

//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: 0.013_817,
        weights: [
            0.385_354, // speed
            0.277_392, // chords and double notes
            0.401_631, // stretch
            0.031_496, // travel
            0.901_529, // leaps
            0.214_769, // compass
            0.366_474, // voices in one hand
            0.169_364, // awkward crossings
            0.064_667, // independent hands
            0.816_559, // interlocking hands
            0.876_673, // syncopation
            0.294_383, // uneven metre
            0.086_907, // key signature
            0.322_151, // accidentals
            0.255_835, // ledger lines
            0.484_035, // palette
            0.352_874, // ornaments
        ],
        least: [
            0.891_794, // speed
            0.000_000, // chords and double notes
            0.000_000, // stretch
            0.000_000, // travel
            0.000_000, // leaps
            2.019_441, // compass
            0.000_000, // voices in one hand
            0.000_000, // awkward crossings
            0.000_000, // independent hands
            0.000_000, // interlocking hands
            0.000_000, // syncopation
            0.000_000, // uneven metre
            0.000_000, // key signature
            0.000_000, // accidentals
            0.000_000, // ledger lines
            1.845_178, // palette
            0.000_000, // ornaments
        ],
        caps: [
            4.160_924,  // speed
            3.541_048,  // chords and double notes
            2.469_577,  // stretch
            41.655_432, // travel
            1.261_789,  // leaps
            8.110_503,  // compass
            1.769_477,  // voices in one hand
            8.764_881,  // awkward crossings
            4.225_817,  // independent hands
            2.156_487,  // interlocking hands
            1.152_412,  // syncopation
            2.174_890,  // uneven metre
            10.782_532, // key signature
            3.479_153,  // accidentals
            3.792_804,  // ledger lines
            3.983_717,  // palette
            1.645_513,  // ornaments
        ],
        usual_length: (1.824_373, 0.656_654),
        endurance: 0.426_348,
        usual_points: [
            (0.124_312, 0.067_836),  // speed
            (-0.036_822, 0.070_369), // chords and double notes
            (-0.069_957, 0.063_707), // stretch
            (0.174_251, 0.066_700),  // travel
            (0.158_436, 0.064_202),  // leaps
            (0.079_263, 0.076_368),  // compass
            (-0.027_041, 0.039_614), // voices in one hand
            (-0.032_458, 0.048_399), // awkward crossings
            (0.017_235, 0.016_039),  // independent hands
            (-0.070_623, 0.065_235), // interlocking hands
            (-0.036_316, 0.045_114), // syncopation
            (0.022_272, 0.005_516),  // uneven metre
            (-0.050_269, 0.055_878), // key signature
            (0.017_134, 0.076_401),  // accidentals
            (-0.010_805, 0.078_127), // ledger lines
            (0.293_062, 0.055_221),  // palette
            (-0.013_068, 0.010_790), // ornaments
        ],
        likely: 0.350_000,
        likely_part: (0.350_000, 1.450_000),
    };
}

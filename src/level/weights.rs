//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: 0.013_856,
        weights: [
            0.385_336, // speed
            0.277_398, // chords and double notes
            0.401_630, // stretch
            0.031_494, // travel
            0.901_484, // leaps
            0.214_766, // compass
            0.366_481, // voices in one hand
            0.169_409, // awkward crossings
            0.064_656, // independent hands
            0.816_556, // interlocking hands
            0.876_669, // syncopation
            0.294_391, // uneven metre
            0.086_903, // key signature
            0.322_144, // accidentals
            0.255_824, // ledger lines
            0.484_044, // palette
            0.352_867, // ornaments
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
        usual_length: (1.824_352, 0.656_658),
        endurance: 0.426_293,
        usual_points: [
            (0.124_307, 0.067_833),  // speed
            (-0.036_823, 0.070_370), // chords and double notes
            (-0.069_957, 0.063_707), // stretch
            (0.174_241, 0.066_696),  // travel
            (0.158_428, 0.064_199),  // leaps
            (0.079_262, 0.076_367),  // compass
            (-0.027_042, 0.039_615), // voices in one hand
            (-0.032_494, 0.048_422), // awkward crossings
            (0.017_232, 0.016_037),  // independent hands
            (-0.070_623, 0.065_235), // interlocking hands
            (-0.036_316, 0.045_113), // syncopation
            (0.022_273, 0.005_517),  // uneven metre
            (-0.050_267, 0.055_875), // key signature
            (0.017_134, 0.076_400),  // accidentals
            (-0.010_805, 0.078_123), // ledger lines
            (0.293_068, 0.055_222),  // palette
            (-0.013_068, 0.010_789), // ornaments
        ],
        likely: 0.350_000,
        likely_part: (0.350_000, 1.450_000),
    };
}

//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: -0.816_541,
        weights: [
            0.190_631, // speed
            0.217_751, // chords and double notes
            0.323_217, // stretch
            0.022_510, // travel
            0.460_511, // leaps
            0.143_632, // compass
            0.318_187, // voices in one hand
            0.125_869, // awkward crossings
            0.084_230, // fingering
            0.141_333, // hands together
            0.678_189, // interlocking hands
            0.124_746, // subdivision
            0.688_133, // syncopation
            0.453_104, // uneven metre
            0.060_748, // key signature
            0.203_439, // accidentals
            0.195_827, // black keys
            0.203_797, // ledger lines
            0.616_756, // clef changes
            0.340_743, // palette
            0.575_717, // ornaments
        ],
        caps: [
            4.604_947,  // speed
            3.541_048,  // chords and double notes
            2.469_577,  // stretch
            41.655_432, // travel
            1.443_458,  // leaps
            8.110_503,  // compass
            2.404_977,  // voices in one hand
            8.823_236,  // awkward crossings
            9.615_822,  // fingering
            4.911_025,  // hands together
            2.156_487,  // interlocking hands
            5.305_936,  // subdivision
            1.152_412,  // syncopation
            2.174_890,  // uneven metre
            10.782_532, // key signature
            3.479_153,  // accidentals
            4.200_813,  // black keys
            3.792_804,  // ledger lines
            1.107_404,  // clef changes
            3.983_717,  // palette
            1.645_513,  // ornaments
        ],
        usual_length: (1.849_843, 0.647_409),
        endurance: 0.402_569,
        usual_points: [
            (0.242_795, 0.034_345),  // speed
            (-0.028_905, 0.055_239), // chords and double notes
            (-0.056_299, 0.051_269), // stretch
            (0.124_533, 0.047_669),  // travel
            (-0.021_580, 0.035_505), // leaps
            (0.343_066, 0.051_073),  // compass
            (-0.027_435, 0.050_643), // voices in one hand
            (-0.024_533, 0.043_544), // awkward crossings
            (0.028_410, 0.050_899),  // fingering
            (0.129_868, 0.031_379),  // hands together
            (-0.058_656, 0.054_181), // interlocking hands
            (-0.024_762, 0.051_001), // subdivision
            (-0.028_506, 0.035_411), // syncopation
            (0.034_280, 0.008_491),  // uneven metre
            (-0.035_138, 0.039_058), // key signature
            (0.010_820, 0.048_248),  // accidentals
            (0.016_566, 0.057_254),  // black keys
            (-0.008_608, 0.062_235), // ledger lines
            (-0.032_534, 0.034_859), // clef changes
            (0.835_037, 0.038_873),  // palette
            (-0.021_321, 0.017_603), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.650_000),
    };
}

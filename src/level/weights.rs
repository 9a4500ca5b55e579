//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: -0.817_230,
        weights: [
            0.191_758, // speed
            0.220_627, // chords and double notes
            0.325_328, // stretch
            0.022_375, // travel
            0.457_623, // leaps
            0.143_775, // compass
            0.318_218, // voices in one hand
            0.124_420, // awkward crossings
            0.085_122, // fingering
            0.141_611, // hands together
            0.675_740, // interlocking hands
            0.124_622, // subdivision
            0.686_870, // syncopation
            0.457_216, // uneven metre
            0.060_517, // key signature
            0.204_462, // accidentals
            0.196_620, // black keys
            0.203_485, // ledger lines
            0.618_527, // clef changes
            0.340_694, // palette
            0.578_181, // ornaments
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
            9.439_384,  // fingering
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
        usual_length: (1.849_596, 0.647_462),
        endurance: 0.402_512,
        usual_points: [
            (0.244_230, 0.034_548),  // speed
            (-0.029_287, 0.055_969), // chords and double notes
            (-0.056_667, 0.051_604), // stretch
            (0.123_791, 0.047_385),  // travel
            (-0.021_445, 0.035_282), // leaps
            (0.343_406, 0.051_124),  // compass
            (-0.027_437, 0.050_648), // voices in one hand
            (-0.023_559, 0.042_788), // awkward crossings
            (0.027_240, 0.050_424),  // fingering
            (0.130_124, 0.031_441),  // hands together
            (-0.058_444, 0.053_985), // interlocking hands
            (-0.024_738, 0.050_950), // subdivision
            (-0.028_453, 0.035_346), // syncopation
            (0.034_591, 0.008_568),  // uneven metre
            (-0.035_004, 0.038_910), // key signature
            (0.010_875, 0.048_490),  // accidentals
            (0.016_633, 0.057_486),  // black keys
            (-0.008_594, 0.062_140), // ledger lines
            (-0.032_628, 0.034_959), // clef changes
            (0.834_917, 0.038_868),  // palette
            (-0.021_412, 0.017_679), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.650_000),
    };
}

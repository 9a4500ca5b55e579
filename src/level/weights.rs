//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: -0.769_387,
        weights: [
            0.189_908, // speed
            0.206_449, // chords and double notes
            0.296_899, // stretch
            0.022_326, // travel
            0.449_923, // leaps
            0.132_770, // compass
            0.291_779, // voices in one hand
            0.134_075, // awkward crossings
            0.081_532, // fingering
            0.140_906, // hands together
            0.604_244, // interlocking hands
            0.121_237, // subdivision
            0.625_457, // syncopation
            0.434_679, // uneven metre
            0.058_430, // key signature
            0.189_902, // accidentals
            0.193_400, // black keys
            0.187_365, // ledger lines
            0.529_498, // clef changes
            0.333_110, // palette
            0.509_271, // ornaments
        ],
        caps: [
            4.605_280,  // speed
            3.657_408,  // chords and double notes
            2.557_431,  // stretch
            41.761_901, // travel
            1.505_990,  // leaps
            8.355_764,  // compass
            2.582_644,  // voices in one hand
            7.157_262,  // awkward crossings
            9.980_578,  // fingering
            5.001_791,  // hands together
            2.156_779,  // interlocking hands
            5.370_459,  // subdivision
            1.251_568,  // syncopation
            2.234_917,  // uneven metre
            10.851_099, // key signature
            3.563_618,  // accidentals
            4.319_696,  // black keys
            3.879_372,  // ledger lines
            1.178_071,  // clef changes
            3.983_717,  // palette
            1.762_306,  // ornaments
        ],
        usual_length: (1.829_832, 0.649_349),
        endurance: 0.381_717,
        usual_points: [
            (0.244_648, 0.035_318),  // speed
            (-0.029_468, 0.055_348), // chords and double notes
            (-0.055_322, 0.050_172), // stretch
            (0.124_437, 0.049_091),  // travel
            (-0.023_149, 0.036_587), // leaps
            (0.317_783, 0.049_737),  // compass
            (-0.030_606, 0.050_743), // voices in one hand
            (-0.021_961, 0.046_156), // awkward crossings
            (0.026_361, 0.051_832),  // fingering
            (0.130_750, 0.032_512),  // hands together
            (-0.057_062, 0.052_398), // interlocking hands
            (-0.025_344, 0.051_215), // subdivision
            (-0.027_470, 0.034_697), // syncopation
            (0.034_451, 0.008_779),  // uneven metre
            (-0.035_941, 0.039_340), // key signature
            (0.008_178, 0.048_094),  // accidentals
            (0.016_234, 0.059_003),  // black keys
            (-0.009_607, 0.060_740), // ledger lines
            (-0.030_725, 0.032_711), // clef changes
            (0.821_724, 0.039_606),  // palette
            (-0.020_600, 0.016_930), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.650_000),
    };
}

//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: 0.013_905,
        weights: [
            0.382_777, // speed
            0.277_962, // chords and double notes
            0.402_775, // stretch
            0.031_366, // travel
            0.898_350, // leaps
            0.213_697, // compass
            0.367_641, // voices in one hand
            0.167_562, // awkward crossings
            0.071_162, // independent hands
            0.817_370, // interlocking hands
            0.874_886, // syncopation
            0.294_329, // uneven metre
            0.086_670, // key signature
            0.321_436, // accidentals
            0.255_657, // ledger lines
            0.481_213, // palette
            0.352_202, // ornaments
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
            4.280_998,  // independent hands
            2.156_487,  // interlocking hands
            1.152_412,  // syncopation
            2.174_890,  // uneven metre
            10.782_532, // key signature
            3.479_153,  // accidentals
            3.792_804,  // ledger lines
            3.983_717,  // palette
            1.645_513,  // ornaments
        ],
        usual_length: (1.825_075, 0.656_543),
        endurance: 0.426_126,
        usual_points: [
            (0.123_481, 0.067_382),  // speed
            (-0.036_898, 0.070_513), // chords and double notes
            (-0.070_157, 0.063_888), // stretch
            (0.173_529, 0.066_424),  // travel
            (0.157_877, 0.063_976),  // leaps
            (0.078_867, 0.075_987),  // compass
            (-0.027_128, 0.039_741), // voices in one hand
            (-0.032_112, 0.047_884), // awkward crossings
            (0.019_826, 0.018_468),  // independent hands
            (-0.070_694, 0.065_300), // interlocking hands
            (-0.036_242, 0.045_022), // syncopation
            (0.022_268, 0.005_515),  // uneven metre
            (-0.050_132, 0.055_725), // key signature
            (0.017_096, 0.076_232),  // accidentals
            (-0.010_798, 0.078_072), // ledger lines
            (0.291_353, 0.054_899),  // palette
            (-0.013_043, 0.010_769), // ornaments
        ],
        likely: 0.350_000,
        likely_part: (0.350_000, 1.450_000),
    };
}

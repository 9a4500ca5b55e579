//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: 0.111_746,
        weights: [
            0.411_203, // speed
            0.283_358, // chords and double notes
            0.387_033, // stretch
            0.033_028, // travel
            0.954_985, // leaps
            0.205_751, // compass
            0.375_142, // voices in one hand
            0.149_720, // awkward crossings
            0.053_457, // independent hands
            0.841_605, // interlocking hands
            0.819_533, // syncopation
            0.303_664, // uneven metre
            0.083_106, // key signature
            0.323_264, // accidentals
            0.267_970, // ledger lines
            0.463_511, // palette
            0.372_831, // ornaments
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
        usual_length: (1.749_673, 0.656_774),
        endurance: 0.426_504,
        usual_points: [
            (0.132_651, 0.072_386),  // speed
            (-0.037_614, 0.071_882), // chords and double notes
            (-0.067_415, 0.061_391), // stretch
            (0.182_723, 0.069_943),  // travel
            (0.167_831, 0.068_009),  // leaps
            (0.075_934, 0.073_162),  // compass
            (-0.027_681, 0.040_551), // voices in one hand
            (-0.028_693, 0.042_785), // awkward crossings
            (0.014_893, 0.013_873),  // independent hands
            (-0.072_790, 0.067_236), // interlocking hands
            (-0.033_949, 0.042_173), // syncopation
            (0.022_974, 0.005_690),  // uneven metre
            (-0.048_070, 0.053_434), // key signature
            (0.017_193, 0.076_665),  // accidentals
            (-0.011_318, 0.081_833), // ledger lines
            (0.280_635, 0.052_879),  // palette
            (-0.013_807, 0.011_400), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.350_000),
    };
}

//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: 0.111_800,
        weights: [
            0.411_148, // speed
            0.283_594, // chords and double notes
            0.387_627, // stretch
            0.033_059, // travel
            0.955_579, // leaps
            0.205_246, // compass
            0.374_163, // voices in one hand
            0.149_470, // awkward crossings
            0.053_261, // independent hands
            0.841_181, // interlocking hands
            0.817_947, // syncopation
            0.303_722, // uneven metre
            0.083_134, // key signature
            0.322_939, // accidentals
            0.268_610, // ledger lines
            0.463_276, // palette
            0.385_818, // ornaments
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
            1.630_707,  // ornaments
        ],
        usual_length: (1.749_130, 0.656_912),
        endurance: 0.425_882,
        usual_points: [
            (0.132_708, 0.072_326),  // speed
            (-0.037_614, 0.071_920), // chords and double notes
            (-0.067_483, 0.061_461), // stretch
            (0.182_951, 0.069_970),  // travel
            (0.167_986, 0.068_016),  // leaps
            (0.075_755, 0.072_977),  // compass
            (-0.027_604, 0.040_442), // voices in one hand
            (-0.028_633, 0.042_706), // awkward crossings
            (0.014_847, 0.013_816),  // independent hands
            (-0.072_753, 0.067_202), // interlocking hands
            (-0.033_883, 0.042_092), // syncopation
            (0.022_978, 0.005_691),  // uneven metre
            (-0.048_054, 0.053_429), // key signature
            (0.017_188, 0.076_580),  // accidentals
            (-0.011_312, 0.082_005), // ledger lines
            (0.280_493, 0.052_853),  // palette
            (-0.014_258, 0.011_776), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.350_000),
    };
}

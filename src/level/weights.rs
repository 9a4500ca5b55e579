//! The weights of the level. Written by `cargo run --release --example fit_level -- --write` from
//! `data/measurements.csv`; do not edit.

use super::model::Model;

impl Model {
    /// The weights that the program ships with.
    pub const SHIPPED: Self = Self {
        base: -0.864_242,
        weights: [
            0.188_827, // speed
            0.224_770, // chords and double notes
            0.328_965, // stretch
            0.022_112, // travel
            0.445_204, // leaps
            0.149_241, // compass
            0.311_369, // voices in one hand
            0.122_245, // awkward crossings
            0.088_848, // fingering
            0.138_992, // hands together
            0.680_066, // interlocking hands
            0.122_692, // subdivision
            0.700_270, // syncopation
            0.465_321, // uneven metre
            0.059_834, // key signature
            0.208_556, // accidentals
            0.198_980, // black keys
            0.203_173, // ledger lines
            0.616_960, // clef changes
            0.353_716, // palette
            0.592_854, // ornaments
        ],
        caps: [
            4.604_947,  // speed
            3.541_048,  // chords and double notes
            2.469_577,  // stretch
            41.655_432, // travel
            1.443_458,  // leaps
            8.110_503,  // compass
            2.404_977,  // voices in one hand
            8.742_685,  // awkward crossings
            9.567_742,  // fingering
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
        usual_length: (1.846_580, 0.648_352),
        endurance: 0.399_166,
        usual_points: [
            (0.240_497, 0.034_020),  // speed
            (-0.029_837, 0.057_019), // chords and double notes
            (-0.057_300, 0.052_180), // stretch
            (0.122_334, 0.046_827),  // travel
            (-0.020_863, 0.034_325), // leaps
            (0.356_463, 0.053_068),  // compass
            (-0.026_847, 0.049_558), // voices in one hand
            (-0.028_499, 0.038_478), // awkward crossings
            (0.040_575, 0.050_749),  // fingering
            (0.127_717, 0.030_859),  // hands together
            (-0.058_818, 0.054_331), // interlocking hands
            (-0.024_354, 0.050_161), // subdivision
            (-0.029_008, 0.036_036), // syncopation
            (0.035_204, 0.008_720),  // uneven metre
            (-0.034_609, 0.038_471), // key signature
            (0.011_092, 0.049_461),  // accidentals
            (0.016_832, 0.058_176),  // black keys
            (-0.008_581, 0.062_045), // ledger lines
            (-0.032_545, 0.034_871), // clef changes
            (0.866_828, 0.040_353),  // palette
            (-0.021_955, 0.018_127), // ornaments
        ],
        likely: 0.450_000,
        likely_part: (0.450_000, 1.550_000),
    };
}

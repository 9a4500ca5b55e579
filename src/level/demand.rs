//! The demands that are measured, their names and units.

use serde::Serialize;

macro_rules! demands {
    ($($variant:ident, $name:literal, $unit:literal, $pool:ident;)*) => {
        /// One thing that music asks of the player.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
        #[allow(missing_docs)]
        pub enum Demand { $($variant),* }

        impl Demand {
            /// All of them, in the order of the table of measurements.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];
            /// How many.
            pub const COUNT: usize = Self::ALL.len();

            /// A teacher's word for it.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name),* }
            }

            /// Its name in the table of measurements.
            pub fn id(self) -> String {
                self.name().replace(' ', "_")
            }

            /// Unit of its value.
            pub fn unit(self) -> &'static str {
                match self { $(Self::$variant => $unit),* }
            }

            /// How the hands are put together.
            pub(super) fn pool(self) -> Pool {
                match self { $(Self::$variant => Pool::$pool),* }
            }
        }
    };
}

/// How the two hands' values make one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Pool {
    /// The busier hand, and half of the other.
    Busier,
    /// Of the two together; kept with the right hand.
    Joint,
    /// Their sum.
    Sum,
    /// As `Busier`; the sums are of squares over time, and the value is the root of their mean.
    Power,
    /// Different keys of each hand, counted in the window.
    Keys,
    /// Different notes of the twelve in both hands, counted in the window.
    Palette,
}

demands! {
    Speed, "speed", "strokes/s", Power;
    Chords, "chords and double notes", "extra notes/s", Busier;
    Stretch, "stretch", "octaves/s", Busier;
    Travel, "travel", "mm/s", Busier;
    Leaps, "leaps", "m/s", Power;
    Compass, "compass", "keys", Keys;
    Voices, "voices in one hand", "held notes/s", Busier;
    Crossings, "awkward crossings", "points/s", Busier;
    Independence, "independent hands", "strokes/s", Joint;
    Interlock, "interlocking hands", "strokes/s", Joint;
    Syncopation, "syncopation", "strokes/s", Joint;
    Metre, "uneven metre", "strokes/s", Joint;
    Signature, "key signature", "signs/s", Sum;
    Accidentals, "accidentals", "signs/s", Sum;
    Ledgers, "ledger lines", "lines/s", Sum;
    Palette, "palette", "notes of twelve", Palette;
    Ornaments, "ornaments", "signs/s", Sum;
}

//! The scales a pianist practises: names, spelling, textbook fingering, and what each asks of the hands.

mod awkwardness;
mod crossings;
mod key;
mod note_name;
mod overview;
mod parse;
mod scale;
mod textbook;
mod words;

pub use awkwardness::{Awkwardness, awkwardness};
pub use crossings::{ScaleCrossing, ScaleLine, crossings_of, scale_lines};
pub use key::Key;
pub use note_name::NoteName;
pub use overview::{RankedCrossing, ScaleReport, ScaleRun};
pub use parse::NameError;
pub use scale::{Form, Scale};
pub use textbook::{accepted_fingerings, arpeggio_fingerings, fingers_by_key, textbook_fingering};
pub use words::{finger_name, interval_name, other_fingerings, way};

//! Sheets to practise from, as MusicXML 4.0 for any notation program.
//!
//! In: what to drill. Out: a [`Sheet`] of exercises, and its text. A sheet is made in three steps:
//! `compose` decides what is played (of which `figure`, in which `rhythm`), `staff` how it looks (`clefs`, and in
//! `layout` accidentals and beams), and `write` puts it into elements (each `note` with the help of `xml`), which `packed` makes small.

mod clefs;
mod compose;
mod figure;
mod layout;
mod model;
mod note;
mod packed;
mod rhythm;
mod staff;
mod write;
mod xml;

pub use compose::{Assignment, compose, plain_run};
pub use figure::Figure;
pub use model::{Exercise, Nuance, Sheet, Tone, Value, ValueKind};
pub use packed::{compress, data_address};
pub use write::write;

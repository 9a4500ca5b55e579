//! Sheets to practise from, as MusicXML 4.0 for any notation program.
//!
//! In: what to drill. Out: a [`Sheet`] of exercises, and its text. A sheet is made in three steps, each a file or two:
//! `compose` decides what is played (runs, loops, rhythms), `clefs` and `layout` how it looks on the staves, and `write`
//! puts it into elements.

mod clefs;
mod compose;
mod layout;
mod model;
mod write;
mod xml;

pub use compose::{Material, Plan, compose, plain_run};
pub use model::{Exercise, Nuance, Sheet, Tone, Value, ValueKind};
pub use write::write;

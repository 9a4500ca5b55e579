//! The scales a pianist practises: names, spelling, textbook fingering, and what each asks of the hands.

mod key;
mod note_name;
mod parse;
mod scale;

pub use key::Key;
pub use note_name::NoteName;
pub use parse::NameError;
pub use scale::{Form, Scale};

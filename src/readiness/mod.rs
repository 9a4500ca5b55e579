//! Is this piece ready for this player?

pub mod cover;

//! A shelf as text, CSV, JSON and a page.
//!
//! In: a [`crate::shelf::Shelf`]. Out: a string. Nothing is decided here.

pub mod csv;
pub mod html;
pub mod json;
pub mod text;
pub(in crate::report) mod view;

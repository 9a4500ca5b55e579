//! A plan as text, CSV, JSON, a picture and a page.
//!
//! In: a [`crate::plan::Plan`] and the shelf that it is about. Out: a string. Nothing is decided here.

pub mod csv;
pub mod html;
pub mod json;
pub mod svg;
pub mod text;
mod view;

use crate::plan::Plan;
use crate::shelf::Entry;

/// What is reported: the plan, the shelf that its pieces are indices into, and whose plan it is.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The shelf.
    pub shelf: &'a [Entry],
    /// For the heading.
    pub learner: Option<&'a str>,
}

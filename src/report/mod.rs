//! Reports: what was found out, as text, JSON, CSV or a page.
//!
//! In: an [`Analysis`](crate::analysis::Analysis). Out: a string, the same for the same analysis. Nothing is decided
//! here; a report only chooses what to show and in which words.

pub(crate) mod drill_words;
pub mod excerpts;
pub mod html;
pub mod json;
pub mod level_terms;
pub mod level_words;
pub mod notes_csv;
mod page;
pub mod plan;
pub mod sheet;
pub mod shelf;
pub mod text;
pub mod view;

//! Reports: what was found out, as text, JSON, CSV or a page.

pub mod notes_csv;

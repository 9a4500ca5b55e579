//! Tests of the whole program and of the library from outside, in one binary.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that panics has failed, as it should")]
#![allow(clippy::disallowed_methods, reason = "tests read fixtures and write to temporary folders")]

mod catalogue_levels;
mod cli;
mod edition_facts;
mod engraving;
mod faults;
mod handbook;
mod hostile;
mod house;
mod level_fit;
mod onslaught;
mod page;
mod pieces;
mod pipeline_facts;
mod planted;
mod played;
mod reading;
mod reading_data;
mod readme;
mod reports;
mod run;
mod scale_facts;
mod sheets;
mod shelves;

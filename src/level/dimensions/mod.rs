//! One dimension of difficulty a file: what is measured, in which unit, why it is hard, and where that is said.
//!
//! Each adds to the rows of the [`Table`], and only ever adds.

mod compass;
mod crossings;
mod ornaments;
mod reading;
mod rhythm;
mod speed;
mod stretch;
mod together;
mod travel;
mod voices;

pub(crate) use reading::most_ledger_lines;

use super::strokes::Piece;
use super::table::Table;

/// Adds every dimension to the table.
pub(super) fn add_all(piece: &Piece<'_>, table: &mut Table) {
    speed::add(piece, table);
    stretch::add(piece, table);
    travel::add(piece, table);
    compass::add(piece, table);
    voices::add(piece, table);
    crossings::add(piece, table);
    together::add(piece, table);
    rhythm::add(piece, table);
    reading::add(piece, table);
    ornaments::add(piece, table);
}

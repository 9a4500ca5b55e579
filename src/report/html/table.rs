//! A table that becomes a list of cards on a narrow screen.
//!
//! The cards need the name of the column beside each value, and the roles keep the table a table for a screen reader
//! when its style is another.

use maud::{Markup, html};

/// A column: its name, and whether its values are numbers.
pub type Column = (&'static str, bool);

/// A row: an id to link to, and a cell for every column; the first names the row.
pub struct Row {
    /// Where links lead.
    pub id: Option<String>,
    /// What is in it.
    pub cells: Vec<Markup>,
}

/// Renders the table.
pub fn table(columns: &[Column], rows: &[Row]) -> Markup {
    html! {
        table role="table" {
            thead role="rowgroup" { tr role="row" {
                @for (name, number) in columns { th.n[*number] role="columnheader" scope="col" { (name) } }
            } }
            tbody role="rowgroup" { @for row in rows { tr role="row" id=[&row.id] {
                @for (index, (cell, (name, number))) in row.cells.iter().zip(columns).enumerate() {
                    @if index == 0 {
                        th.n[*number] role="rowheader" scope="row" data-label=(name) { (cell) }
                    } @else {
                        td.n[*number] role="cell" data-label=(name) { (cell) }
                    }
                }
            } } }
        }
    }
}

//! `notes`: the notes of a score with their hands and fingers, as CSV.

use thumbunder::report::notes_csv;

use super::args::NotesArgs;
use super::assess::analyse_file;
use super::exit::{Fault, Outcome};
use super::files::Output;
use super::screen::Screen;

/// Writes one row for each note.
pub fn run(typed: &NotesArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    match analyse_file(&typed.score, &typed.reading.options()) {
        Ok(analysis) => {
            let (right, left) = (&analysis.right.fingering, &analysis.left.fingering);
            let rows = notes_csv::render(&analysis.score, &analysis.hands, Some(right), Some(left));
            output.write(rows.as_bytes())?;
            Ok(Outcome::AllReported)
        }
        Err(fault) => {
            screen.fault(Some(typed.score.as_os_str()), &fault);
            Ok(Outcome::SomeFailed)
        }
    }
}

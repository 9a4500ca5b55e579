//! `assess`: one report for each score, the faults of the others on standard error.

use std::path::Path;

use thumbunder::analysis::{Analysis, analyse};
use thumbunder::report::{html, json, text};
use thumbunder::{Error, Options};

use super::args::{AssessArgs, Format};
use super::exit::{Fault, Outcome};
use super::files::{self, Output};
use super::screen::Screen;

/// Reports on every score that can be read.
pub fn run(typed: &AssessArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let options = typed.reading.options();
    if typed.format == Format::Html && typed.scores.len() > 1 {
        return Err(Fault::usage("a page shows one score, but several were given").hint("make one page for each"));
    }
    let mut outcome = Outcome::AllReported;
    let mut read = Vec::new();
    for path in &typed.scores {
        match analyse_file(path, &options) {
            Ok(analysis) => read.push((analysis, path.to_string_lossy())),
            Err(fault) => {
                screen.fault(Some(path.as_os_str()), &fault);
                outcome = outcome.and(Outcome::SomeFailed);
            }
        }
    }
    if read.is_empty() {
        return Ok(outcome);
    }
    let report = match typed.format {
        Format::Text => {
            let style = screen.style(&output);
            let pages = read.iter().map(|(analysis, file)| text::render(analysis, file, style));
            pages.collect::<Vec<_>>().join(&format!("\n{}\n\n", "─".repeat(style.columns)))
        }
        Format::Html => read.iter().map(|(analysis, file)| html::render(analysis, file)).collect(),
        Format::Json => match (&typed.scores[..], &read[..]) {
            ([_], [(analysis, file)]) => json::render(analysis, file),
            _ => json::render_all(read.iter().map(|(analysis, file)| (analysis, file.as_ref()))),
        }
        .map(|json| json + "\n")
        .map_err(|error| super::json_fault(&error))?,
    };
    output.write(report.as_bytes())?;
    Ok(outcome)
}

/// Reads and analyses one file.
pub fn analyse_file(path: &Path, options: &Options) -> Result<Analysis, Fault> {
    let bytes = files::read(path, options.limits.xml_bytes)?;
    analyse(&bytes, options).map_err(|error| fault(&error))
}

/// What a fault of the library means to the person, with a remedy where there is one.
fn fault(error: &Error) -> Fault {
    let fault = Fault::failed(error.to_string());
    match error {
        Error::Strict(_) => fault.hint("run without `--strict` to mend it and go on"),
        Error::NotMusicXml(_) => fault.hint("export the score as MusicXML from the program it was written with"),
        Error::Xml { .. } | Error::Archive(_) => fault.hint("the file may have been cut off; export it again"),
        _ => fault,
    }
}

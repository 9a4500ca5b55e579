//! `assess`: one report for each score, the faults of the others on standard error.

use std::path::Path;
use std::sync::Arc;

use thumbunder::analysis::{Analysis, analyse};
use thumbunder::learner::Learner;
use thumbunder::readiness::{Ability, Fit};
use thumbunder::report::html::Pictures;
use thumbunder::report::{html, json, text};
use thumbunder::summary::summarise;
use thumbunder::{Error, Options};

use super::args::{AssessArgs, Format};
use super::cache::Cache;
use super::engraving;
use super::exit::{Fault, Outcome};
use super::files::{self, Output};
use super::guard::within;
use super::learner;
use super::screen::Screen;

/// Reports on every score that can be read.
pub fn run(typed: &AssessArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let options = typed.reading.options();
    if typed.format == Format::Html && typed.scores.len() > 1 {
        return Err(Fault::usage("a page shows one score, but several were given").hint("make one page for each"));
    }
    let learner = match &typed.learner {
        None => None,
        Some(path) => match learner::load(path, &options.limits, &Cache::none(), screen)? {
            Some(loaded) => Some((loaded.ability(), loaded.learner)),
            None => return Ok(Outcome::SomeFailed),
        },
    };
    let mut outcome = Outcome::AllReported;
    let mut read = Vec::new();
    for path in &typed.scores {
        match assess(path, typed.format, &options, learner.as_ref(), screen) {
            Ok(assessed) => read.push(assessed),
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
            let pages = read.iter().map(|a| text::render(&a.analysis, &a.file, a.fit.as_ref(), style));
            pages.collect::<Vec<_>>().join(&format!("\n{}\n\n", "─".repeat(style.columns)))
        }
        Format::Html => read.iter().map(|a| html::render(&a.analysis, &a.file, a.fit.as_ref(), &a.pictures)).collect(),
        Format::Json => match (&typed.scores[..], &read[..]) {
            ([_], [a]) => json::render(&a.analysis, &a.file, a.fit.as_ref()),
            _ => json::render_all(read.iter().map(|a| (&a.analysis, a.file.as_str(), a.fit.as_ref()))),
        }
        .map(|json| json + "\n")
        .map_err(|error| super::json_fault(&error))?,
    };
    output.write(report.as_bytes())?;
    Ok(outcome)
}

/// One score, ready to be reported.
struct Assessed {
    analysis: Analysis,
    file: String,
    fit: Option<Fit>,
    pictures: Pictures,
}

fn assess(
    path: &Path,
    format: Format,
    options: &Options,
    learner: Option<&(Ability, Learner)>,
    screen: Screen,
) -> Result<Assessed, Fault> {
    let bytes = read_file(path, options)?;
    let (analysis, fit) = match learner {
        None => (analyse_bytes(Arc::clone(&bytes), options)?, None),
        Some((ability, learner)) => {
            let (analysis, fit) = fit(Arc::clone(&bytes), options, learner, ability)?;
            (analysis, Some(fit))
        }
    };
    let tell = |fault: &Fault| screen.fault(Some(path.as_os_str()), fault);
    let pictures = match format {
        Format::Html => engraving::pictures(&analysis, &bytes, &options.limits, tell),
        Format::Text | Format::Json => Pictures::default(),
    };
    Ok(Assessed { analysis, file: path.to_string_lossy().into_owned(), fit, pictures })
}

/// Reads and analyses one file.
pub fn analyse_file(path: &Path, options: &Options) -> Result<Analysis, Fault> {
    analyse_bytes(read_file(path, options)?, options)
}

fn read_file(path: &Path, options: &Options) -> Result<Arc<Vec<u8>>, Fault> {
    files::read(path, options.limits.xml_bytes).map(Arc::new)
}

/// Analyses within the limit of time.
fn analyse_bytes(bytes: Arc<Vec<u8>>, options: &Options) -> Result<Analysis, Fault> {
    let own = options.clone();
    within(options.limits.seconds, move || analyse(&bytes, &own))?.map_err(|error| fault(&error))
}

/// The piece under the learner's own hands, and whether it is ready for them. Readiness is judged as on a shelf, from the
/// piece under an average hand, so that a smaller span can never make a piece look easier by changing its fingering.
fn fit(bytes: Arc<Vec<u8>>, options: &Options, learner: &Learner, ability: &Ability) -> Result<(Analysis, Fit), Fault> {
    let options = &Options { known_scales: learner.known_scales(), ..options.clone() };
    let average = analyse_bytes(bytes.clone(), options)?;
    let fit = Fit::new(&summarise(&average), learner, ability);
    let player = learner.player();
    if player == options.player {
        return Ok((average, fit));
    }
    Ok((analyse_bytes(bytes, &Options { player, ..options.clone() })?, fit))
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

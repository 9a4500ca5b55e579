//! `shelf`: every score of some folders in one table.

use thumbunder::report::shelf as report;
use thumbunder::shelf::{Entry, Shelf, arrange};

use super::cache::Cache;
use super::exit::{Fault, Outcome};
use super::files::Output;
use super::gather::{Gathered, gather};
use super::learner::{self, Loaded};
use super::screen::Screen;
use super::shelf_args::{GatherArgs, ShelfArgs, ShelfFormat};

/// Reports on the shelf.
pub fn run(typed: &ShelfArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    if typed.query.asks_for_readiness() && typed.learner.is_none() {
        return Err(Fault::usage("readiness needs a player").hint("add `--learner FILE`; `learner new` writes one"));
    }
    let learner = match &typed.learner {
        None => None,
        Some(path) => match load(path, &typed.gather, screen)? {
            Some(loaded) => Some(loaded),
            None => return Ok(Outcome::SomeFailed),
        },
    };
    let gathered = gather(&typed.gather)?;
    let outcome = outcome(&gathered);
    let Gathered { pieces, broken } = gathered;
    let learner = learner.map(|mut loaded| {
        loaded.find_on(&pieces);
        (loaded.learner.name.clone(), loaded.ability())
    });
    let ability = learner.as_ref().map(|(_, ability)| ability);
    let entries: Vec<Entry> = pieces.into_iter().map(|(file, piece)| Entry::new(file, piece, ability)).collect();
    let query = typed.query.query();
    let shelf = arrange(
        entries,
        broken,
        &query,
        learner.as_ref().map(|(name, a)| (name.clone(), a)),
        usize::from(typed.scales),
    );
    output.write(render(&shelf, typed.format, screen, &output)?.as_bytes())?;
    Ok(outcome)
}

fn render(shelf: &Shelf, format: ShelfFormat, screen: Screen, output: &Output) -> Result<String, Fault> {
    match format {
        ShelfFormat::Text => Ok(report::text::render(shelf, screen.style(output))),
        ShelfFormat::Csv => report::csv::render(shelf).map_err(|error| super::csv_fault(&error)),
        ShelfFormat::Json => {
            report::json::render(shelf).map(|json| json + "\n").map_err(|error| super::json_fault(&error))
        }
        ShelfFormat::Html => Ok(report::html::render(shelf)),
    }
}

/// The learner of a command over folders; its scores share the cache of the shelf.
pub fn load(path: &std::path::Path, typed: &GatherArgs, screen: Screen) -> Result<Option<Loaded>, Fault> {
    let limits = typed.limits.limits();
    let cache = if typed.no_cache { Cache::none() } else { Cache::open(typed.cache.as_deref(), &limits) };
    learner::load(path, &limits, &cache, screen)
}

/// Whether every score could be read.
pub fn outcome(gathered: &Gathered) -> Outcome {
    if gathered.broken.is_empty() { Outcome::AllReported } else { Outcome::SomeFailed }
}

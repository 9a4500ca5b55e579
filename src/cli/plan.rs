//! `plan`: a series of lessons from a shelf.

use thumbunder::plan::{PlanError, PlanOptions, make_plan};
use thumbunder::report::plan::{self as report, Told};
use thumbunder::shelf::Entry;

use super::exit::{Fault, Outcome};
use super::files::Output;
use super::gather::{Gathered, gather};
use super::screen::Screen;
use super::shelf::{load, outcome};
use super::shelf_args::{PlanArgs, PlanFormat};

/// Makes the plan.
pub fn run(typed: &PlanArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let Some(mut loaded) = load(&typed.learner, &typed.gather, screen)? else {
        return Ok(Outcome::SomeFailed);
    };
    let gathered = gather(&typed.gather)?;
    let outcome = outcome(&gathered);
    let Gathered { pieces, broken } = gathered;
    for broken in broken {
        screen.fault(Some(broken.file.as_ref()), &Fault::failed(broken.reason));
    }
    loaded.find_on(&pieces);
    let ability = loaded.ability();
    let shelf: Vec<Entry> = pieces.into_iter().map(|(file, piece)| Entry::new(file, piece, Some(&ability))).collect();
    let options = PlanOptions {
        scales_a_lesson: usize::from(typed.scales),
        lessons: usize::from(typed.lessons),
        alternatives: usize::from(typed.alternatives),
        goal: typed.goal.clone(),
    };
    let plan = make_plan(&shelf, &loaded.learner, &ability, &options).map_err(|error| match error {
        PlanError::EmptyShelf => Fault::failed(error.to_string()).hint("name a folder with scores"),
        PlanError::NoSuchGoal(_) => Fault::usage(error.to_string()).hint("name its file or its title"),
        PlanError::GoalUnreachable(_) => Fault::failed(error.to_string()).hint("add pieces in between to the shelf"),
    })?;
    let told = Told { plan: &plan, shelf: &shelf, learner: loaded.learner.name.as_deref() };
    let text = match typed.format {
        PlanFormat::Text => report::text::render(&told, screen.style(&output)),
        PlanFormat::Csv => report::csv::render(&told).map_err(|error| super::csv_fault(&error))?,
        PlanFormat::Json => report::json::render(&told).map_err(|error| super::json_fault(&error))? + "\n",
        PlanFormat::Svg => report::svg::render(&told),
        PlanFormat::Html => report::html::render(&told),
    };
    output.write(text.as_bytes())?;
    Ok(outcome)
}

//! `drill`: a sheet to practise from.

use std::path::Path;

use thumbunder::Options;
use thumbunder::report::sheet::practice_sheet;
use thumbunder::scales::{Form, Key, NameError, Scale};
use thumbunder::sheets::{Assignment, Figure, Sheet, compose, write};

use super::args::DrillArgs;
use super::assess::analyse_file;
use super::exit::{Fault, Outcome};
use super::files::Output;
use super::screen::Screen;

/// Writes the sheet that was asked for.
pub fn run(typed: &DrillArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let sheet = match &typed.score {
        None => named(typed)?,
        Some(score) => match of_score(typed, score) {
            Ok(sheet) => sheet,
            Err(fault) => {
                screen.fault(Some(score.as_os_str()), &fault);
                return Ok(Outcome::SomeFailed);
            }
        },
    };
    super::engraving::write_sheet(&output, &sheet.title, &write(&sheet))?;
    Ok(Outcome::AllReported)
}

/// What a score asks for.
fn of_score(typed: &DrillArgs, score: &Path) -> Result<Sheet, Fault> {
    let options = Options { quarter_bpm: typed.tempo, ..Options::default() };
    let analysis = analyse_file(score, &options)?;
    let sheet = practice_sheet(&analysis, typed.hand.hands(), typed.octaves, typed.brief);
    if sheet.exercises.is_empty() {
        return Err(Fault::failed("asks for no scale first and breaks no chord that could be drilled")
            .hint("name scales with `--scale`, or see what `assess` finds"));
    }
    Ok(sheet)
}

/// What was named.
fn named(typed: &DrillArgs) -> Result<Sheet, Fault> {
    let assignments: Vec<Assignment> = figures(typed)
        .map_err(|error| Fault::usage(error.to_string()))?
        .into_iter()
        .map(|figure| {
            let assignment = Assignment::new(figure, typed.octaves.unwrap_or(2));
            let notes_per_second = typed.tempo.map(|bpm| assignment.notes_per_second_at(bpm));
            Assignment { hands: typed.hand.hands().to_vec(), notes_per_second, variants: !typed.brief, ..assignment }
        })
        .collect();
    let title = match &assignments[..] {
        [assignment] => assignment.figure.name(),
        _ => "Scales and chords".to_owned(),
    };
    Ok(Sheet { title, exercises: assignments.iter().flat_map(compose).collect() })
}

/// What was named, scales first.
fn figures(typed: &DrillArgs) -> Result<Vec<Figure>, NameError> {
    let form = typed.form.as_deref().map(Form::parse).transpose()?;
    let scales = typed.scales.iter().map(|name| Scale::parse(name, form).map(Figure::Scale));
    let arpeggios = typed.arpeggios.iter().map(|name| Key::parse(name).map(Figure::Arpeggio));
    let broken_chords = typed.broken_chords.iter().map(|name| Key::parse(name).map(Figure::BrokenChord));
    scales.chain(arpeggios).chain(broken_chords).collect()
}

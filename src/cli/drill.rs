//! `drill`: a sheet to practise from.

use thumbunder::scales::{Form, Key, NameError, Scale};
use thumbunder::sheets::{Assignment, Figure, Sheet, compose, write};

use super::args::DrillArgs;
use super::exit::{Fault, Outcome};
use super::files::Output;

/// Writes the sheet that was asked for.
pub fn run(typed: &DrillArgs) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let assignments: Vec<Assignment> = figures(typed)
        .map_err(|error| Fault::usage(error.to_string()))?
        .into_iter()
        .map(|figure| {
            let assignment = Assignment::new(figure, typed.octaves);
            let notes_per_second = typed.tempo.map(|bpm| assignment.notes_per_second_at(bpm));
            Assignment { hands: typed.hand.hands().to_vec(), notes_per_second, variants: !typed.brief, ..assignment }
        })
        .collect();
    let title = match &assignments[..] {
        [assignment] => assignment.figure.name(),
        _ => "Scales and chords".to_owned(),
    };
    let sheet = Sheet { title, subtitle: None, exercises: assignments.iter().flat_map(compose).collect() };
    super::engraving::write_sheet(&output, &sheet.title, &write(&sheet))?;
    Ok(Outcome::AllReported)
}

/// What was named, scales first.
fn figures(typed: &DrillArgs) -> Result<Vec<Figure>, NameError> {
    let form = typed.form.as_deref().map(Form::parse).transpose()?;
    let scales = typed.scales.iter().map(|name| Scale::parse(name, form).map(Figure::Scale));
    let arpeggios = typed.arpeggios.iter().map(|name| Key::parse(name).map(Figure::Arpeggio));
    let broken_chords = typed.broken_chords.iter().map(|name| Key::parse(name).map(Figure::BrokenChord));
    scales.chain(arpeggios).chain(broken_chords).collect()
}

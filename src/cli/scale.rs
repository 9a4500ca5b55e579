//! `scale`: one scale with its fingering and crossings.

use thumbunder::report::{json, text};
use thumbunder::scales::{Form, NameError, Scale, ScaleReport};

use super::args::{ScaleArgs, TextOrJson};
use super::exit::{Fault, Outcome};
use super::files::Output;
use super::screen::Screen;

/// Prints the scale that was typed.
pub fn run(typed: &ScaleArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let wrong = |error: NameError| Fault::usage(error.to_string());
    let form = typed.form.as_deref().map(Form::parse).transpose().map_err(wrong)?;
    let scale = Scale::parse(&typed.key.join(" "), form).map_err(wrong)?;
    let report = ScaleReport::new(scale, typed.octaves, typed.hand.hands());
    let written = match typed.format {
        TextOrJson::Text => text::render_scale(&report, screen.style(&output)),
        TextOrJson::Json => {
            json::render_scale(&report).map(|json| json + "\n").map_err(|error| super::json_fault(&error))?
        }
    };
    output.write(written.as_bytes())?;
    Ok(Outcome::AllReported)
}

//! `fingering`: the fingers of a passage and what each rule cost, so that a teacher can disagree with a reason.

use thumbunder::error::Remarks;
use thumbunder::excerpt::Excerpt;
use thumbunder::fingering::{Settings, explain_fingering};
use thumbunder::report::{json, text};

use super::args::{FingeringArgs, TextOrJson};
use super::assess::analyse_file;
use super::cache::Cache;
use super::exit::{Fault, Outcome};
use super::files::Output;
use super::learner;
use super::screen::Screen;

/// Explains the fingering of one score or of some of its measures, which are fingered as in the whole.
pub fn run(typed: &FingeringArgs, screen: Screen) -> Result<Outcome, Fault> {
    let output = Output::new(typed.output.as_deref())?;
    let mut options = typed.reading.options();
    let measures = options.measures.take();
    if let Some(path) = &typed.learner {
        match learner::load(path, &options.limits, &Cache::none(), screen)? {
            Some(loaded) => options.player = loaded.learner.player(),
            None => return Ok(Outcome::SomeFailed),
        }
    }
    let read = analyse_file(&typed.score, &options).and_then(|analysis| {
        let asked = measures.as_ref().map(|(from, to)| {
            Excerpt::find(&analysis.score, from, to, &mut Remarks::default())
                .map(|excerpt| excerpt.first..=excerpt.first + excerpt.count - 1)
                .map_err(|error| Fault::failed(error.to_string()))
        });
        let range = asked.transpose()?.unwrap_or(0..=analysis.score.measures.len());
        Ok((analysis, range))
    });
    let (analysis, range) = match read {
        Ok(read) => read,
        Err(fault) => {
            screen.fault(Some(typed.score.as_os_str()), &fault);
            return Ok(Outcome::SomeFailed);
        }
    };
    let explain = |hand| {
        let (score, line) = (&analysis.score, analysis.line(hand));
        let settings = Settings::default();
        explain_fingering(score, line, &analysis.keys, &analysis.tempo, &options.player, &settings, range.clone())
    };
    let costs: Vec<_> = typed.hand.hands().iter().map(|hand| (*hand, explain(*hand))).collect();
    let written = match typed.format {
        TextOrJson::Text => text::render_fingering(&analysis, &costs, screen.style(&output)),
        TextOrJson::Json => json::render_fingering(&analysis, &costs)
            .map(|json| json + "\n")
            .map_err(|error| super::json_fault(&error))?,
    };
    output.write(written.as_bytes())?;
    Ok(Outcome::AllReported)
}

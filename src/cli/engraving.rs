//! What is engraved, where the program has an engraver: sheets as SVG or PDF, and the pictures of the page.
//!
//! In: MusicXML. Out: a file in the form that its name asks for, and the [`Pictures`] of a report.

use thumbunder::Limits;
use thumbunder::analysis::Analysis;
use thumbunder::report::html::Pictures;
use thumbunder::sheets::compress;

use super::exit::Fault;
use super::files::Output;

/// Writes the sheet; `.svg` and `.pdf` are engraved, `.mxl` is compressed.
pub fn write_sheet(output: &Output, title: &str, musicxml: &str) -> Result<(), Fault> {
    let ending = match output {
        Output::File(path) => path.extension().map(std::ffi::OsStr::to_ascii_lowercase),
        Output::Stdout => None,
    };
    match ending.as_ref().and_then(|ending| ending.to_str()) {
        Some("svg") => output.write(&engraved(Form::Svg, title, musicxml)?),
        Some("mxl") => output.write(&compress(musicxml)),
        Some("pdf") => output.write(&engraved(Form::Pdf, title, musicxml)?),
        _ => output.write(musicxml.as_bytes()),
    }
}

#[derive(Clone, Copy)]
enum Form {
    Svg,
    Pdf,
}

#[cfg(feature = "engrave")]
fn engraved(form: Form, title: &str, musicxml: &str) -> Result<Vec<u8>, Fault> {
    use super::engrave::{Engraver, Page, pdf};

    let made = Engraver::new().and_then(|engraver| match form {
        // One strip as long as the sheet, since an SVG has one page.
        Form::Svg => engraver.pages(musicxml, Page::Strip { width: 2100 }).map(|pages| pages.concat().into_bytes()),
        Form::Pdf => engraver.pages(musicxml, Page::A4).and_then(|pages| pdf(title, &pages)),
    });
    made.map_err(|error| Fault::failed(error.to_string()))
}

#[cfg(not(feature = "engrave"))]
fn engraved(form: Form, _title: &str, _musicxml: &str) -> Result<Vec<u8>, Fault> {
    let name = match form {
        Form::Svg => "SVG",
        Form::Pdf => "PDF",
    };
    Err(Fault::usage(format!("this program was built without the engraver that draws {name}"))
        .hint("name the sheet `.musicxml` and open it in a notation program, or build with `--features engrave`"))
}

/// The hardest spots of a score and the sheets of its drills, engraved for its page; `bytes` are those of the score. What
/// cannot be engraved the page draws in a simpler way, so a fault is only told.
#[cfg(feature = "engrave")]
pub fn pictures(analysis: &Analysis, bytes: &[u8], limits: &Limits, tell: impl FnOnce(&Fault)) -> Pictures {
    use super::engrave::{EngraveError, Engraver, Page, inline};
    use thumbunder::report::excerpts::excerpts;
    use thumbunder::report::sheet::drill_sheet;
    use thumbunder::sheets::write;

    let spots = |engraver: &Engraver| {
        let found = excerpts(analysis, bytes, limits).map_err(|error| EngraveError::Engraver(error.to_string()))?;
        found.iter().map(|spot| inline(&engraver.excerpt(&spot.musicxml, spot.measures)?)).collect::<Result<_, _>>()
    };
    let sheet = |engraver: &Engraver, drill| {
        let mut sheet = drill_sheet(analysis, drill);
        // The page says the practice notes in words of its own.
        for exercise in &mut sheet.exercises {
            exercise.notes.clear();
        }
        inline(&engraver.pages(&write(&sheet), Page::Strip { width: 1750 })?.concat())
    };
    let made = Engraver::new().and_then(|engraver| {
        let sheets = analysis.drills.list.iter().map(|drill| sheet(&engraver, drill)).collect::<Result<_, _>>()?;
        Ok(Pictures { spots: spots(&engraver)?, sheets })
    });
    made.unwrap_or_else(|error| {
        tell(&Fault::failed(error.to_string()).hint("the page shows strips of keys and fingers instead"));
        Pictures::default()
    })
}

/// None: the page draws strips of keys and fingers itself.
#[cfg(not(feature = "engrave"))]
pub fn pictures(_analysis: &Analysis, _bytes: &[u8], _limits: &Limits, _tell: impl FnOnce(&Fault)) -> Pictures {
    Pictures::default()
}

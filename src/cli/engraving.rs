//! Writes a sheet in the form that the name of its file asks for: MusicXML, or engraved as SVG or PDF.

use super::exit::Fault;
use super::files::Output;

/// Writes the sheet; `.svg` and `.pdf` are engraved.
pub fn write_sheet(output: &Output, title: &str, musicxml: &str) -> Result<(), Fault> {
    let ending = match output {
        Output::File(path) => path.extension().map(std::ffi::OsStr::to_ascii_lowercase),
        Output::Stdout => None,
    };
    match ending.as_ref().and_then(|ending| ending.to_str()) {
        Some("svg") => output.write(&engraved(Form::Svg, title, musicxml)?),
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

    let engraver = Engraver::default();
    let made = match form {
        // One strip as long as the sheet, since an SVG has one page.
        Form::Svg => engraver.svg(musicxml, Page::Strip { width: 2100 }, None).map(|pages| pages.concat().into_bytes()),
        Form::Pdf => engraver.svg(musicxml, Page::A4, None).and_then(|pages| pdf(title, &pages)),
    };
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

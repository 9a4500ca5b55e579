//! From MusicXML to pages one can look at: SVG, and PDF from it. Only with the feature `engrave`.
//!
//! In: a MusicXML document as text, and a [`Page`]. Out: one SVG a page; [`pdf`] binds them into one file, and [`inline`]
//! makes one fit to stand in a web page. The same document and page give the same bytes.
//!
//! It stands outside the library, which is pure: the engraver unpacks its glyphs into a temporary folder of its own, which
//! is removed when the [`Engraver`] is dropped.

#![allow(clippy::disallowed_methods, reason = "the engraver's temporary folder is ours to remove")]

mod fonts;
mod inline;
mod pdf;

pub use inline::inline;
pub use pdf::pdf;

use std::panic;
use std::path::PathBuf;

/// What kept a document from being engraved.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum EngraveError {
    /// The engraver cannot read the document.
    #[error("failed to engrave: {0}")]
    Engraver(String),
    /// An engraved page cannot be drawn.
    #[error("failed to draw an engraved page: {0}")]
    Drawing(String),
}

/// What is engraved on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Page {
    /// A page of paper of this size, in tenths of a millimetre, with title and footer.
    Paper {
        /// Width.
        width: u32,
        /// Height.
        height: u32,
    },
    /// A strip as high as its music, for a screen, in tenths of a millimetre.
    Strip {
        /// Width.
        width: u32,
    },
    /// One line of music, as wide and as high as it is.
    Line,
}

impl Page {
    /// ISO 216 A4.
    pub const A4: Self = Self::Paper { width: 2100, height: 2970 };

    /// Size of a staff as a share of the engraver's usual 1.8 mm a space, in hundredths. Chosen by us: large enough to
    /// read at the piano, small enough for four measures of eighths with their fingers in a line of paper.
    const SCALE: u32 = 70;

    fn options(self) -> serde_json::Value {
        // The engraver wants the page in tenths of a millimetre before scaling.
        let scaled = |length: u32| length * 100 / Self::SCALE;
        let mut options = serde_json::json!({
            "scale": Self::SCALE,
            "font": "Bravura",
            // Without line breaks: white space inside text would take the place of the words that follow it in the PDF.
            "svgFormatRaw": true,
            "xmlIdSeed": 1,
            "footer": "none",
        });
        let own = match self {
            Self::Paper { width, height } => serde_json::json!({
                "pageWidth": scaled(width), "pageHeight": scaled(height), "header": "auto",
                // Where the document starts a new line, so does the page.
                "breaks": "line",
                // Our own fonts hold the glyphs that stand in text, so none are written into the page.
                "smuflTextFont": "none",
                "pageMarginTop": 150, "pageMarginBottom": 150, "pageMarginLeft": 150, "pageMarginRight": 150,
            }),
            Self::Strip { width } => serde_json::json!({
                "pageWidth": scaled(width), "pageHeight": 60_000, "adjustPageHeight": true, "header": "none",
                "breaks": "line",
                // Read without us, where nobody has the font of the glyphs that stand in text.
                "smuflTextFont": "embedded",
                "pageMarginTop": 20, "pageMarginBottom": 20, "pageMarginLeft": 20, "pageMarginRight": 20,
            }),
            Self::Line => serde_json::json!({
                // Wider than usual, so that arcs and digits have room over fast notes.
                "spacingLinear": 0.4, "spacingNonLinear": 0.5, "smuflTextFont": "none",
                "breaks": "none", "adjustPageWidth": true, "adjustPageHeight": true, "header": "none",
                "pageMarginTop": 20, "pageMarginBottom": 20, "pageMarginLeft": 20, "pageMarginRight": 20,
            }),
        };
        if let (Some(all), serde_json::Value::Object(own)) = (options.as_object_mut(), own) {
            all.extend(own);
        }
        options
    }
}

/// Engraves documents. Make one for the whole life of the process: the glyphs are unpacked once, and gone when it is
/// dropped.
pub struct Engraver {
    glyphs: PathBuf,
}

impl Drop for Engraver {
    fn drop(&mut self) {
        // The engraving library leaves its folder behind. Only a folder that is plainly its own is removed.
        if self.glyphs.file_name().is_some_and(|name| name.to_string_lossy().starts_with("verovio-data-")) {
            let _ = std::fs::remove_dir_all(&self.glyphs);
        }
    }
}

impl Engraver {
    /// Unpacks the glyphs.
    ///
    /// # Errors
    /// When the folder of temporary files takes none.
    pub fn new() -> Result<Self, EngraveError> {
        verovio::set_log_level(verovio::LogLevel::Off);
        // The engraving library panics, and says so, where it cannot unpack; on the way out it removes its folder.
        let hook = panic::take_hook();
        panic::set_hook(Box::new(|_| ()));
        let toolkit = panic::catch_unwind(verovio::Toolkit::new);
        panic::set_hook(hook);
        match toolkit {
            Ok(toolkit) => Ok(Self { glyphs: PathBuf::from(toolkit.resource_path()) }),
            Err(_) => Err(failed("its glyphs cannot be unpacked into the folder of temporary files")),
        }
    }

    /// One SVG for each page of the document.
    ///
    /// # Errors
    /// When the engraver cannot read the document.
    pub fn pages(&self, musicxml: &str, page: Page) -> Result<Vec<String>, EngraveError> {
        let mut toolkit = Self::load(musicxml, page)?;
        (1..=toolkit.page_count()).map(|number| render(&mut toolkit, number)).collect()
    }

    /// The measures `first..=last` of the document on one line, counted from 0 by position.
    ///
    /// # Errors
    /// When the engraver cannot read the document, or does not find the measures in it.
    pub fn excerpt(&self, musicxml: &str, (first, last): (usize, usize)) -> Result<String, EngraveError> {
        let mut toolkit = Self::load(musicxml, Page::Line)?;
        let range = serde_json::json!({ "measureRange": format!("{}-{}", first + 1, last + 1) });
        toolkit.select(&range.to_string()).map_err(|_| failed("the measures were refused"))?;
        toolkit.redo_layout();
        let svg = render(&mut toolkit, 1)?;
        // Measures that are not found would leave the whole document on the line.
        let measures = svg.matches("class=\"measure\"").count();
        if measures == last + 1 - first { Ok(svg) } else { Err(failed("the measures were not found")) }
    }

    fn load(musicxml: &str, page: Page) -> Result<verovio::Toolkit, EngraveError> {
        // A fresh one for each document: a selection would outlive the document it was made for.
        let mut toolkit = verovio::Toolkit::new();
        toolkit.reset_xml_id_seed(1);
        toolkit.set_options(&page.options().to_string()).map_err(|_| failed("the page was refused"))?;
        toolkit.set_input_from("xml").map_err(|_| failed("the format was refused"))?;
        toolkit.load_data(musicxml).map_err(|_| failed("the document was refused"))?;
        Ok(toolkit)
    }
}

fn render(toolkit: &mut verovio::Toolkit, page: u32) -> Result<String, EngraveError> {
    toolkit.render_to_svg(page).map_err(|_| failed("a page was refused"))
}

fn failed(what: &str) -> EngraveError {
    EngraveError::Engraver(what.to_owned())
}

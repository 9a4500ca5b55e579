//! Binds engraved pages into one PDF with our own fonts embedded.
//!
//! In: SVG pages. Out: the bytes of a PDF whose text can be searched and copied.

use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

use super::{EngraveError, fonts};

/// Points in a tenth of a millimetre, which is what the engraver calls a pixel: PDF has 72 points to the inch of 25.4 mm.
const POINTS: f32 = 72.0 / 254.0;

/// One PDF page for each SVG.
///
/// # Errors
/// When a page is not an SVG that can be drawn.
pub fn pdf(title: &str, pages: &[String]) -> Result<Vec<u8>, EngraveError> {
    let failed = EngraveError::Drawing;
    let options = fonts::options();
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(title.to_owned()));
    for svg in pages {
        let tree = usvg::Tree::from_str(svg, &options).map_err(|error| failed(error.to_string()))?;
        let (width, height) = (tree.size().width() * POINTS, tree.size().height() * POINTS);
        let (Some(settings), Some(size)) = (PageSettings::from_wh(width, height), Size::from_wh(width, height)) else {
            return Err(failed("a page has no size".to_owned()));
        };
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
        surface.finish();
        page.finish();
        if drawn.is_none() {
            return Err(failed("a page cannot be drawn".to_owned()));
        }
    }
    document.finish().map_err(|error| failed(format!("{error:?}")))
}

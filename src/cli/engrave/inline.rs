//! Makes an engraved page fit to stand in a web page among others.
//!
//! In: one SVG of the engraver. Out: an SVG element in outlines, text included, so that it looks the same whatever fonts the
//! reader has; without ids that could meet those of another picture, without style, script or link; in the colour of the
//! text around it.

use super::{EngraveError, fonts};

/// Decimals kept, in units of a hundredth of a space between two lines of a staff and less. Chosen by us: finer than any
/// screen shows.
const DECIMALS: u8 = 1;

/// The picture for a web page.
///
/// # Errors
/// When the page is not an SVG that can be drawn.
pub fn inline(svg: &str) -> Result<String, EngraveError> {
    let tree =
        usvg::Tree::from_str(svg, &fonts::options()).map_err(|error| EngraveError::Drawing(error.to_string()))?;
    let options = usvg::WriteOptions {
        coordinates_precision: DECIMALS,
        indent: usvg::Indent::None,
        attributes_indent: usvg::Indent::None,
        ..usvg::WriteOptions::default()
    };
    Ok(tree.to_string(&options).replace("\"#000000\"", "\"currentColor\""))
}

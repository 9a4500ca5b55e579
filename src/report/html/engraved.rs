//! A place for an engraved picture: it is as large as on paper, and scrolls sideways where the screen is narrower.

use maud::{Markup, PreEscaped, html};

/// Shows the picture, named by the element `named_by` and described in words for those who do not see it.
pub fn draw(picture: &str, named_by: &str, words: &str) -> Markup {
    let about = format!("{named_by}-notes");
    html! {
        // Only what scrolls can be reached by key, and only a region may be.
        div.engraving role="region" tabindex="0" aria-labelledby=(named_by) {
            div role="img" aria-labelledby=(named_by) aria-describedby=(about) { (PreEscaped(picture)) }
        }
        p.hidden id=(about) { (words) }
    }
}

//! What all pages share: the head, the look, and the rule that a page needs nothing else.
//!
//! In: title and content. Out: one HTML file without network, whose content security policy keeps it so. What comes from
//! scores is text and is escaped by the templates.

use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("page.css");

/// A page.
pub(super) struct Page<'a> {
    /// Its title, also the main heading.
    pub title: &'a str,
    /// The class of its body; style of its own goes by it.
    pub class: &'static str,
    /// Style of its own.
    pub style: &'static str,
    /// A script of our own, with its digest as a content security policy names it; the only one that may run.
    pub script: Option<(&'static str, &'static str)>,
    /// What follows the heading.
    pub lead: Markup,
    /// The content.
    pub main: Markup,
}

/// Renders a page.
pub(super) fn render(page: &Page<'_>) -> String {
    let mut policy = "default-src 'none'; style-src 'unsafe-inline'".to_owned();
    if let Some((_, digest)) = page.script {
        policy.push_str(&format!("; script-src '{digest}'"));
    }
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(policy);
                title { (page.title) }
                style { (PreEscaped(STYLE)) (PreEscaped(page.style)) }
            }
            body.(page.class) {
                header {
                    h1 { (page.title) }
                    (page.lead)
                }
                main { (page.main) }
                @if let Some((script, _)) = page.script { script { (PreEscaped(script)) } }
            }
        }
    };
    page.into_string()
}

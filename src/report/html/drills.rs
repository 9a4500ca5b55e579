//! What to drill first, and how.

use maud::{Markup, html};

use crate::analysis::Analysis;
use crate::drills::advice::PRACTICE;
use crate::report::drill_words as words;
use crate::report::view::upper_first;

/// The drills with their reasons, what they cover and how to practise them.
pub fn body(analysis: &Analysis) -> Markup {
    html! {
        ol.drills { @for drill in &analysis.drills.list { li {
            h3 { (words::title(drill)) }
            p { (upper_first(&words::speed(drill))) "." }
            ul { @for reason in words::reasons(analysis, drill) { li { (reason) } } }
            @if let Some(isolate) = words::isolate(analysis, drill) { p.isolate { strong { "Isolate: " } (isolate) } }
        } } }
        p { (words::coverage(analysis)) }
        @if !analysis.drills.list.is_empty() {
            h3 { "How to practise" }
            ul { @for advice in PRACTICE { li { (advice.text) } } }
        }
    }
}

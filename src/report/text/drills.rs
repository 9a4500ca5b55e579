//! What to drill first, and how.

use super::page::{Ink, Page};
use crate::analysis::Analysis;
use crate::drills::advice::PRACTICE;
use crate::report::drill_words as words;

/// Writes the drills, what they cover and how to practise them.
pub fn write(page: &mut Page, analysis: &Analysis) {
    page.heading("What to drill first");
    for (rank, drill) in analysis.drills.list.iter().enumerate() {
        let title = page.ink(Ink::Strong, &words::title(drill));
        page.line(&format!("  {}. {title}", rank + 1));
        page.hanging("     ", &words::speed(drill));
        for reason in words::reasons(analysis, drill) {
            page.hanging("     - ", &reason);
        }
        if let Some(isolate) = words::isolate(analysis, drill) {
            page.hanging("     - isolate: ", &isolate);
        }
    }
    page.paragraph(2, &words::coverage(analysis), None);
    if analysis.drills.list.is_empty() {
        return;
    }
    page.heading("How to practise");
    for advice in PRACTICE {
        page.hanging("  - ", advice.text);
    }
}

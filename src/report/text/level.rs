//! How hard the piece is, and why.

use super::page::{Ink, Page};
use crate::analysis::Analysis;
use crate::report::level_words as words;

/// Writes the level.
pub fn write(page: &mut Page, analysis: &Analysis) {
    page.heading("How hard it is");
    page.paragraph(2, &words::headline(analysis), Some(Ink::Strong));
    if let Some(exception) = words::exception(analysis) {
        page.paragraph(2, &exception, None);
    }
    for reason in words::reasons(analysis) {
        page.hanging(&format!("  {:+.1}  ", reason.points), &words::reason(analysis, reason));
    }
    let length = analysis.level.length_points;
    if length.abs() >= 0.1 {
        let than = if length > 0.0 { "longer" } else { "shorter" };
        page.hanging(&format!("  {length:+.1}  "), &format!("length: {than} than pieces that ask as much usually are"));
    }
    for spot in words::spots(analysis) {
        page.hanging("  - ", &words::spot(analysis, spot));
    }
    page.hanging("  ", &format!("slower: {}", words::practice(analysis)));
    let easier = words::easier(analysis);
    if !easier.is_empty() {
        page.hanging("  ", &format!("one level easier with {}", easier.join("; ")));
    }
}

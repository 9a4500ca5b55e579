//! The plan as plain text, lesson by lesson.

use super::{Told, view};
use crate::report::text::page::{Ink, Page, Style};
use crate::report::view::{clean, upper_first};

/// Titles named in a list.
const TITLES: usize = 12;

/// Pieces out of reach told with their reasons. Chosen by us: a screen; JSON and CSV have them all.
const UNREACHABLE: usize = 12;

/// Renders the plan.
pub fn render(told: &Told<'_>, style: Style) -> String {
    let mut page = Page::new(style);
    page.paragraph(0, &view::title(told), Some(Ink::Strong));
    page.paragraph(0, &upper_first(&told.plan.basis), None);
    page.paragraph(0, &upper_first(&view::extent(told)), None);
    for lesson in &told.plan.lessons {
        page.heading(&format!("Lesson {}, {}", lesson.number, view::weeks(lesson)));
        if !lesson.scales.is_empty() {
            page.hanging("  scales   ", &lesson.scales.join(", "));
        }
        if let Some(entry) = lesson.piece.and_then(|piece| view::entry(told, piece)) {
            page.hanging("  piece    ", &format!("{}: {}", view::named(entry), lesson.verdict.name()));
        }
        page.hanging("  why      ", &lesson.because.join("; "));
        if !lesson.alternatives.is_empty() {
            page.hanging("  or       ", &view::titles(told, &lesson.alternatives, TITLES));
        }
        page.hanging("  then     ", &format!("{} % of the shelf's crossings practised", lesson.share / 10));
    }
    if !told.plan.ready_now.is_empty() {
        page.heading("Ready now");
        page.paragraph(2, &view::titles(told, &told.plan.ready_now, TITLES), None);
    }
    if let Some(rest) = view::rest(told) {
        page.gap();
        page.paragraph(0, &upper_first(&rest), Some(Ink::Faint));
    }
    if !told.plan.unreachable.is_empty() {
        page.heading("Out of reach from this shelf");
        for missed in told.plan.unreachable.iter().take(UNREACHABLE) {
            let title = view::entry(told, missed.piece).map_or_else(String::new, |entry| clean(entry.title()));
            let bridge = if missed.bridge.is_empty() {
                String::new()
            } else {
                format!(". What would bridge it: {}", missed.bridge)
            };
            page.hanging("  ", &format!("{title}: {}{bridge}", missed.why));
        }
        if told.plan.unreachable.len() > UNREACHABLE {
            page.paragraph(2, &format!("and {} more", told.plan.unreachable.len() - UNREACHABLE), Some(Ink::Faint));
        }
    }
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::plan;
    use super::*;

    #[test]
    fn every_lesson_is_told_and_every_line_fits() {
        let (plan, shelf, learner) = plan();
        let told = Told { plan: &plan, shelf: &shelf, learner: learner.name.as_deref() };
        let text = render(&told, Style::default());
        for line in text.lines() {
            assert!(textwrap::core::display_width(line) <= 80, "{line}");
        }
        for part in
            ["A plan for Wren Ashlock", "LESSON 1, WEEK", "LESSON 5", "READY NOW", "Far <away>: after everything"]
        {
            assert!(text.contains(part), "{part} in\n{text}");
        }
    }
}

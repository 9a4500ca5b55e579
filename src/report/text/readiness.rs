//! What the piece is to the player, and the weeks until it goes.

use super::page::{Ink, Page, table};
use crate::readiness::{Fit, Gap, GapSize, Schedule, Week, WeekDrill};
use crate::report::view::{clean, upper_first};

/// Writes the section.
pub(super) fn write(page: &mut Page, fit: &Fit) {
    let whom = fit.learner.as_deref().map_or_else(|| "the player".to_owned(), clean);
    page.heading(&format!("For {whom}"));
    page.paragraph(2, &upper_first(&fit.readiness.sentence()), Some(Ink::Strong));
    page.paragraph(2, &upper_first(&fit.readiness.basis), Some(Ink::Faint));
    for gap in fit.readiness.gaps.iter().filter(|gap| gap.size > GapSize::None) {
        page.hanging("  - ", &gap_text(gap));
    }
    schedule(page, &fit.schedule);
}

/// Reason, measures, and what would close the gap.
fn gap_text(gap: &Gap) -> String {
    let measures = match gap.measures.as_slice() {
        [] => String::new(),
        [one] => format!(" (measure {})", clean(one)),
        many => format!(" (measures {})", many.iter().map(|m| clean(m)).collect::<Vec<_>>().join(", ")),
    };
    let closes =
        if gap.closes.is_empty() { String::new() } else { format!(". To close it: {}", gap.closes.join("; ")) };
    format!("{}{measures}{closes}", gap.reason)
}

fn schedule(page: &mut Page, schedule: &Schedule) {
    if schedule.weeks.is_empty() {
        return;
    }
    page.heading("Week by week");
    let rows: Vec<Vec<String>> =
        schedule.weeks.iter().map(|week| vec![week.week.to_string(), week_text(week)]).collect();
    table(page, 2, &["week", "every day of practice"], &rows);
    if let Some(note) = schedule.note() {
        page.paragraph(2, note, None);
    }
}

fn week_text(week: &Week) -> String {
    let mut parts: Vec<String> = week.drills.iter().map(WeekDrill::sentence).collect();
    if let Some(piece) = &week.piece {
        parts.push(piece.sentence());
    }
    parts.join("; ")
}

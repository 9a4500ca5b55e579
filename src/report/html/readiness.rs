//! What the piece is to the player, and the weeks until it goes.

use maud::{Markup, html};

use super::section;
use crate::readiness::{Fit, Gap, GapSize, Week};
use crate::report::view::{clean, upper_first};

/// The two sections.
pub(super) fn draw(fit: &Fit) -> Markup {
    let whom = fit.learner.as_deref().map_or_else(|| "the player".to_owned(), clean);
    let open: Vec<&Gap> = fit.readiness.gaps.iter().filter(|gap| gap.size > GapSize::None).collect();
    let verdict = html! {
        p.verdict { (upper_first(&fit.readiness.sentence())) "." }
        p.key { (upper_first(&fit.readiness.basis)) "." }
        @if !open.is_empty() { div.wide { table {
            thead { tr { th scope="col" { "Gap" } th scope="col" { "Measures" } th scope="col" { "What would close it" } } }
            tbody { @for gap in open { tr {
                th scope="row" { (upper_first(&gap.reason)) }
                td { (gap.measures.iter().map(|measure| clean(measure)).collect::<Vec<_>>().join(", ")) }
                td { (upper_first(&gap.closes.join("; "))) }
            } } }
        } } }
    };
    let weeks = html! {
        div.wide { table {
            thead { tr {
                th.n scope="col" { "Week" } th scope="col" { "Drills on every day of practice" } th scope="col" { "The piece" }
            } }
            tbody { @for week in &fit.schedule.weeks { (row(week)) } }
        } }
        @if let Some(note) = fit.schedule.note() { p { (note) } }
    };
    html! {
        (section("readiness", &format!("For {whom}"), &verdict))
        @if !fit.schedule.weeks.is_empty() { (section("weeks", "Week by week", &weeks)) }
    }
}

fn row(week: &Week) -> Markup {
    html! { tr {
        th.n scope="row" { (week.week) }
        td { @for drill in &week.drills { p { (upper_first(&drill.sentence())) } } }
        td { @if let Some(piece) = &week.piece { (upper_first(&piece.sentence())) } }
    } }
}

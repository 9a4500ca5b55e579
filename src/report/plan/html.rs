//! The plan as one page that needs nothing else: the path as a picture, then the lessons to read, print and tick off.

use maud::{Markup, html};

use super::{Told, svg, view};
use crate::report::page::{self, Page};
use crate::report::view::{clean, upper_first};

const STYLE: &str = "
body.plan { max-width: 66rem; }
.plan figure { margin: 1rem 0; overflow-x: auto; }
.plan figure svg { min-width: 44rem; }
.lessons { list-style: none; padding: 0; }
.lessons > li { border-bottom: 1px solid var(--rule); padding: .7rem 0; break-inside: avoid; }
.lessons dl { display: grid; grid-template-columns: 6.5rem 1fr; gap: .15rem .8rem; margin: .3rem 0; }
.lessons dt { color: var(--faint); }
.lessons dd { margin: 0; overflow-wrap: anywhere; }
@media (max-width: 34rem) { .lessons dl { grid-template-columns: 1fr; } }
";

/// Renders the page.
pub fn render(told: &Told<'_>) -> String {
    let title = view::title(told);
    let plan = told.plan;
    let lead = html! {
        p.facts { (upper_first(&plan.basis)) "." }
        p.verdict { (upper_first(&view::extent(told))) "." }
    };
    let main = html! {
        @if !plan.lessons.is_empty() {
            // On a narrow screen the picture scrolls, by keyboard too.
            figure tabindex="0" aria-label="The path through the lessons" { (svg::draw(told, false)) }
        }
        (lessons(told))
        @if !plan.ready_now.is_empty() {
            section aria-labelledby="ready-heading" {
                h2 id="ready-heading" { "Ready now" }
                ul { @for piece in &plan.ready_now { @if let Some(entry) = view::entry(told, *piece) { li { (view::named(entry)) } } } }
            }
        }
        @if let Some(rest) = view::rest(told) { p.facts { (upper_first(&rest)) "." } }
        (unreachable(told))
    };
    page::render(&Page { title: &title, class: "plan", style: STYLE, script: None, lead, main })
}

fn lessons(told: &Told<'_>) -> Markup {
    html! {
        section aria-labelledby="lessons-heading" {
            h2 id="lessons-heading" { "Lessons" }
            ol.lessons { @for lesson in &told.plan.lessons { li {
                h3 { "Lesson " (lesson.number) ", " (view::weeks(lesson)) }
                dl {
                    @if !lesson.scales.is_empty() { dt { "New scales" } dd { (lesson.scales.join(", ")) } }
                    @if let Some(entry) = lesson.piece.and_then(|piece| view::entry(told, piece)) {
                        dt { "Piece" } dd { strong { (view::named(entry)) } ": " (lesson.verdict.name()) }
                    }
                    @if !lesson.because.is_empty() { dt { "Why" } dd { (upper_first(&clean(&lesson.because.join("; ")))) } }
                    @if !lesson.alternatives.is_empty() {
                        dt { "Or" } dd { (view::titles(told, &lesson.alternatives, usize::MAX)) }
                    }
                    dt { "Then" } dd { (lesson.share / 10) " % of the shelf's crossings practised" }
                }
            } } }
        }
    }
}

fn unreachable(told: &Told<'_>) -> Markup {
    if told.plan.unreachable.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="far-heading" {
            h2 id="far-heading" { "Out of reach from this shelf" }
            ul { @for missed in &told.plan.unreachable { li {
                @if let Some(entry) = view::entry(told, missed.piece) { strong { (view::named(entry)) } ": " }
                (clean(&missed.why)) "."
                @if !missed.bridge.is_empty() { " What would bridge it: " (missed.bridge) "." }
            } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::plan;
    use super::*;

    #[test]
    fn titles_with_markup_stay_text() {
        let (plan, shelf, learner) = plan();
        let page = render(&Told { plan: &plan, shelf: &shelf, learner: learner.name.as_deref() });
        assert!(page.contains("Far &lt;away&gt;") && page.contains("Ready &lt;b&gt;now&lt;/b&gt;"));
        assert!(!page.contains("<away>") && !page.contains("<script"));
    }
}

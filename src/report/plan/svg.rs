//! The plan as a picture: a path with a station for every lesson, its new scales above and its piece below.
//!
//! Drawn by hand as SVG 1.1, in rows of four lessons. Text stays text, so that it can be read aloud and searched; what
//! comes from a score is escaped by the template.

use maud::{Markup, PreEscaped, html};

use super::{Told, view};
use crate::plan::Lesson;
use crate::report::shelf::view as words;
use crate::report::view::{clean, cut};

/// Lessons in a row, and the measures of the drawing in pixels.
const A_ROW: usize = 4;
const COLUMN: usize = 240;
const ROW: usize = 256;
const MARGIN: usize = 24;
const HEAD: usize = 64;
/// Height of the path below the top of its row: room for three scales above it.
const PATH: usize = 76;
const CARD: usize = 212;

/// Letters that fit on a card; a wide serif letter takes about eight pixels at this size.
const LETTERS: usize = 28;

/// Scales and alternatives drawn.
const SCALES: usize = 3;
const ALTERNATIVES: usize = 2;

const STYLE: &str = "\
svg{--paper:#fbfaf5;--ink:#23272c;--faint:#5c6269;--rule:#d9d5c9;--panel:#f3f0e6;--mark:#6b1f6e;--on-mark:#fff;--scale:#0a5c9e}\
@media (prefers-color-scheme:dark){svg{--paper:#15181b;--ink:#e9e6df;--faint:#a9adb2;--rule:#3a3f45;--panel:#1e2226;\
--mark:#dca6f5;--on-mark:#1b1020;--scale:#7fbcf0}}\
@media print{svg{--paper:#fff;--ink:#23272c;--faint:#5c6269;--rule:#d9d5c9;--panel:#fff;--mark:#6b1f6e;--on-mark:#fff;--scale:#0a5c9e}}\
.ground{fill:var(--paper)}\
text{font-family:Georgia,'Palatino Linotype',Palatino,'DejaVu Serif',serif;font-size:14px;fill:var(--ink)}\
.h{font-size:20px;font-weight:bold}.s{font-size:12px;fill:var(--faint)}.t{font-weight:bold}\
.scale{fill:var(--scale);font-size:13px}.path{fill:none;stroke:var(--mark);stroke-width:4}\
.station{fill:var(--mark)}.station.prepares{fill:var(--paper);stroke:var(--mark);stroke-width:4}\
.no{fill:var(--on-mark);font-weight:bold;text-anchor:middle}.prepares-no{fill:var(--mark)}\
.card{fill:var(--panel);stroke:var(--rule)}.gauge{fill:var(--rule)}.gauge.full{fill:var(--mark)}";

/// Renders the picture as a file of its own.
pub fn render(told: &Told<'_>) -> String {
    draw(told, true).into_string() + "\n"
}

/// The picture, standing alone or within a page that has a heading of its own.
pub(super) fn draw(told: &Told<'_>, alone: bool) -> Markup {
    let lessons = &told.plan.lessons;
    let head = if alone { HEAD } else { 0 };
    let rows = lessons.len().div_ceil(A_ROW).max(1);
    let (width, height) = (2 * MARGIN + A_ROW * COLUMN, head + rows * ROW + MARGIN);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {width} {height}")) width=(width) height=(height)
            role="img" aria-labelledby="plan-title plan-text" {
            title id="plan-title" { (view::title(told)) }
            desc id="plan-text" { (view::extent(told)) }
            style { (PreEscaped(STYLE)) }
            rect.ground width=(width) height=(height) {}
            @if alone {
                text.h x=(MARGIN) y="34" { (view::title(told)) }
                text.s x=(MARGIN) y="54" { (view::extent(told)) }
            }
            (path(lessons.len(), head))
            @for (index, lesson) in lessons.iter().enumerate() { (station(told, lesson, place(index, head))) }
        }
    }
}

/// Left edge of a lesson's column, and the height of the path there.
fn place(index: usize, head: usize) -> (usize, usize) {
    (MARGIN + index % A_ROW * COLUMN, head + index / A_ROW * ROW + PATH)
}

/// The line through the stations: along each row, and back under it to the beginning of the next.
fn path(lessons: usize, head: usize) -> Markup {
    let mut d = String::new();
    for index in 0..lessons {
        let (x, y) = place(index, head);
        let x = x + 16;
        let command = match (index, index % A_ROW) {
            (0, _) => format!("M{x} {y}"),
            (_, 0) => {
                // Past the last station of the row, down between the rows, and back to the left.
                let (left, right, between) = (8, MARGIN + A_ROW * COLUMN - 8, y - PATH + 2);
                format!("H{right}V{between}H{left}V{y}H{x}")
            }
            _ => format!("H{x}"),
        };
        d.push_str(&command);
    }
    html! { path.path d=(d) {} }
}

fn station(told: &Told<'_>, lesson: &Lesson, (x, y): (usize, usize)) -> Markup {
    let entry = lesson.piece.and_then(|piece| view::entry(told, piece));
    let prepares = entry.is_none();
    let scales = lesson.scales.len().min(SCALES);
    html! {
        g {
            @for (row, scale) in lesson.scales.iter().take(SCALES).enumerate() {
                text.scale x=(x + 4) y=(y - 22 - 17 * (scales - 1 - row)) { (cut(scale, LETTERS)) }
            }
            circle.station.prepares[prepares] cx=(x + 16) cy=(y) r="14" {}
            text.no.prepares-no[prepares] x=(x + 16) y=(y + 5) { (lesson.number) }
            text.s x=(x + 36) y=(y + 20) { (view::weeks(lesson)) }
            @if let Some(entry) = entry {
                @let title = lines(&clean(entry.title()));
                rect.card x=(x) y=(y + 30) width=(CARD) height="98" rx="4" {}
                @for (row, line) in title.iter().enumerate() { text.t x=(x + 10) y=(y + 50 + 17 * row) { (line) } }
                text.s x=(x + 10) y=(y + 86) { (cut(&clean(entry.piece.composer.as_deref().unwrap_or("")), LETTERS + 4)) }
                text.s x=(x + 10) y=(y + 104) { "level " (words::level(&entry.piece.level)) ", " (lesson.verdict.name()) }
                rect.gauge x=(x + 10) y=(y + 112) width=(CARD - 20) height="6" rx="3" {}
                rect.gauge.full x=(x + 10) y=(y + 112) width=(gauge(entry.piece.level.value)) height="6" rx="3" {}
                @for (row, other) in lesson.alternatives.iter().take(ALTERNATIVES).enumerate() {
                    @if let Some(other) = view::entry(told, *other) {
                        text.s x=(x + 10) y=(y + 144 + 15 * row) { "or " (cut(&clean(other.title()), LETTERS)) }
                    }
                }
            } @else {
                text.s x=(x + 36) y=(y + 38) { "scales only" }
            }
        }
    }
}

/// Length of the gauge for a level of 1 to 9.
fn gauge(level: i64) -> i64 {
    (level.clamp(1_000, 9_000) - 500) * (CARD as i64 - 20) / 8_500
}

/// A title in two lines at most.
fn lines(title: &str) -> Vec<String> {
    let wrapped = textwrap::wrap(title, LETTERS);
    match wrapped.as_slice() {
        [] => vec![String::new()],
        [one] => vec![cut(one, LETTERS)],
        [first, rest @ ..] => {
            let rest = rest.iter().map(AsRef::as_ref).collect::<Vec<&str>>().join(" ");
            vec![cut(first, LETTERS), cut(&rest, LETTERS)]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::plan;
    use super::*;

    #[test]
    fn the_picture_is_well_formed_and_what_it_shows_is_text() {
        let (plan, shelf, learner) = plan();
        let svg = render(&Told { plan: &plan, shelf: &shelf, learner: learner.name.as_deref() });
        let document = roxmltree::Document::parse(&svg).unwrap();
        let texts: Vec<String> = document
            .descendants()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "text")))
            .filter_map(|node| node.text().map(str::to_owned))
            .collect();
        assert!(texts.iter().any(|text| text == "=One & only"), "{texts:?}");
        let stations =
            document.descendants().filter(|node| node.attribute("class").is_some_and(|c| c.starts_with("station")));
        assert_eq!(stations.count(), plan.lessons.len());
        assert!(svg.contains("Two with a title that is"));
    }

    #[test]
    fn nothing_is_drawn_outside_the_picture() {
        let (plan, shelf, _) = plan();
        let svg = render(&Told { plan: &plan, shelf: &shelf, learner: None });
        let document = roxmltree::Document::parse(&svg).unwrap();
        let root = document.root_element();
        let size = |name: &str| root.attribute(name).unwrap().parse::<f64>().unwrap();
        for node in document.descendants().filter(|node| node.attribute("x").is_some()) {
            let at = |name: &str| node.attribute(name).map_or(0.0, |value| value.parse::<f64>().unwrap());
            assert!(at("x") + at("width") <= size("width") && at("y") + at("height") <= size("height"), "{node:?}");
        }
    }

    #[test]
    fn the_gauge_fills_with_the_level() {
        assert!(gauge(1_000) > 0 && gauge(9_000) == CARD as i64 - 20 && gauge(i64::MAX) == gauge(9_000));
    }
}

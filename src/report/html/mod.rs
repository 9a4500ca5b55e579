//! The report as one page that needs nothing else: no script, no network, for screen, phone, paper and reader.
//!
//! In: an [`Analysis`]. Out: HTML. What comes from the score is text and is escaped by the template.

mod curve;
mod keyboard;
mod reach;
mod spot;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::view;
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::units::Hand;

/// Spots drawn. Chosen by us: three are what a learner can take home.
const SPOTS: usize = 3;

const STYLE: &str = include_str!("style.css");

/// Renders the page; `file` names the score where it has no title of its own.
pub fn render(analysis: &Analysis, file: &str) -> String {
    let title = view::title(analysis, file);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    h1 { (title) }
                    @if let Some(composer) = view::composer(analysis) { p.composer { (composer) } }
                    p.facts { (view::facts(analysis).join(" · ")) }
                    p.facts { (view::tempo(analysis)) }
                }
                main {
                    (load(analysis))
                    (hands(analysis))
                    (spots(analysis))
                    (remarks(analysis))
                }
            }
        }
    };
    page.into_string()
}

fn section(id: &str, heading: &str, body: &Markup) -> Markup {
    let heading_id = format!("{id}-heading");
    html! {
        section id=(id) aria-labelledby=(heading_id) {
            h2 id=(heading_id) { (heading) }
            (body)
        }
    }
}

fn load(analysis: &Analysis) -> Markup {
    let body = html! {
        p.key {
            span.swatch.right {} "right hand, upwards "
            span.swatch.left {} "left hand, downwards. The height is the effort a second in each measure; "
            "the bars are passages and lead to the table."
        }
        (curve::draw(analysis, &[]))
    };
    section("load", "Where the work lies", &body)
}

fn hands(analysis: &Analysis) -> Markup {
    let body = html! {
        div.wide { table {
            thead { tr {
                th scope="col" { "Hand" } th.n scope="col" { "Notes" } th scope="col" { "Busiest measure" }
                th scope="col" { "Reach" } th.n scope="col" { "Thumb under" } th.n scope="col" { "Finger over" }
            } }
            tbody { @for hand in Hand::BOTH { tr {
                th scope="row" { span.swatch.right[hand == Hand::Right].left[hand == Hand::Left] {} (hand.name()) }
                td.n { (analysis.line(hand).notes.len()) }
                td { @if let Some((measure, rate)) = view::busiest(analysis, hand) {
                    (format!("{rate:.1}")) " notes a second in measure " (view::number(&analysis.score, measure))
                } }
                td { @if let Some((low, high)) = view::reach(analysis, hand) { (low) " to " (high) } }
                td.n { (view::crossings(analysis, hand, CrossingKind::ThumbUnder)) }
                td.n { (view::crossings(analysis, hand, CrossingKind::FingerOver)) }
            } } }
        } }
        (reach::draw(analysis))
        p.key { "Bars: how often each key is played, the right hand above and the left below. Triangles: keys that a "
            "thumb reaches from beneath, or a finger from above." }
    };
    section("hands", "What each hand has to do", &body)
}

fn spots(analysis: &Analysis) -> Markup {
    let spots = view::hardest(analysis, SPOTS);
    if spots.is_empty() {
        return html! {};
    }
    let body = html! {
        p.key { "Read downwards: every row is the next note, over its key, with its finger in the circle. The thick line "
            "is the crossing." }
        ol.spots { @for (index, spot) in spots.iter().enumerate() { li {
            h3 { (view::spot_place(analysis, spot)) }
            (spot::draw(analysis, spot, &format!("spot-{}", index + 1)))
            @if spot.measures.len() > 1 { p { (view::spot_times(analysis, spot)) } }
        } } }
    };
    section("spots", "The hardest crossings", &body)
}

fn remarks(analysis: &Analysis) -> Markup {
    if analysis.remarks.is_empty() {
        return html! {};
    }
    let body = html! { ul { @for remark in &analysis.remarks { li { (view::clean(&remark.to_string())) } } } };
    section("remarks", "Remarks on the file", &body)
}

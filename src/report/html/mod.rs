//! The report as one page that needs nothing else: no script, no network, for screen, phone, paper and reader.
//!
//! In: an [`Analysis`]. Out: HTML. What comes from the score is text and is escaped by the template.

mod curve;
mod drills;
mod engraved;
mod keyboard;
mod level;
mod reach;
mod readiness;
mod spot;
mod table;

use maud::{Markup, html};

use self::curve::Bar;
use self::table::{Row, table};
use super::page::{self, Page};
use super::view::{self, PassageGroup};
use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::passages::Passage;
use crate::readiness::Fit;
use crate::units::Hand;

/// Pieces of a list of measures before the rest is only counted.
const MEASURES: usize = 12;

/// Pictures made outside the library, by an engraver, to stand in the page as they are: each an SVG element that is fit to
/// stand there, without ids, scripts or links. Where one is missing the page draws what it can itself.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Pictures {
    /// Of the hardest spots, in their order; see [`super::excerpts`].
    pub spots: Vec<String>,
    /// The sheets of the drills, in their order; see [`super::sheet::drill_sheet`].
    pub sheets: Vec<String>,
}

/// Renders the page; `file` names the score where it has no title of its own, and `fit` is what the piece is to a player.
pub fn render(analysis: &Analysis, file: &str, fit: Option<&Fit>, pictures: &Pictures) -> String {
    let groups = view::passages(analysis);
    let lead = html! {
        @if let Some(composer) = view::composer(analysis) { p.composer { (composer) } }
        p.facts { (view::facts(analysis).join(" · ")) }
        p.facts { (view::tempo(analysis)) }
    };
    let main = html! {
        p.verdict { (level::verdict(analysis)) }
        (section("level", "How hard it is", &level::body(analysis)))
        @if let Some(fit) = fit { (readiness::draw(fit)) }
        (load(analysis, &groups))
        (hands(analysis))
        (spots(analysis, &pictures.spots))
        (section("drills", "What to drill first", &drills::body(analysis, &pictures.sheets)))
        (passages(analysis, &groups))
        (edition(analysis))
        (remarks(analysis))
        (cautions(analysis))
    };
    let title = view::title(analysis, file);
    page::render(&Page { title: &title, class: "piece", style: "", script: None, lead, main })
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

fn load(analysis: &Analysis, groups: &[PassageGroup<'_>]) -> Markup {
    let body = html! {
        p.key {
            span.swatch.right {} "right hand, upwards "
            span.swatch.left {} "left hand, downwards. The height is the effort a second in each measure; "
            "the bars are passages and lead to the table."
        }
        (curve::draw(analysis, &bars(groups)))
    };
    section("load", "Where the work lies", &body)
}

/// A bar for every passage, with the number of its row in the table.
fn bars(groups: &[PassageGroup<'_>]) -> Vec<Bar> {
    let of_group = |(index, group): (usize, &PassageGroup<'_>)| {
        let bar = |passage: &&Passage| Bar {
            hand: group.hand,
            measures: (passage.first_measure, passage.last_measure),
            label: (index + 1).to_string(),
            title: format!("{}, {}", group.hand.name(), group.name),
            id: passage_id(index),
        };
        group.passages.iter().map(bar).collect::<Vec<_>>()
    };
    groups.iter().enumerate().flat_map(of_group).collect()
}

fn passage_id(group: usize) -> String {
    format!("passage-{}", group + 1)
}

fn passages(analysis: &Analysis, groups: &[PassageGroup<'_>]) -> Markup {
    if groups.is_empty() {
        return html! {};
    }
    let columns = [
        ("No.", true),
        ("Hand", false),
        ("Passage", false),
        ("Direction", false),
        ("Times", true),
        ("Longest, notes", true),
        ("Notes a second", true),
        ("Measures", false),
    ];
    let row = |(index, group): (usize, &PassageGroup<'_>)| Row {
        id: Some(passage_id(index)),
        cells: vec![
            html! { (index + 1) },
            html! { span.side { (swatch(group.hand)) (side(group.hand)) } },
            html! { (group.name) },
            html! { (group.way()) },
            html! { (group.passages.len()) },
            html! { (group.longest()) },
            html! { @if group.fastest() > 0.0 { (format!("{:.1}", group.fastest())) } },
            html! { (view::measure_list(&analysis.score, group.measures(), MEASURES)) },
        ],
    };
    let rows: Vec<Row> = groups.iter().enumerate().map(row).collect();
    section("passages", "Passages", &table(&columns, &rows))
}

fn swatch(hand: Hand) -> Markup {
    html! { span.swatch.right[hand == Hand::Right].left[hand == Hand::Left] {} }
}

fn side(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

fn edition(analysis: &Analysis) -> Markup {
    let edition = &analysis.edition;
    let body = html! {
        p { "The print is " strong { (edition.preparation.name()) } "." }
        ul { @for said in edition.observations() { li { (view::upper_first(&view::clean(&said))) } } }
    };
    section("edition", "The edition", &body)
}

fn hands(analysis: &Analysis) -> Markup {
    let columns = [
        ("Hand", false),
        ("Notes", true),
        ("Busiest measure", false),
        ("Reach", false),
        ("Thumb under", true),
        ("Finger over", true),
    ];
    let cells = |hand: Hand| {
        let busiest = view::busiest(analysis, hand);
        vec![
            html! { span.side { (swatch(hand)) (hand.name()) } },
            html! { (analysis.line(hand).notes.len()) },
            html! { @if let Some((measure, rate)) = busiest {
                (format!("{rate:.1}")) " notes a second in measure " (view::number(&analysis.score, measure))
            } },
            html! { @if let Some((low, high)) = view::reach(analysis, hand) { (low) " to " (high) } },
            html! { (view::crossings(analysis, hand, CrossingKind::ThumbUnder)) },
            html! { (view::crossings(analysis, hand, CrossingKind::FingerOver)) },
        ]
    };
    let rows = Hand::BOTH.map(|hand| Row { id: None, cells: cells(hand) });
    let body = html! {
        (table(&columns, &rows))
        (reach::draw(analysis))
        p.key { "Bars: how often each key is played, the right hand above and the left below. Triangles: keys that a "
            "thumb reaches from beneath, or a finger from above." }
    };
    section("hands", "What each hand has to do", &body)
}

fn spots(analysis: &Analysis, pictures: &[String]) -> Markup {
    let spots = view::hardest(analysis, view::SPOTS);
    if spots.is_empty() {
        return html! {};
    }
    let strips = spots.len() > pictures.len();
    let body = html! {
        @if !pictures.is_empty() {
            p.key { "A dashed arc marks the crossing: below, the thumb passes under; above, a finger goes over. "
                "Digits that the score prints are kept, the others are ours." }
        }
        @if strips {
            p.key { "Read downwards: every row is the next note, over its key, with its finger in the circle. The thick "
                "line is the crossing." }
        }
        ol.spots { @for (index, spot) in spots.iter().enumerate() { li {
            @let id = format!("spot-{}", index + 1);
            h3 id={ (id) "-heading" } { (view::spot_place(analysis, spot)) }
            @if let Some(picture) = pictures.get(index) {
                (engraved::draw(picture, &format!("{id}-heading"), &spot::words(analysis, spot)))
            } @else {
                (spot::draw(analysis, spot, &id))
            }
            @if spot.measures.len() > 1 { p { (view::spot_times(analysis, spot)) } }
        } } }
    };
    section("spots", "The hardest crossings", &body)
}

fn cautions(analysis: &Analysis) -> Markup {
    let body = html! { ul { @for caution in &analysis.cautions { li { (view::clean(caution)) } } } };
    section("cautions", "Take care", &body)
}

fn remarks(analysis: &Analysis) -> Markup {
    if analysis.remarks.is_empty() {
        return html! {};
    }
    let body = html! { ul { @for remark in &analysis.remarks { li { (view::clean(&remark.to_string())) } } } };
    section("remarks", "Remarks on the file", &body)
}

//! The report as plain text, for a terminal of 80 columns or any other.
//!
//! In: an [`Analysis`] and a [`Style`]. Out: the text. The order is that of a teacher's questions: what is this, how
//! hard, what does each hand do, where does it get hard, what to practise first, what was assumed.

mod curve;
mod drills;
mod fingering;
mod level;
pub(in crate::report) mod page;
mod readiness;
mod scale;

pub use fingering::render_fingering;
pub use page::Style;
pub use scale::render_scale;

use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::readiness::Fit;
use crate::report::view;
use crate::units::Hand;

use unicode_width::UnicodeWidthStr;

use page::{Ink, Page, table};

/// Spots shown with their notes. Chosen by us: three are what a learner can take home.
const SPOTS: usize = 3;

/// Kinds of passages shown. Chosen by us: a screen; JSON has them all.
const PASSAGES: usize = 16;

/// Columns of the table of passages besides names and measures: indent, hand, way, notes, rate and the spaces between.
const PASSAGE_COLUMNS: usize = 35;

/// Slices shown on either side of a spot.
const AROUND: usize = 3;

/// Renders the report; `file` names the score where it has no title of its own, and `fit` is what the piece is to a player.
pub fn render(analysis: &Analysis, file: &str, fit: Option<&Fit>, style: Style) -> String {
    let mut page = Page::new(style);
    header(&mut page, analysis, file);
    level::write(&mut page, analysis);
    if let Some(fit) = fit {
        readiness::write(&mut page, fit);
    }
    hands(&mut page, analysis);
    curve::write(&mut page, analysis);
    passages(&mut page, analysis);
    spots(&mut page, analysis);
    drills::write(&mut page, analysis);
    edition(&mut page, analysis);
    remarks(&mut page, analysis);
    cautions(&mut page, analysis);
    page.finish()
}

fn header(page: &mut Page, analysis: &Analysis, file: &str) {
    page.paragraph(0, &view::title(analysis, file), Some(Ink::Strong));
    if let Some(composer) = view::composer(analysis) {
        page.paragraph(0, &composer, None);
    }
    page.paragraph(0, &view::facts(analysis).join(" · "), None);
    page.paragraph(0, &view::tempo(analysis), None);
}

fn hands(page: &mut Page, analysis: &Analysis) {
    page.heading("What each hand has to do");
    let mut rows = Vec::new();
    for hand in Hand::BOTH {
        let Some((low, high)) = view::reach(analysis, hand) else {
            rows.push(vec![hand.name().to_owned(), "0".to_owned(), "nothing to play".to_owned()]);
            continue;
        };
        let busiest = view::busiest(analysis, hand).map_or_else(String::new, |(measure, rate)| {
            format!("{rate:.1} notes/s in m. {}", view::cut(&view::clean(view::number(&analysis.score, measure)), 6))
        });
        let count = |kind| view::crossings(analysis, hand, kind);
        rows.push(vec![
            hand.name().to_owned(),
            analysis.line(hand).notes.len().to_string(),
            busiest,
            format!("{low} to {high}"),
            count(CrossingKind::ThumbUnder).to_string(),
            count(CrossingKind::FingerOver).to_string(),
        ]);
    }
    table(page, 2, &["", "notes", "busiest measure", "reach", "thumb under", "finger over"], &rows);
}

fn passages(page: &mut Page, analysis: &Analysis) {
    let groups = view::passages(analysis);
    if groups.is_empty() {
        return;
    }
    page.heading("Passages");
    let shown = || groups.iter().take(PASSAGES);
    let longest_name = shown().map(|group| group.name.width()).max().unwrap_or(0);
    let left = page.columns().saturating_sub(PASSAGE_COLUMNS + longest_name).max(12);
    let row = |group: &view::PassageGroup<'_>| {
        vec![
            side(group.hand).to_owned(),
            group.name.clone(),
            group.way().to_owned(),
            group.longest().to_string(),
            Some(group.fastest()).filter(|rate| *rate > 0.0).map_or_else(String::new, |rate| format!("{rate:.1}")),
            view::measure_list_within(&analysis.score, &group.measures(), left),
        ]
    };
    let rows: Vec<Vec<String>> = shown().map(row).collect();
    table(page, 2, &["hand", "passage", "way", "notes", "per s", "measures"], &rows);
    if groups.len() > PASSAGES {
        page.paragraph(2, &format!("and {} more kinds of passage", groups.len() - PASSAGES), Some(Ink::Faint));
    }
}

/// `right` or `left`, where the word hand stands above.
fn side(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

fn spots(page: &mut Page, analysis: &Analysis) {
    let spots = view::hardest(analysis, SPOTS);
    if spots.is_empty() {
        return;
    }
    page.heading("Hardest crossings");
    for spot in &spots {
        page.hanging("  ", &view::spot_place(analysis, spot));
        strip(page, &view::strip(analysis, spot.movement, AROUND));
        if spot.measures.len() > 1 {
            page.paragraph(6, &view::spot_times(analysis, spot), Some(Ink::Faint));
        }
    }
}

/// Pitches above, fingers below, an arrow to the note that the crossing reaches.
fn strip(page: &mut Page, notes: &[view::StripNote]) {
    let (mut pitches, mut fingers) = (String::from("      "), String::from("      "));
    for note in notes {
        let finger = note.finger.map_or_else(|| "?".to_owned(), |finger| finger.to_string());
        let (pitch, finger) = (format!("{:<5}", note.pitch.to_string()), format!("{finger:<5}"));
        if note.reached {
            pitches.push_str("→ ");
            fingers.push_str("  ");
            pitches.push_str(&page.ink(Ink::Marked, &pitch));
            fingers.push_str(&page.ink(Ink::Marked, &finger));
        } else {
            pitches.push_str(&pitch);
            fingers.push_str(&finger);
        }
    }
    page.line(&pitches);
    page.line(&fingers);
}

fn edition(page: &mut Page, analysis: &Analysis) {
    page.heading(&format!("The edition: {}", analysis.edition.preparation.name()));
    for said in analysis.edition.observations() {
        page.hanging("  - ", &said);
    }
}

fn cautions(page: &mut Page, analysis: &Analysis) {
    page.heading("Take care");
    for caution in &analysis.cautions {
        page.hanging("  - ", caution);
    }
}

fn remarks(page: &mut Page, analysis: &Analysis) {
    if analysis.remarks.is_empty() {
        return;
    }
    page.heading("Remarks on the file");
    for remark in &analysis.remarks {
        page.hanging("  - ", &remark.to_string());
    }
}

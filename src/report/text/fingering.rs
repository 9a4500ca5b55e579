//! Why a passage is fingered as it is: every slice with its fingers and what each rule cost.

use std::collections::BTreeMap;

use super::page::{Ink, Page, Style, table};
use crate::analysis::Analysis;
use crate::fingering::{Cost, FingerSource, POINT, Rule, SliceCosts};
use crate::hands::Line;
use crate::report::view::{beat, beat_text};
use crate::units::Hand;

/// Renders the costs of the hands that are given.
pub fn render_fingering(analysis: &Analysis, costs: &[(Hand, Vec<SliceCosts>)], style: Style) -> String {
    let mut page = Page::new(style);
    page.paragraph(0, analysis.score.title.as_deref().unwrap_or("untitled"), Some(Ink::Strong));
    for (hand, slices) in costs {
        page.heading(hand.name());
        if slices.is_empty() {
            page.paragraph(2, "Nothing to play.", None);
            continue;
        }
        let line = analysis.line(*hand);
        let rows: Vec<Vec<String>> = slices.iter().map(|slice| row(analysis, line, slice)).collect();
        table(&mut page, 2, &["m.", "beat", "notes", "fingers", "cost", "because"], &rows);
        let mut sums: BTreeMap<Rule, Cost> = BTreeMap::new();
        slices.iter().flat_map(|slice| &slice.costs).for_each(|(rule, cost)| *sums.entry(*rule).or_default() += cost);
        let mut sums: Vec<(Rule, Cost)> = sums.into_iter().collect();
        sums.sort_by_key(|(_, cost)| std::cmp::Reverse(*cost));
        page.gap();
        page.hanging(&format!("  in all {}: ", points(sums.iter().map(|(_, cost)| cost).sum())), &listed(&sums));
    }
    page.gap();
    let legend = "A cost of 1 is about one point of the published rules (Parncutt et al. 1997): a weak finger, a thumb \
                  passing between white keys. Of all fingerings the one of least cost is shown; * is printed in the score.";
    page.paragraph(0, legend, Some(Ink::Faint));
    page.finish()
}

fn row(analysis: &Analysis, line: &Line, costs: &SliceCosts) -> Vec<String> {
    let (score, fingering) = (&analysis.score, &analysis.playing(line.hand).fingering);
    let slice = &line.slices[costs.slice];
    let places = slice.first..slice.first + slice.count;
    let notes: Vec<String> = places.clone().map(|place| score.notes[line.notes[place]].pitch.to_string()).collect();
    let finger = |place: usize| {
        let finger = fingering.fingers[place].map_or_else(|| "-".to_owned(), |finger| finger.to_string());
        if fingering.sources[place] == FingerSource::Written { finger + "*" } else { finger }
    };
    let fingers: Vec<String> = places.map(finger).collect();
    let first = line.notes[slice.first];
    let measure = score.measures.get(score.notes[first].measure).map_or("", |measure| measure.number.as_str());
    let mut dearest = costs.costs.clone();
    dearest.sort_by_key(|(_, cost)| std::cmp::Reverse(*cost));
    vec![
        measure.to_owned(),
        beat_text(beat(score, first)),
        notes.join(" "),
        fingers.join(" "),
        points(costs.costs.iter().map(|(_, cost)| cost).sum()),
        listed(&dearest),
    ]
}

fn listed(costs: &[(Rule, Cost)]) -> String {
    let told = costs.iter().filter(|(_, cost)| *cost * 20 >= POINT);
    told.map(|(rule, cost)| format!("{} {}", rule.words(), points(*cost))).collect::<Vec<_>>().join(", ")
}

/// Hundredths as points with one decimal.
fn points(cost: Cost) -> String {
    format!("{:.1}", f64::from(cost) / f64::from(POINT))
}

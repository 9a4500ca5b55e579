//! One scale as text: signature, fingering of each hand, crossings from the most awkward, the transition to isolate.

use super::page::{Ink, Page, Style};
use crate::report::view::upper_first;
use crate::scales::{Form, ScaleReport, ScaleRun, other_fingerings};
use crate::units::Hand;

/// Columns before the notes.
const LABEL: usize = 7;

/// Crossings listed with their reasons. Chosen by us: the rest are easier and shown in the runs.
const LISTED: usize = 4;

/// Renders one scale.
pub fn render_scale(report: &ScaleReport, style: Style) -> String {
    let mut page = Page::new(style);
    page.paragraph(0, &report.scale.to_string(), Some(Ink::Strong));
    page.paragraph(0, &facts(report), None);
    for hand in Hand::BOTH {
        let runs: Vec<&ScaleRun> = report.runs.iter().filter(|run| run.hand == hand).collect();
        if runs.is_empty() {
            continue;
        }
        page.heading(hand.name());
        for run in runs {
            write_run(&mut page, run);
        }
    }
    page.paragraph(LABEL + 1, "→1 the thumb passes under, →2 to →4 a finger goes over it", Some(Ink::Faint));
    crossings(&mut page, report);
    if let Some(hardest) = report.isolate() {
        page.heading("The transition to isolate");
        page.paragraph(2, &format!("{}.", upper_first(&hardest.place_in_words())), None);
        page.paragraph(2, &hardest.how(), None);
    }
    page.finish()
}

fn facts(report: &ScaleReport) -> String {
    let octaves = if report.octaves == 1 { "1 octave".to_owned() } else { format!("{} octaves", report.octaves) };
    let Some(key) = report.scale.key() else { return octaves };
    let names: Vec<String> = key.signature().iter().map(ToString::to_string).collect();
    let kind = if key.fifths() < 0 { "flat" } else { "sharp" };
    let signature = match names.len() {
        0 => "no sharps or flats".to_owned(),
        1 => format!("1 {kind} ({})", names[0]),
        count => format!("{count} {kind}s ({})", names.join(", ")),
    };
    let twin = key.twin().map_or_else(String::new, |twin| format!(" · same keys as {twin}"));
    format!("{signature} · relative key {}{twin} · {octaves}", key.relative())
}

fn write_run(page: &mut Page, run: &ScaleRun) {
    let name = run.motion.name();
    let reached = |place: usize| place > 0 && run.crossings.iter().any(|crossing| crossing.place + 1 == place);
    // The arrow stands in the space before a digit, so a cell is as wide as the longest name and that space.
    let cell = run.pitches.iter().map(|pitch| pitch.to_string().len()).max().unwrap_or(0) + 1;
    let most = (page.columns().saturating_sub(LABEL) / cell).max(1);
    let rows = run.pitches.len().div_ceil(most).max(1);
    let places: Vec<usize> = (0..run.pitches.len()).collect();
    for (row, places) in places.chunks(run.pitches.len().div_ceil(rows).max(1)).enumerate() {
        let mut pitches = format!("  {:<width$}", if row == 0 { name } else { "" }, width = LABEL - 2);
        let mut fingers = " ".repeat(LABEL);
        for place in places {
            let (pitch, finger) = (run.pitches[*place], run.fingers[*place]);
            pitches.push_str(&format!(" {:<width$}", pitch.to_string(), width = cell - 1));
            let digit =
                if reached(*place) { page.ink(Ink::Marked, &format!("→{finger}")) } else { format!(" {finger}") };
            fingers.push_str(&digit);
            fingers.push_str(&" ".repeat(cell - 2));
        }
        page.line(&pitches);
        page.line(&fingers);
    }
    for other in other_fingerings(&run.fingers, &run.alternatives) {
        page.hanging(&" ".repeat(LABEL + 1), &other);
    }
}

fn crossings(page: &mut Page, report: &ScaleReport) {
    let crossings = &report.crossings;
    if crossings.is_empty() {
        return;
    }
    page.heading("Crossings, the most awkward first");
    for (rank, ranked) in crossings.iter().take(LISTED).enumerate() {
        let crossing = &ranked.crossing;
        let times = match (ranked.times, report.scale.form()) {
            (1, _) => String::new(),
            (times, Form::Chromatic) => format!(" and the like, {times} in all"),
            (times, _) => format!(", {times} times"),
        };
        let points = crossing.awkwardness.total();
        page.hanging(&format!("  {}. ", rank + 1), &format!("{}{times} ({points} points)", crossing.place_in_words()));
        page.paragraph(5, &crossing.why(), Some(Ink::Faint));
    }
    if crossings.len() > LISTED {
        let rest = crossings.len() - LISTED;
        let least = crossings.last().map_or(0, |ranked| ranked.crossing.awkwardness.total());
        page.paragraph(5, &format!("and {rest} easier, down to {least} points"), Some(Ink::Faint));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scales::Scale;

    #[test]
    fn the_hardest_moment_of_e_flat_major_comes_first() {
        let report = ScaleReport::new(Scale::parse("E-flat major", None).unwrap(), 2, &Hand::BOTH);
        let text = render_scale(&report, Style::default());
        assert!(text.contains("3 flats (B-flat, E-flat, A-flat) · relative key C minor · 2 octaves"), "{text}");
        assert!(text.contains("1. right hand, coming down, from C (1) to B-flat (4)"), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}

//! The shelf as plain text: next scales first, then two lines for each piece.

use super::view as words;
use crate::report::text::page::{Ink, Page, Style, table};
use crate::report::view::{clean, cut, upper_first};
use crate::shelf::{Shelf, drills_in_short};

/// Columns of the table of pieces besides title and composer: indent, level, readiness, tempo, minutes and spaces.
const FIXED: usize = 36;

/// Drills named in a line.
const DRILLS: usize = 3;

/// Renders the shelf.
pub fn render(shelf: &Shelf, style: Style) -> String {
    let mut page = Page::new(style);
    let title =
        shelf.learner.as_ref().map_or_else(|| "The shelf".to_owned(), |name| format!("The shelf for {}", clean(name)));
    page.paragraph(0, &title, Some(Ink::Strong));
    page.paragraph(0, &words::heading(shelf), None);
    next_scales(&mut page, shelf);
    pieces(&mut page, shelf);
    broken(&mut page, shelf);
    page.finish()
}

fn next_scales(page: &mut Page, shelf: &Shelf) {
    if shelf.entries.is_empty() {
        return;
    }
    let next = &shelf.next_scales;
    page.heading("Next scales");
    page.paragraph(2, &upper_first(&next.sentence()), None);
    let rows: Vec<Vec<String>> = next
        .scales
        .iter()
        .enumerate()
        .map(|(index, scale)| vec![(index + 1).to_string(), scale.scale.clone(), words::next_scale(scale)])
        .collect();
    if !rows.is_empty() {
        table(page, 2, &["", "scale", "crossings practised"], &rows);
    }
    if next.beyond_scales >= 10 {
        let beyond = format!(
            "{} % of the crossings, by effort, are in no scale (arpeggios mostly): isolate them in the pieces",
            next.beyond_scales / 10
        );
        page.paragraph(2, &upper_first(&beyond), Some(Ink::Faint));
    }
}

fn pieces(page: &mut Page, shelf: &Shelf) {
    if shelf.entries.is_empty() {
        return;
    }
    page.heading("Pieces");
    let names = page.columns().saturating_sub(FIXED).max(24);
    let (title, composer) = (names * 3 / 5, names - names * 3 / 5);
    let row = |cells: [&str; 6]| {
        format!(
            "  {:<8} {:<8} {} {} {:>5} {:>6}",
            cells[0],
            cells[1],
            padded(cells[2], title),
            padded(cells[3], composer),
            cells[4],
            cells[5]
        )
    };
    let head = row(["level", if shelf.judged { "for you" } else { "" }, "title", "composer", "tempo", "min"]);
    let head = page.ink(Ink::Faint, &head);
    page.line(&head);
    for entry in &shelf.entries {
        let piece = &entry.piece;
        let tempo = format!("{:.0}", piece.quarter_bpm);
        let composer = clean(piece.composer.as_deref().unwrap_or(""));
        let line = row([
            &words::level(&piece.level),
            words::readiness(entry),
            &clean(entry.title()),
            &composer,
            &tempo,
            &words::duration(piece.seconds),
        ]);
        page.line(&line);
        let mut notes = Vec::new();
        if let Some(standing) = entry.standing.as_ref().filter(|s| s.verdict != crate::readiness::Verdict::Ready) {
            notes.push(standing.sentence.split_once(": ").map_or(standing.sentence.clone(), |(_, why)| why.to_owned()));
        }
        let demands = words::demands(piece);
        if !demands.is_empty() {
            notes.push(demands);
        }
        if !piece.drills.is_empty() {
            notes.push(format!("drill {}", drills_in_short(&piece.drills, DRILLS)));
        }
        notes.push(piece.edition.preparation.name().to_owned());
        page.paragraph(11, &notes.join(" · "), Some(Ink::Faint));
    }
}

fn broken(page: &mut Page, shelf: &Shelf) {
    if shelf.broken.is_empty() {
        return;
    }
    page.heading("Could not be read");
    for broken in &shelf.broken {
        page.hanging("  ", &format!("{}: {}", clean(&broken.file), clean(&broken.reason)));
    }
}

/// Cut or filled to a width on the screen.
fn padded(text: &str, columns: usize) -> String {
    let text = cut(text, columns);
    let fill = columns.saturating_sub(textwrap::core::display_width(&text));
    format!("{text}{}", " ".repeat(fill))
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::shelf;
    use super::*;

    #[test]
    fn every_line_fits_and_every_piece_and_fault_is_there() {
        for columns in [60, 80, 120] {
            let text = render(&shelf(), Style { columns, colour: false });
            for line in text.lines() {
                assert!(textwrap::core::display_width(line) <= columns, "{columns}: {line}");
            }
            for part in ["=1+1", "stretch", "broken.xml: not well-formed XML at line 3", "E-flat major"] {
                assert!(text.contains(part), "{part} in\n{text}");
            }
        }
    }

    #[test]
    fn nothing_from_a_file_steers_the_terminal() {
        let mut shelf = shelf();
        shelf.entries[0].piece.title = Some("a\u{1b}[31mred\r\nnew line".into());
        let text = render(&shelf, Style::default());
        assert!(!text.contains('\u{1b}') && !text.contains('\r'), "{text}");
    }
}

//! The shelf as one page that needs nothing else: a table to sort and to filter, by mouse or keyboard, that reads without
//! a script and prints well.
//!
//! What comes from the scores is text and is escaped by the template. The only script is our own constant, and the page's
//! content security policy names it by its hash, so nothing else runs.

use maud::{Markup, html};

use super::view as words;
use crate::edition::Preparation;
use crate::readiness::Verdict;
use crate::report::page::{self, Page};
use crate::report::view::{clean, upper_first};
use crate::shelf::{Entry, Shelf};
use crate::summary::Era;

const STYLE: &str = include_str!("shelf.css");
const SCRIPT: &str = include_str!("shelf.js");

/// SHA-256 of the script, as a content security policy names it; a test computes it anew.
const SCRIPT_HASH: &str = "sha256-UNy08gYcyWsQBRuOqtUsBLRAsT5DoVtPMD64RN/IN98=";

/// Renders the page.
pub fn render(shelf: &Shelf) -> String {
    let title =
        shelf.learner.as_ref().map_or_else(|| "The shelf".to_owned(), |name| format!("The shelf for {}", clean(name)));
    let lead = html! { p.facts { (words::heading(shelf)) } };
    let main = html! {
        (next_scales(shelf))
        (pieces(shelf))
        (broken(shelf))
    };
    let script = Some((SCRIPT, SCRIPT_HASH));
    page::render(&Page { title: &title, class: "shelf", style: STYLE, script, lead, main })
}

fn next_scales(shelf: &Shelf) -> Markup {
    let next = &shelf.next_scales;
    if shelf.entries.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="next-heading" {
            h2 id="next-heading" { "Next scales" }
            p.verdict { (upper_first(&next.sentence())) "." }
            @if !next.scales.is_empty() {
                ol.ladder {
                    @for scale in &next.scales {
                        li {
                            span.name { (scale.scale) }
                            span.track aria-hidden="true" { span.fill style=(format!("width:{}%", scale.share / 10)) {} }
                            span.note { (words::next_scale(scale)) }
                        }
                    }
                }
            }
            @if next.beyond_scales >= 10 {
                p.key { (next.beyond_scales / 10) " % of the crossings, by effort, are in no scale (arpeggios mostly): isolate them in the pieces." }
            }
        }
    }
}

fn pieces(shelf: &Shelf) -> Markup {
    if shelf.entries.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="pieces-heading" {
            h2 id="pieces-heading" { "Pieces" }
            (filters(shelf))
            p.key role="status" id="count" { (words::count(shelf.entries.len(), "piece")) }
            table id="pieces" {
                caption.hidden { "Pieces with level, tempo, demands, drills and edition. The headings sort." }
                thead { tr {
                    (heading("level", "Level", true))
                    @if shelf.judged { (heading("ready", "For you", true)) }
                    (heading("title", "Title", false))
                    (heading("composer", "Composer", false))
                    (heading("key", "Key", true))
                    (heading("tempo", "Tempo", true))
                    (heading("length", "Minutes", true))
                    (heading("drills", "Drills", true))
                    (heading("edition", "Edition", true))
                } }
                tbody { @for entry in &shelf.entries { (row(entry, shelf.judged)) } }
            }
        }
    }
}

/// A heading that sorts; the script makes the button work, and without one it is only a name.
fn heading(column: &str, name: &str, is_number: bool) -> Markup {
    let kind = if is_number { "number" } else { "text" };
    let right = matches!(column, "tempo" | "length");
    html! { th.n[right] scope="col" data-column=(column) data-kind=(kind) { button type="button" disabled { (name) } } }
}

fn row(entry: &Entry, judged: bool) -> Markup {
    let piece = &entry.piece;
    let kinds: Vec<&str> = distinct(piece.passages.iter().map(|passage| passage.kind.as_str()));
    let in_hands: Vec<String> = kinds.iter().map(|kind| format!("{kind}:{}", words::hands_of(piece, kind))).collect();
    let drills: Vec<&str> = distinct(piece.drills.iter().map(|drill| drill.scale.as_str()));
    let keys: Vec<&str> = distinct(piece.key.iter().chain(&piece.later_keys).map(String::as_str));
    let verdict = entry.standing.as_ref().map(|standing| standing.verdict);
    html! {
        tr data-level=(piece.level.value) data-length=(format!("{:.0}", piece.seconds))
            data-hand=(words::heavier_hand(piece)) data-passages=(in_hands.join("|")) data-drills=(drills.join("|"))
            data-keys=(keys.join("|")) data-era=(piece.era.map_or("", Era::name)) data-ready=(words::readiness(entry))
            data-edition=(edition_word(piece.edition.preparation)) {
            td data-name="Level" data-sort=(piece.level.value) { (words::level(&piece.level)) }
            @if judged {
                td data-name="For you" data-sort=(verdict.map_or(3, |verdict| 2 - verdict as u8)) {
                    @if let Some(verdict) = verdict { span.badge.(verdict.name()) { (verdict.name()) } }
                }
            }
            th.title scope="row" data-name="Title" data-sort=(entry.title().to_lowercase()) {
                details {
                    summary { (clean(entry.title())) }
                    (details(entry))
                }
            }
            td data-name="Composer" data-sort=(piece.composer.as_deref().unwrap_or("").to_lowercase()) {
                (clean(piece.composer.as_deref().unwrap_or("")))
            }
            td data-name="Key" data-sort=(fifths(piece.key.as_deref())) { (piece.key.as_deref().unwrap_or("")) }
            td.n data-name="Tempo" data-sort=(format!("{:.0}", piece.quarter_bpm)) { (words::tempo(piece)) }
            td.n data-name="Minutes" data-sort=(format!("{:.0}", piece.seconds)) { (words::duration(piece.seconds)) }
            td data-name="Drills" data-sort=(piece.drills.len()) { (drills.iter().take(3).copied().collect::<Vec<_>>().join(", ")) }
            td data-name="Edition" data-sort=(piece.edition.preparation as u8) { (piece.edition.preparation.name()) }
        }
    }
}

fn details(entry: &Entry) -> Markup {
    let piece = &entry.piece;
    html! {
        dl {
            @if let Some(standing) = &entry.standing { dt { "For you" } dd { (upper_first(&clean(&standing.sentence))) } }
            @let demands = words::demands(piece);
            @if !demands.is_empty() { dt { "Demands" } dd { (upper_first(&demands)) } }
            @let passages = words::passages(piece);
            @if !passages.is_empty() { dt { "Passages" } dd { (upper_first(&passages.join(", "))) } }
            dt { "Edition" } dd { (upper_first(&piece.edition.observations().join("; "))) }
            dt { "File" } dd.file { (clean(&entry.file)) }
        }
    }
}

fn edition_word(preparation: Preparation) -> &'static str {
    match preparation {
        Preparation::Well => "well",
        Preparation::Partly => "partly",
        Preparation::Bare => "bare",
    }
}

fn fifths(key: Option<&str>) -> i8 {
    key.and_then(|key| crate::scales::Key::parse(key).ok()).map_or(99, crate::scales::Key::fifths)
}

fn distinct<'a>(items: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut seen: Vec<&str> = Vec::new();
    for item in items {
        if !seen.contains(&item) {
            seen.push(item);
        }
    }
    seen
}

/// The form above the table; hidden until the script has woken it.
fn filters(shelf: &Shelf) -> Markup {
    let all = |of: &dyn Fn(&Entry) -> Vec<String>| {
        let mut names: Vec<String> = shelf.entries.iter().flat_map(of).collect();
        names.sort();
        names.dedup();
        names
    };
    let keys = all(&|entry| entry.piece.key.iter().chain(&entry.piece.later_keys).cloned().collect());
    let kinds = all(&|entry| entry.piece.passages.iter().map(|passage| passage.kind.clone()).collect());
    let drills = all(&|entry| entry.piece.drills.iter().map(|drill| drill.scale.clone()).collect());
    let eras: Vec<String> = Era::ALL
        .iter()
        .filter(|era| shelf.entries.iter().any(|e| e.piece.era == Some(**era)))
        .map(|era| era.name().to_owned())
        .collect();
    let verdicts: Vec<String> = Verdict::ALL.iter().rev().map(|verdict| verdict.name().to_owned()).collect();
    let levels: Vec<String> = (1..=9).map(|level| level.to_string()).collect();
    let plain = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    html! {
        form.filters id="filters" hidden {
            label { "Find" input type="search" name="text" placeholder="title, composer, file"; }
            (choice("from", "From level", "any", &levels))
            (choice("to", "To level", "any", &levels))
            @if shelf.judged { (choice("ready", "For you", "any", &verdicts)) }
            (choice("keys", "Key", "any", &keys))
            (choice("hand", "Heavier hand", "any", &plain(&["right", "left", "both"])))
            (choice("passages", "Passage", "any", &kinds))
            (choice("drills", "Drill", "any", &drills))
            (choice("length", "At most", "any length", &plain(&["1 minute", "2 minutes", "3 minutes", "5 minutes", "10 minutes"])))
            @if !eras.is_empty() { (choice("era", "Era", "any", &eras)) }
            (choice("edition", "Edition", "any", &plain(&["well", "partly", "bare"])))
            button type="reset" { "Clear" }
        }
    }
}

fn choice(name: &str, label: &str, any: &str, options: &[String]) -> Markup {
    html! {
        label { (label)
            select name=(name) {
                option value="" { (any) }
                @for option in options { option value=(option) { (option) } }
            }
        }
    }
}

fn broken(shelf: &Shelf) -> Markup {
    if shelf.broken.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="broken-heading" {
            h2 id="broken-heading" { "Could not be read" }
            ul { @for broken in &shelf.broken { li { span.file { (clean(&broken.file)) } ": " (clean(&broken.reason)) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::super::view::tests::shelf;
    use super::*;

    #[test]
    fn the_policy_names_the_script_that_is_in_the_page() {
        let digest = Sha256::digest(SCRIPT.as_bytes());
        let expected = format!("sha256-{}", data_encoding::BASE64.encode(&digest));
        assert_eq!(SCRIPT_HASH, expected, "the script has changed: put its new hash into SCRIPT_HASH");
    }

    #[test]
    fn what_comes_from_a_score_is_text_and_never_markup() {
        let page = render(&shelf());
        assert!(!page.contains("<script>alert"), "{page}");
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
        assert!(page.contains("The shelf for Wren &lt;Ashlock&gt;"));
        assert_eq!(page.matches("<script").count(), 1);
    }

    #[test]
    fn the_page_asks_for_nothing_from_elsewhere() {
        let page = render(&shelf());
        for part in ["http://", "https://", "src=", "url(", "@import", "href="] {
            assert!(!page.contains(part), "{part}");
        }
    }
}

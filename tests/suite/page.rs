//! The HTML page: it needs nothing else, its links lead somewhere, and what a score says stays text.

use std::collections::BTreeSet;
use std::path::Path;

use crate::pieces::scale_piece;
use crate::run::Run;

fn page(score: &[u8]) -> String {
    Run::new(["assess", "-", "--format", "html"]).stdin(score).code(0).out
}

fn of_corpus(name: &str) -> String {
    page(&std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name)).unwrap())
}

/// Every value of an attribute.
fn values<'a>(page: &'a str, attribute: &str) -> Vec<&'a str> {
    let start = format!(" {attribute}=\"");
    page.split(start.as_str()).skip(1).map(|rest| rest.split('"').next().unwrap()).collect()
}

#[test]
fn markup_in_a_title_stays_text() {
    let hostile = scale_piece().replace(
        "Up the Hill &amp; Down &lt;Again&gt;",
        "&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;&lt;img src=x onerror=&quot;alert(2)&quot;&gt; &amp;amp;",
    );
    let page = page(hostile.as_bytes());
    assert!(!page.contains("<script") && !page.contains("<img"));
    assert!(page.contains("&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;&lt;img src=x onerror="));
    assert!(page.contains("&amp;amp;"));
}

#[test]
fn the_page_needs_no_script_and_no_other_file() {
    for name in ["harvest-wagon.musicxml", "the-causeway-in-storm.musicxml", "five-doors.musicxml"] {
        let page = of_corpus(name);
        for word in ["<script", "javascript:", "http:", "https:", "url(", "@import", " src=", "<link", "<iframe"] {
            assert!(!page.contains(word), "{name}: {word}");
        }
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
    }
}

#[test]
fn every_link_and_label_leads_to_one_place() {
    for name in ["harvest-wagon.musicxml", "the-causeway-in-storm.musicxml"] {
        let page = of_corpus(name);
        let ids = values(&page, "id");
        let known: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), known.len(), "{name}: ids are unique");
        let links = values(&page, "href");
        assert!(links.len() > 3, "{name}: passages are linked");
        for link in links.iter().filter(|link| !link.starts_with("data:")) {
            assert!(link.strip_prefix('#').is_some_and(|id| known.contains(id)), "{name}: {link}");
        }
        for label in values(&page, "aria-labelledby") {
            assert!(label.split(' ').all(|id| known.contains(id)), "{name}: {label}");
        }
    }
}

#[test]
fn the_sheet_of_every_drill_comes_with_the_page() {
    let page = of_corpus("sonatina-for-an-east-window.musicxml");
    let start = "data:application/vnd.recordare.musicxml;base64,";
    let links = values(&page, "href");
    let sheets: Vec<Vec<u8>> = links
        .iter()
        .filter_map(|link| link.strip_prefix(start))
        .map(|coded| data_encoding::BASE64.decode(coded.as_bytes()).unwrap())
        .collect();
    assert_eq!(values(&page, "download"), ["e-flat-major-scale.mxl", "c-harmonic-minor-scale.mxl"]);
    assert_eq!(sheets.len(), 2);
    for sheet in sheets {
        let (score, remarks) = thumbunder::musicxml::read_score(&sheet, &thumbunder::Limits::default()).unwrap();
        assert!(score.notes.iter().all(|note| !note.written.is_empty()) && remarks.is_empty());
    }
}

#[test]
fn a_page_shows_one_score() {
    Run::new(["assess", "a.xml", "b.xml", "--format", "html"])
        .code(2)
        .stderr("error: a page shows one score, but several were given; hint: make one page for each\n");
}

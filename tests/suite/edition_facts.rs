//! What any teacher says about editions, arrangements and early music, found by the whole program. Every fact here is
//! common practice, no source.
#![allow(clippy::print_stdout, reason = "a test that is skipped says so")]

use std::path::Path;

use thumbunder::Options;
use thumbunder::analysis::{Analysis, analyse};
use thumbunder::edition::{Edition, Preparation};
use thumbunder::summary::{Era, summarise};

use crate::reading_data::data;

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name)).unwrap()
}

fn analysed(bytes: &[u8]) -> Analysis {
    analyse(bytes, &Options::default()).unwrap()
}

/// The score without one kind of element.
fn without(xml: &str, element: &str) -> String {
    let (start, end) = (format!("<{element}"), format!("</{element}>"));
    let mut left = xml.to_owned();
    while let Some(from) = left.find(&start) {
        let until = from + left[from..].find(&end).unwrap() + end.len();
        left.replace_range(from..until, "");
    }
    left
}

#[test]
fn a_well_prepared_edition_prints_fingering_and_dynamics() {
    let xml = String::from_utf8(bytes("every-finger-named.musicxml")).unwrap();
    let edition = |xml: &str| analysed(xml.as_bytes()).edition;
    let prepared = edition(&xml);
    assert_eq!(prepared.preparation, Preparation::Well);
    assert_eq!(prepared.crossings_with_digit.percent(), Some(100));
    // The same music with its digits or its dynamics taken away is prepared less well, and the reader is told of what.
    let told = |edition: &Edition| edition.observations().join(" ").to_lowercase();
    let unfingered = edition(&without(&xml, "fingering"));
    assert!(
        unfingered.preparation < Preparation::Well && told(&unfingered).contains("finger"),
        "{}",
        told(&unfingered)
    );
    let unmarked = edition(&without(&xml, "dynamics"));
    assert!(told(&unmarked) != told(&prepared) && told(&unmarked).contains("dynamic"), "{}", told(&unmarked));
    assert_eq!(analysed(&bytes("bare-branches.musicxml")).edition.preparation, Preparation::Bare);
}

#[test]
fn an_arrangement_of_orchestral_music_shows_it_in_its_writing_and_piano_music_does_not() {
    let arranged = analysed(&bytes("the-bandstand-sunday.musicxml")).edition;
    assert!(!arranged.arrangement.is_empty());
    for piece in ["garden-gate-invention.mxl", "every-finger-named.musicxml", "weathercock.xml"] {
        let written_for_piano = analysed(&bytes(piece)).edition;
        assert!(written_for_piano.arrangement.is_empty(), "{piece}: {:?}", written_for_piano.arrangement);
    }
}

#[test]
fn baroque_keyboard_music_is_intermediate_study() {
    let Some(data) = data() else { return };
    let mut levels = Vec::new();
    for entry in std::fs::read_dir(data.join("ladder/scores")).unwrap() {
        let analysis = analysed(&std::fs::read(entry.unwrap().path()).unwrap());
        if summarise(&analysis).era == Some(Era::Baroque) {
            levels.push(analysis.level.value);
        }
    }
    levels.sort_by(f64::total_cmp);
    println!("levels of baroque pieces: {levels:?}");
    assert!(levels.len() >= 4, "{levels:?}");
    let median = levels[levels.len() / 2];
    assert!((4.0..=6.5).contains(&median), "{levels:?}");
    assert!(levels.iter().all(|level| *level < 7.5), "{levels:?}");
}

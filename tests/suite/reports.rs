//! The reports of the program: JSON against its schema, text against the width of a terminal.

use std::path::{Path, PathBuf};

use serde_json::Value;
use thumbunder::analysis::analyse;
use thumbunder::report::{html, text};

use crate::pieces::{scale_piece, write_piece};
use crate::run::Run;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn schema() -> jsonschema::Validator {
    let text = std::fs::read_to_string(root().join("docs/assess.schema.json")).unwrap();
    jsonschema::validator_for(&serde_json::from_str(&text).unwrap()).unwrap()
}

/// Every piece of the corpus.
fn corpus() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(root().join("corpus")).unwrap().map(|entry| entry.unwrap().path());
    let mut scores: Vec<PathBuf> = entries.filter(|path| path.extension().is_some_and(|e| e == "musicxml")).collect();
    scores.sort();
    assert!(!scores.is_empty());
    scores
}

#[track_caller]
fn assert_valid(schema: &jsonschema::Validator, report: &Value) {
    let faults: Vec<String> =
        schema.iter_errors(report).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn json_of_one_score_is_an_object_and_of_several_an_array_as_the_schema_says() {
    let schema = schema();
    let folder = tempfile::tempdir().unwrap();
    let piece = write_piece(folder.path(), "piece.musicxml");
    let json = |scores: &[&Path]| -> Value {
        let args = scores.iter().map(|path| path.as_os_str().to_owned());
        let args = ["assess", "--format", "json"].map(Into::into).into_iter().chain(args);
        serde_json::from_str(&Run::new(args).code(0).out).unwrap()
    };
    let one = json(&[&piece]);
    assert_valid(&schema, &one);
    assert_eq!(one["score"]["title"], "Up the Hill & Down <Again>");
    assert_eq!(one["score"]["composer"], "Ilse Marrowby");
    assert_eq!(one["score"]["notes"], serde_json::json!({"R": 16, "L": 2}));
    assert_eq!(one["score"]["keys"], serde_json::json!([{"measure": "1", "key": "E-flat major"}]));
    assert_eq!(one["score"]["tempo"], serde_json::json!({"quarter_bpm": 96.0, "source": "written"}));
    let two = json(&[&piece, &piece]);
    assert_valid(&schema, &two);
    assert_eq!(two.as_array().map(Vec::len), Some(2));
    assert_eq!(two[1], one);
}

#[test]
fn json_of_the_whole_corpus_is_as_the_schema_says() {
    let args = ["assess", "--format", "json"].map(Into::into).into_iter();
    let ran = Run::new(args.chain(corpus().into_iter().map(PathBuf::into_os_string))).code(0);
    assert_valid(&schema(), &serde_json::from_str(&ran.out).unwrap());
}

#[test]
fn the_schema_refuses_what_is_not_a_report() {
    let schema = schema();
    assert!(!schema.is_valid(&serde_json::json!({"schema": 1})));
    assert!(!schema.is_valid(&serde_json::json!([{"schema": 2, "file": "a"}])));
}

#[test]
fn text_of_the_whole_corpus_fits_in_eighty_columns() {
    for score in corpus() {
        let ran = Run::new([Path::new("assess").as_os_str(), score.as_os_str()]).code(0);
        for line in ran.out.lines() {
            assert!(line.chars().count() <= 80, "{}: {line}", score.display());
        }
    }
}

#[test]
fn a_level_in_tenths_rounds_to_the_whole_level_beside_it() {
    let mut analysis = analyse(scale_piece().as_bytes(), &thumbunder::Options::default()).unwrap();
    analysis.level.value = 3.46;
    analysis.level.level = 3;
    let shown = text::render(&analysis, "", None, text::Style::default());
    assert!(shown.contains("level 3 of 9 (3.4), "), "{shown}");
    let shown = html::render(&analysis, "", None, &html::Pictures::default());
    assert!(shown.contains("Level 3 of 9 (3.4), ") && shown.contains("Level 3.4 on a scale"), "{shown}");
}

#[test]
fn the_swing_of_e_flat_major_is_shown_with_pitches_fingers_and_place() {
    let ran = Run::new(["assess", "-"]).stdin(scale_piece()).code(0);
    let ran = ran.says("right hand, finger over, measure 2 beat 2.5").says("scale run, E-flat major");
    assert!(ran.out.starts_with("Up the Hill & Down <Again>\nIlse Marrowby\n2 measures · E-flat major · 4/4\n"));
}

#[test]
fn the_same_score_gives_the_same_report() {
    for format in ["text", "json"] {
        let args = ["assess", "-", "--format", format];
        let (once, again) = (Run::new(args).stdin(scale_piece()).code(0), Run::new(args).stdin(scale_piece()).code(0));
        assert_eq!(once.out, again.out);
    }
}

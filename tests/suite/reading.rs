//! What is read from the small scores of `tests/scores`, one topic each.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use thumbunder::error::Remarks;
use thumbunder::hands::{Hands, assign_hands};
use thumbunder::score::{DirectionKind, Note, Score};
use thumbunder::tempo::choose_tempo;
use thumbunder::units::Hand;
use thumbunder::{Error, Limits, musicxml};

use crate::hostile::{NOTE, measure};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/scores")
}

/// The small scores by name, in order.
pub fn small_scores() -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "musicxml" || end == "mxl") {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            found.push((name, std::fs::read(&path).unwrap()));
        }
    }
    found.sort();
    assert!(found.len() > 50, "the small scores are there");
    found
}

/// Everything that was read, as text that a person can check against the score.
fn told(bytes: &[u8]) -> String {
    let mut text = String::new();
    match read(bytes, &mut text) {
        Ok(()) => text,
        Err(error) => format!("error: {error}\n"),
    }
}

fn read(bytes: &[u8], text: &mut String) -> Result<(), Error> {
    let (score, mut remarks) = musicxml::read_score(bytes, &Limits::default())?;
    let hands = assign_hands(&score, &mut remarks)?;
    let tempo = choose_tempo(&score, &hands, None, &mut remarks);
    if let Some(title) = &score.title {
        writeln!(text, "title {title}").unwrap();
    }
    writeln!(text, "tempo {:.0} {:?}", tempo.quarter_bpm, tempo.source).unwrap();
    write_measures(text, &score);
    write_notes(text, &score, &hands);
    write_marks(text, &score);
    write_remarks(text, remarks);
    Ok(())
}

fn write_measures(text: &mut String, score: &Score) {
    for measure in &score.measures {
        write!(text, "measure {} at {} for {}", measure.number, measure.onset, measure.duration).unwrap();
        if measure.repeat_start {
            text.push_str(" repeat-start");
        }
        if measure.repeat_end {
            text.push_str(" repeat-end");
        }
        if let Some(ending) = &measure.ending {
            write!(text, " ending {ending}").unwrap();
        }
        text.push('\n');
    }
}

fn write_notes(text: &mut String, score: &Score, hands: &Hands) {
    for (id, note) in score.notes.iter().enumerate() {
        let hand = Hand::BOTH.into_iter().find(|hand| hands.line(*hand).notes.contains(&id));
        let hand = hand.map_or('-', Hand::letter);
        write!(text, "note {} for {} {} {hand}", note.onset, note.duration, note.pitch).unwrap();
        write!(text, " staff {} voice {}", note.staff, note.voice).unwrap();
        write_signs(text, note);
        text.push('\n');
    }
}

fn write_signs(text: &mut String, note: &Note) {
    if note.is_grace() {
        write!(text, " grace {}", note.grace).unwrap();
    }
    if i32::from(note.staff_position) != note.pitch.staff_position() {
        write!(text, " printed {:+}", i32::from(note.staff_position) - note.pitch.staff_position()).unwrap();
    }
    if note.cue {
        text.push_str(" cue");
    }
    if note.tuplet != (1, 1) {
        write!(text, " tuplet {}:{}", note.tuplet.0, note.tuplet.1).unwrap();
    }
    for (name, _) in note.marks.iter_names() {
        write!(text, " {}", name.to_lowercase().replace('_', "-")).unwrap();
    }
    for digit in &note.written {
        let sign = match (digit.substitution, digit.alternate) {
            (true, _) => "then",
            (_, true) => "or",
            _ => "finger",
        };
        write!(text, " {sign} {}", digit.finger).unwrap();
    }
}

fn write_marks(text: &mut String, score: &Score) {
    for key in &score.keys {
        writeln!(text, "key {} {:?} at {}", key.fifths, key.mode, key.onset).unwrap();
    }
    for time in &score.times {
        writeln!(text, "time {} = {}/{} at {}", time.text, time.beats, time.beat_type, time.onset).unwrap();
    }
    for clef in &score.clefs {
        writeln!(text, "clef of staff {} with middle line {} at {}", clef.staff, clef.middle_line, clef.onset).unwrap();
    }
    for mark in &score.tempos {
        writeln!(text, "tempo mark {:?} {:?} `{}` at {}", mark.origin, mark.quarter_bpm, mark.text, mark.onset)
            .unwrap();
    }
    for direction in &score.directions {
        let what = match &direction.kind {
            DirectionKind::Dynamic(text) => format!("dynamic {text}"),
            DirectionKind::Words(text) => format!("words `{text}`"),
            other => format!("{other:?}").to_lowercase(),
        };
        writeln!(text, "{what} on staff {} at {}", direction.staff, direction.onset).unwrap();
    }
}

fn write_remarks(text: &mut String, remarks: Remarks) {
    for remark in remarks.into_list() {
        writeln!(text, "remark {remark}").unwrap();
    }
}

#[test]
fn what_every_small_score_holds() {
    let update = std::env::var_os("THUMBUNDER_UPDATE").is_some();
    let mut wrong = Vec::new();
    for (name, bytes) in small_scores() {
        let path = folder().join("expected").join(format!("{name}.txt"));
        let got = told(&bytes);
        if update {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, &got).unwrap();
        }
        let expected = std::fs::read_to_string(&path).unwrap_or_default();
        if got != expected {
            wrong.push(format!("--- {name}, expected\n{expected}--- got\n{got}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_small_score_has_its_line_in_the_list() {
    let list = std::fs::read_to_string(folder().join("README.md")).unwrap();
    for (name, _) in small_scores() {
        assert!(list.contains(&format!("| `{name}.")), "{name}");
    }
}

#[test]
fn the_layout_of_the_file_changes_nothing_that_is_read() {
    let scores = small_scores();
    let notes = |name: &str| {
        let (_, bytes) = scores.iter().find(|(other, _)| other.starts_with(name)).unwrap();
        let text = told(bytes);
        text.lines()
            .filter(|line| line.starts_with("note") || line.starts_with("measure"))
            .collect::<Vec<_>>()
            .join("\n")
    };
    let expected = notes("01a");
    for name in ["01b", "01c", "01d", "01e", "01f", "01g", "01h"] {
        assert_eq!(notes(name), expected, "{name}");
    }
}

#[test]
fn the_title_is_that_of_the_work_else_of_the_movement_else_the_largest_credit() {
    let credit = "<credit page='1'><credit-words font-size='9'>Small</credit-words></credit>\
                  <credit page='1'><credit-words font-size='24'>Large</credit-words></credit>";
    let movement = format!("<movement-title>Movement</movement-title>{credit}");
    let work = format!("<work><work-title>Work</work-title></work>{movement}");
    for (head, title) in [(work.as_str(), "Work"), (&movement, "Movement"), (credit, "Large")] {
        let bytes = measure(NOTE).replacen("<part-list>", &format!("{head}<part-list>"), 1);
        let (score, _) = musicxml::read_score(bytes.as_bytes(), &Limits::default()).unwrap();
        assert_eq!(score.title.as_deref(), Some(title));
    }
}

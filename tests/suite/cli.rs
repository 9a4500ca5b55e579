//! The command line as a person meets it: help, wrong usage, faults, exit statuses.

use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::pieces::{scale_piece, write_piece};
use crate::run::Run;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

#[test]
fn help_fits_in_eighty_columns_and_shows_examples() {
    for command in [None, Some("assess"), Some("notes"), Some("fingering"), Some("scale"), Some("completions")] {
        let ran = Run::new(command.into_iter().chain(["--help"])).code(0).says("Example");
        for line in ran.out.lines() {
            assert!(line.chars().count() <= 80, "{} columns: {line}", line.chars().count());
        }
    }
}

#[test]
fn wrong_usage_leaves_with_status_two() {
    Run::new(["tune-the-piano"]).code(2);
    Run::new(["--no-such-option"]).code(2);
    Run::new(["completions", "no-such-shell"]).code(2);
    Run::new(["assess"]).code(2);
    Run::new(["assess", "a.xml", "--tempo", "fast"]).code(2);
    Run::new(["assess", "a.xml", "--tempo", "0"]).code(2);
    Run::new(["assess", "a.xml", "--measures", "4-"]).code(2);
    Run::new(["assess", "a.xml", "--limit", "noses=3"]).code(2);
    Run::new(["scale", "Eb", "--octaves", "9"]).code(2);
    Run::new::<&str>([]).code(2);
}

#[test]
fn the_fingering_of_a_passage_is_explained_as_it_is_in_the_whole() {
    let folder = folder();
    write_piece(folder.path(), "run.musicxml");
    let run = |more: &[&str]| {
        let typed = [&["fingering", "run.musicxml", "--hand", "right"], more].concat();
        Run::new(typed).in_folder(folder.path()).code(0)
    };
    let text = run(&["--measures", "2"]).says("RIGHT HAND").says("because").says("in all");
    assert!(text.out.lines().all(|line| line.chars().count() <= 80), "{}", text.out);
    let json: serde_json::Value = serde_json::from_str(&run(&["--format", "json"]).out).unwrap();
    let part: serde_json::Value = serde_json::from_str(&run(&["--measures", "2", "--format", "json"]).out).unwrap();
    let in_whole: Vec<_> = json["slices"].as_array().unwrap().iter().filter(|slice| slice["measure"] == "2").collect();
    assert!(!in_whole.is_empty());
    assert_eq!(in_whole, part["slices"].as_array().unwrap().iter().collect::<Vec<_>>());
    Run::new(["fingering", "run.musicxml", "--measures", "900"])
        .in_folder(folder.path())
        .code(1)
        .stdout("")
        .says_in_error("measure 900 is not in the score");
}

#[test]
fn every_shell_gets_a_completion_script() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        Run::new(["completions", shell]).code(0).says("thumbunder");
    }
}

#[test]
fn a_directory_as_output_is_wrong_usage() {
    let folder = folder();
    Run::new(["completions", "bash", "-o", "."])
        .in_folder(folder.path())
        .code(2)
        .stdout("")
        .stderr("error: output `.` is a directory; hint: name a file in it\n");
    Run::new(["completions", "bash", "-o", "no/such/file"])
        .in_folder(folder.path())
        .code(2)
        .stderr("error: output folder `no/such` does not exist\n");
}

#[test]
fn an_output_file_is_replaced_as_a_whole_and_nothing_else_is_left() {
    let folder = folder();
    let file = folder.path().join("script");
    std::fs::write(&file, "old").unwrap();
    Run::new(["completions", "bash", "-o", "script"]).in_folder(folder.path()).code(0).stdout("").stderr("");
    assert!(std::fs::read_to_string(&file).unwrap().contains("thumbunder"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[cfg(unix)]
#[test]
fn an_output_that_is_no_ordinary_file_is_written_to_and_a_link_stays_a_link() {
    let folder = folder();
    Run::new(["completions", "bash", "-o", "/dev/null"]).code(0);
    assert!(!Path::new("/dev/null").is_file());
    std::fs::write(folder.path().join("kept"), "old").unwrap();
    std::os::unix::fs::symlink("kept", folder.path().join("link")).unwrap();
    Run::new(["completions", "bash", "-o", "link"]).in_folder(folder.path()).code(0);
    assert!(folder.path().join("link").is_symlink());
    assert!(std::fs::read_to_string(folder.path().join("kept")).unwrap().contains("thumbunder"));
}

#[test]
fn colour_is_for_terminals_unless_asked_for() {
    let wrong = ["completions", "bash", "-o", "."];
    Run::new(wrong).code(2).stderr("error: output `.` is a directory; hint: name a file in it\n");
    let asked = Run::new(wrong.into_iter().chain(["--color", "always"])).env("NO_COLOR", "1").code(2);
    assert!(asked.err.starts_with("\x1b[1;31merror:\x1b[0m output"), "{}", asked.err);
    let scale = Run::new(["scale", "Eb"]).code(0);
    assert!(!scale.out.contains('\x1b'));
    let scale = Run::new(["scale", "Eb", "--color", "always"]).code(0);
    assert!(scale.out.contains('\x1b'));
}

#[test]
fn a_key_that_does_not_exist_is_wrong_usage_and_gets_a_suggestion() {
    let ran = Run::new(["scale", "H", "major"]).code(2).stdout("");
    assert!(ran.err.starts_with("error: `H major` is no key; did you mean `"), "{}", ran.err);
}

#[test]
fn one_bad_file_does_not_stop_the_others() {
    let folder = folder();
    write_piece(folder.path(), "good.musicxml");
    std::fs::write(folder.path().join("bad.musicxml"), "not a score").unwrap();
    let ran = Run::new(["assess", "bad.musicxml", "missing.mxl", "good.musicxml", "."])
        .in_folder(folder.path())
        .code(1)
        .says("Up the Hill & Down <Again>");
    let lines: Vec<&str> = ran.err.lines().collect();
    assert_eq!(lines.len(), 3, "{}", ran.err);
    assert!(lines[0].starts_with("error: bad.musicxml: "));
    assert_eq!(lines[1], "error: missing.mxl: no such file");
    assert_eq!(lines[2], "error: .: is a directory, not a score; hint: name the files in it");
}

#[test]
fn every_kind_of_bad_file_gets_one_clear_line() {
    let folder = folder();
    let piece = scale_piece();
    let cut_off = &piece[..piece.len() / 2];
    let files: [(&str, &[u8], &str); 7] = [
        (
            "text.xml",
            b"dear diary",
            "the file holds no XML element; hint: export the score as MusicXML from the program it was written with",
        ),
        (
            "page.xml",
            b"<html><body/></html>",
            "not MusicXML: the root element is `<html>`; hint: export the score as MusicXML from the program it was \
             written with",
        ),
        ("empty.xml", b"<score-partwise version=\"4.0\"/>", "the score has no measures"),
        ("cut.xml", cut_off.as_bytes(), "hint: the file may have been cut off; export it again"),
        ("cut.mxl", b"PK\x03\x04 and no more", "hint: the file may have been cut off; export it again"),
        ("silent.xml", SILENT.as_bytes(), "no note"),
        ("drum.xml", DRUM.as_bytes(), "no note"),
    ];
    for (name, bytes, said) in files {
        std::fs::write(folder.path().join(name), bytes).unwrap();
        let ran = Run::new(["assess", name]).in_folder(folder.path()).code(1).stdout("");
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
        assert!(ran.err.starts_with(&format!("error: {name}: ")) && ran.err.contains(said), "{}", ran.err);
    }
}

const SILENT: &str = "<score-partwise version='4.0'><part-list><score-part id='P1'><part-name>Piano</part-name>\
    </score-part></part-list><part id='P1'><measure number='1'><attributes><divisions>1</divisions></attributes>\
    <note><rest/><duration>4</duration></note></measure></part></score-partwise>";

const DRUM: &str = "<score-partwise version='4.0'><part-list><score-part id='P1'><part-name>Drum</part-name>\
    </score-part></part-list><part id='P1'><measure number='1'><attributes><divisions>1</divisions></attributes>\
    <note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched>\
    <duration>4</duration></note></measure></part></score-partwise>";

#[test]
fn a_score_may_come_from_standard_input() {
    let ran = Run::new(["notes", "-"]).stdin(scale_piece()).code(0);
    assert_eq!(ran.out.lines().count(), 1 + 16 + 2);
    Run::new(["assess", "-"]).stdin("").code(1).stdout("");
}

#[test]
fn an_excerpt_restricts_the_report_and_must_be_in_the_score() {
    let folder = folder();
    write_piece(folder.path(), "piece.musicxml");
    let ran = Run::new(["notes", "piece.musicxml", "--measures", "2"]).in_folder(folder.path()).code(0);
    assert_eq!(ran.out.lines().count(), 1 + 8 + 1);
    assert!(ran.out.lines().skip(1).all(|row| row.starts_with("2,")));
    Run::new(["assess", "piece.musicxml", "--measures", "7-8"])
        .in_folder(folder.path())
        .code(1)
        .stderr("error: piece.musicxml: measure 7 is not in the score, whose measures are numbered 1 to 2\n");
}

#[cfg(unix)]
#[test]
fn file_names_need_not_be_unicode() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let folder = folder();
    let name = OsStr::from_bytes(b"caf\xe9.musicxml");
    std::fs::write(folder.path().join(name), scale_piece()).unwrap();
    Run::new([OsStr::new("assess"), name]).in_folder(folder.path()).code(0);
    Run::new([OsStr::new("assess"), name, OsStr::new("--format"), OsStr::new("json")])
        .in_folder(folder.path())
        .code(0)
        .says("\"file\": \"caf\u{fffd}.musicxml\"");
}

#[test]
fn a_file_name_cannot_steer_the_terminal() {
    let ran = Run::new(["assess", "no\x1b[2Jsuch"]).code(1);
    assert!(!ran.err.contains('\x1b'), "{:?}", ran.err);
}

#[test]
fn a_closed_pipe_is_silent() {
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("thumbunder"))
        .args(["completions", "zsh"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    assert_eq!((child.wait().unwrap().code(), said.as_str()), (Some(0), ""));
}

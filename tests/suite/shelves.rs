//! Learner files, shelves and plans as a person meets them: folders walked, faults told, caches shared and damaged.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::pieces::{scale_piece, write_piece};
use crate::run::Run;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn corpus() -> String {
    root().join("corpus").display().to_string()
}

fn learner(name: &str) -> String {
    root().join("corpus/learners").join(name).display().to_string()
}

/// A cache of its own for every test.
struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    /// A run of `shelf` or `plan` with this place's cache.
    fn run(&self, args: &[&str]) -> Run {
        let cache = self.path().join("cache").display().to_string();
        let args: Vec<String> = args.iter().map(|arg| (*arg).to_owned()).collect();
        Run::new(args.into_iter().chain(["--cache".to_owned(), cache])).in_folder(self.path())
    }
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn schema(name: &str) -> jsonschema::Validator {
    let text = fs::read_to_string(root().join("docs").join(name)).unwrap();
    jsonschema::validator_for(&json(&text)).unwrap()
}

#[track_caller]
fn assert_valid(schema: &jsonschema::Validator, report: &Value) {
    let faults: Vec<String> =
        schema.iter_errors(report).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn files_of(shelf: &Value) -> Vec<String> {
    let name =
        |piece: &Value| Path::new(piece["file"].as_str().unwrap()).file_name().unwrap().to_str().unwrap().to_owned();
    shelf["pieces"].as_array().unwrap().iter().map(name).collect()
}

#[test]
fn a_new_learner_file_is_written_checked_and_never_overwritten() {
    let place = Place::new();
    Run::new(["learner", "new", "-o", "me.toml"]).in_folder(place.path()).code(0).stdout("").stderr("");
    Run::new(["learner", "check", "me.toml"])
        .in_folder(place.path())
        .code(0)
        .stderr("")
        .says("a learner: 0 scales, 0 pieces");
    Run::new(["learner", "new", "-o", "me.toml"])
        .in_folder(place.path())
        .code(2)
        .stderr("error: `me.toml` exists already; hint: name another file, or remove it first\n");
    let printed = Run::new(["learner", "new"]).code(0).out;
    assert_eq!(printed, fs::read_to_string(place.path().join("me.toml")).unwrap());
}

#[test]
fn every_fault_of_a_learner_file_is_told_with_its_line() {
    let place = Place::new();
    fs::write(place.path().join("me.toml"), "minuts_a_day = 20\n[[scales]]\nkye = \"C\"\n").unwrap();
    let expected = "error: me.toml: line 1: unknown key `minuts_a_day` in the file; hint: did you mean `minutes_a_day`?\n\
                    error: me.toml: line 3: unknown key `kye` in `[[scales]]`; hint: did you mean `key`?\n";
    Run::new(["learner", "check", "me.toml"]).in_folder(place.path()).code(1).stdout("").stderr(expected);
    place.run(&["shelf", ".", "--learner", "me.toml"]).code(1).stdout("").stderr(expected);
    place.run(&["plan", ".", "--learner", "me.toml"]).code(1).stdout("").stderr(expected);
    let missing = Run::new(["learner", "check", "you.toml"]).in_folder(place.path()).code(1);
    assert_eq!(missing.err, "error: learner file `you.toml`: no such file\n");
}

#[test]
fn the_learners_of_the_corpus_are_sound_and_their_scores_are_found() {
    let mut count = 0;
    for entry in fs::read_dir(root().join("corpus/learners")).unwrap() {
        let path = entry.unwrap().path();
        Run::new(["learner".into(), "check".into(), path.into_os_string()]).code(0).stderr("");
        count += 1;
    }
    assert!(count >= 4);
}

#[test]
fn a_shelf_is_told_in_every_format_and_json_is_as_the_schema_says() {
    let place = Place::new();
    let with = |format: &str| {
        place
            .run(&["shelf", &corpus(), "--learner", &learner("tobias-venn.toml"), "--format", format])
            .code(0)
            .stderr("")
            .out
    };
    let text = with("text");
    assert!(text.starts_with("The shelf for Tobias Venn\n34 pieces\n"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80));
    let report = json(&with("json"));
    assert_valid(&schema("shelf.schema.json"), &report);
    assert_eq!(report["pieces"].as_array().unwrap().len(), 34);
    assert_eq!(with("csv").lines().count(), 35);
    let page = with("html");
    assert!(page.contains("<!DOCTYPE html>") && page.contains("Sonatina for an East Window"));
}

#[test]
fn filters_and_orders_choose_and_sort() {
    let place = Place::new();
    let with = |args: &[&str]| {
        let corpus = corpus();
        let args: Vec<&str> = ["shelf", &corpus, "--format", "json"].into_iter().chain(args.iter().copied()).collect();
        files_of(&json(&place.run(&args).code(0).out))
    };
    let octaves = with(&["--passage", "octaves", "--hand", "right"]);
    assert!(octaves.contains(&"sextons-march.musicxml".to_owned()), "{octaves:?}");
    assert!(!octaves.contains(&"five-doors.musicxml".to_owned()), "{octaves:?}");
    assert_eq!(with(&["--key", "G-flat major"]), ["long-shadows.musicxml"]);
    assert_eq!(with(&["--find", "swallows"]), ["pair-of-swallows.musicxml"]);
    let by_title = with(&["--sort", "-title", "--find", "tarrowby"]);
    assert_eq!(by_title.first().map(String::as_str), Some("two-herons.musicxml"));
    let bare = with(&["--edition", "bare"]);
    assert!(bare.contains(&"bare-branches.musicxml".to_owned()), "{bare:?}");
    assert!(!bare.contains(&"every-finger-named.musicxml".to_owned()));
    place.run(&["shelf", &corpus(), "--passage", "scales"]).code(2);
    place
        .run(&["shelf", &corpus(), "--readiness", "ready"])
        .code(2)
        .stderr("error: readiness needs a player; hint: add `--learner FILE`; `learner new` writes one\n");
}

#[test]
fn broken_files_are_listed_with_their_reason_and_do_not_stop_the_rest() {
    let place = Place::new();
    let shelf = place.path().join("shelf");
    fs::create_dir_all(shelf.join("deep/er")).unwrap();
    write_piece(&shelf.join("deep/er"), "good.musicxml");
    fs::write(shelf.join("cut.musicxml"), &scale_piece()[..500]).unwrap();
    fs::write(shelf.join("empty.mxl"), "").unwrap();
    fs::write(shelf.join("letter.txt"), "Dear Maud,").unwrap();
    fs::write(shelf.join("settings.xml"), "<settings/>").unwrap();
    fs::write(shelf.join(".hidden.musicxml"), "not looked at").unwrap();
    let ran = place.run(&["shelf", "shelf", "--format", "json"]).code(1);
    let report = json(&ran.out);
    assert_valid(&schema("shelf.schema.json"), &report);
    assert_eq!(files_of(&report), ["good.musicxml"]);
    let broken: Vec<&str> = report["broken"].as_array().unwrap().iter().map(|b| b["file"].as_str().unwrap()).collect();
    assert_eq!(broken, ["shelf/cut.musicxml", "shelf/empty.mxl"]);
    assert!(report["broken"].as_array().unwrap().iter().all(|b| !b["reason"].as_str().unwrap().is_empty()));
    place.run(&["shelf", "nowhere"]).code(1).stderr("error: `nowhere`: no such folder or file\n");
}

#[test]
fn scores_are_found_by_their_content_and_each_only_once() {
    let place = Place::new();
    let shelf = place.path().join("shelf");
    fs::create_dir_all(&shelf).unwrap();
    fs::write(shelf.join("tune.txt"), scale_piece()).unwrap();
    fs::copy(root().join("corpus/two-sisters.mxl"), shelf.join("archive.zip")).unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&shelf, shelf.join("loop")).unwrap();
        std::os::unix::fs::symlink(shelf.join("tune.txt"), shelf.join("again.musicxml")).unwrap();
        std::os::unix::fs::symlink("nowhere", shelf.join("dangling.musicxml")).unwrap();
    }
    let ran = place.run(&["shelf", "shelf", "shelf", "--format", "json", "--sort", "file"]);
    let report = json(&ran.code(i32::from(cfg!(unix))).out);
    let files = files_of(&report);
    assert_eq!(files.len(), 2, "{files:?}");
    if cfg!(unix) {
        assert_eq!(report["broken"][0]["file"], "shelf/dangling.musicxml");
    }
}

#[test]
fn a_second_run_reads_the_cache_and_a_damaged_cache_changes_nothing() {
    let place = Place::new();
    fs::create_dir(place.path().join("shelf")).unwrap();
    write_piece(&place.path().join("shelf"), "a.musicxml");
    fs::write(place.path().join("shelf/b.musicxml"), "<score-partwise>").unwrap();
    let run = || place.run(&["shelf", "shelf", "--format", "json"]).code(1).out;
    let first = run();
    let pieces = || -> Vec<PathBuf> {
        let walk = walkdir::WalkDir::new(place.path().join("cache")).into_iter().map(Result::unwrap);
        walk.filter(|entry| entry.file_type().is_file()).map(walkdir::DirEntry::into_path).collect()
    };
    assert_eq!(pieces().len(), 2);
    assert_eq!(run(), first);
    for damage in [&b""[..], b"\xff\xfe\x00", b"{}"] {
        for piece in pieces() {
            fs::write(piece, damage).unwrap();
        }
        assert_eq!(run(), first);
        assert!(pieces().iter().all(|piece| fs::metadata(piece).unwrap().len() > 64), "mended");
    }
    // A piece changed in place is another piece.
    let changed = scale_piece().replace("Ilse Marrowby", "Somebody Else");
    fs::write(place.path().join("shelf/a.musicxml"), changed).unwrap();
    assert!(run().contains("Somebody Else"));
    let uncached = Run::new(["shelf", "shelf", "--no-cache", "--format", "json"]).in_folder(place.path()).code(1).out;
    assert_eq!(uncached, run());
}

#[test]
fn two_runs_may_share_a_cache() {
    let place = Place::new();
    std::thread::scope(|scope| {
        let runs: Vec<_> =
            (0..4).map(|_| scope.spawn(|| place.run(&["shelf", &corpus(), "--format", "csv"]).code(0).out)).collect();
        let outs: Vec<String> = runs.into_iter().map(|run| run.join().unwrap()).collect();
        assert!(outs.iter().all(|out| *out == outs[0] && out.lines().count() == 35));
    });
}

#[test]
fn a_plan_is_told_in_every_format_and_json_is_as_the_schema_says() {
    let place = Place::new();
    let with = |format: &str| {
        place
            .run(&["plan", &corpus(), "--learner", &learner("wren-ashlock.toml"), "--format", format])
            .code(0)
            .stderr("")
            .out
    };
    let report = json(&with("json"));
    assert_valid(&schema("plan.schema.json"), &report);
    let lessons = report["lessons"].as_array().unwrap();
    assert!(!lessons.is_empty() && lessons.len() <= 12);
    assert!(lessons.iter().all(|lesson| lesson["scales"].as_array().unwrap().len() <= 2));
    let text = with("text");
    assert!(text.starts_with("A plan for Wren Ashlock\n"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(with("csv").starts_with("kind,lesson,week"));
    let svg = with("svg");
    assert!(roxmltree::Document::parse(&svg).is_ok());
    assert!(with("html").contains("<svg"));
}

#[test]
fn a_plan_without_a_learner_or_with_a_strange_goal_is_wrong_usage() {
    let place = Place::new();
    place.run(&["plan", &corpus()]).code(2);
    let strange = ["plan", &corpus(), "--learner", &learner("wren-ashlock.toml"), "--goal", "The Moon"];
    place
        .run(&strange)
        .code(2)
        .stderr("error: the goal `The Moon` is not on the shelf; hint: name its file or its title\n");
    fs::create_dir(place.path().join("empty")).unwrap();
    place
        .run(&["plan", "empty", "--learner", &learner("wren-ashlock.toml")])
        .code(1)
        .stderr("error: no piece on the shelf to plan with; hint: name a folder with scores\n");
}

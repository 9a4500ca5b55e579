//! What goes wrong around the program: disks that are full, inputs without end, links that lead nowhere, a run that is
//! cut short. Each gets one line, and a file under its final name is old or new, never half.
#![cfg(unix)]

use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, SystemTime};

use crate::hostile::{NOTE, measure};
use crate::pieces::{scale_piece, write_piece};
use crate::run::Run;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// What lies in a folder, by name, hidden or not.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Writes a page to `page.html`, over what is there, with no more than a kilobyte to a file; `prelude` is done before.
fn write_with_little_room(folder: &Path, prelude: &str) -> std::process::Output {
    let line = format!("{prelude} ulimit -f 1; exec \"$0\" assess piece.musicxml --format html -o page.html");
    write_piece(folder, "piece.musicxml");
    std::fs::write(folder.join("page.html"), "old").unwrap();
    let program = assert_cmd::cargo::cargo_bin("thumbunder");
    Command::new("sh").arg("-c").arg(line).arg(program).current_dir(folder).output().unwrap()
}

#[test]
fn a_write_that_fails_half_way_leaves_the_old_file_and_nothing_else() {
    let folder = folder();
    // With the signal ignored, the write that goes beyond the limit fails.
    let done = write_with_little_room(folder.path(), "trap '' XFSZ;");
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1), "{said}");
    // The engraver has no room for its glyphs either, and then the page is drawn without it.
    let before = usize::from(cfg!(feature = "engrave"));
    assert!(said.lines().take(before).all(|line| line.contains("failed to engrave: its glyphs")), "{said}");
    assert!(said.lines().last().is_some_and(|line| line.starts_with("error: failed to write `page.html`: ")), "{said}");
    assert_eq!(said.lines().count(), before + 1, "{said}");
    assert_eq!(std::fs::read_to_string(folder.path().join("page.html")).unwrap(), "old");
    assert_eq!(names(folder.path()), ["page.html", "piece.musicxml"]);
}

#[test]
fn a_run_killed_while_it_writes_leaves_the_old_file() {
    let folder = folder();
    // Here the signal ends the program in the middle of the write.
    let done = write_with_little_room(folder.path(), "");
    assert_eq!(done.status.code(), None, "{}", String::from_utf8_lossy(&done.stderr));
    assert_eq!(std::fs::read_to_string(folder.path().join("page.html")).unwrap(), "old");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_and_a_folder_that_takes_no_files_get_one_line() {
    let folder = folder();
    write_piece(folder.path(), "piece.musicxml");
    Run::new(["assess", "piece.musicxml", "-o", "/dev/full"])
        .in_folder(folder.path())
        .code(1)
        .stderr("error: failed to write `/dev/full`: no space left on the disk\n");
    let ran = Run::new(["assess", "piece.musicxml", "-o", "/proc/report"]).in_folder(folder.path()).code(1);
    assert!(
        ran.err.starts_with("error: failed to write `/proc/report`: ") && ran.err.lines().count() == 1,
        "{}",
        ran.err
    );
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let program = assert_cmd::cargo::cargo_bin("thumbunder");
    let done = Command::new(program)
        .args(["notes", "piece.musicxml"])
        .current_dir(folder.path())
        .stdout(Stdio::from(full))
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(1));
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(said, "error: failed to write the report: no space left on the disk\n");
}

#[cfg(target_os = "linux")]
#[test]
fn an_input_without_end_is_read_up_to_the_limit() {
    Run::new(["assess", "/dev/zero", "--limit", "xml-bytes=100000"]).code(1).stderr(
        "error: /dev/zero: is larger than the limit of 100000 bytes; hint: raise it with `--limit xml-bytes=N` if the \
         file is trusted\n",
    );
}

#[test]
fn an_input_that_stops_half_way_is_no_score() {
    let piece = scale_piece();
    for end in [1, piece.len() / 3, piece.len() / 2, piece.len() - 10] {
        let ran = Run::new(["assess", "-"]).stdin(&piece[..end]).code(1).stdout("");
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
}

#[test]
fn a_shelf_with_loops_dangling_links_and_names_of_any_bytes_is_read_once() {
    let folder = folder();
    let piece = write_piece(folder.path(), "piece.musicxml");
    std::fs::create_dir(folder.path().join("inner")).unwrap();
    symlink("..", folder.path().join("inner/up")).unwrap();
    symlink(".", folder.path().join("here")).unwrap();
    symlink("itself.musicxml", folder.path().join("itself.musicxml")).unwrap();
    symlink("nowhere", folder.path().join("dangling.musicxml")).unwrap();
    symlink("../piece.musicxml", folder.path().join("inner/again.musicxml")).unwrap();
    std::fs::copy(&piece, folder.path().join(OsStr::from_bytes(b"caf\xe9.musicxml"))).unwrap();
    let ran = Run::new(["shelf", ".", "--no-cache", "--format", "json"]).in_folder(folder.path()).code(1);
    let shelf: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let text = shelf.to_string();
    assert!(text.contains("caf\u{fffd}.musicxml") && text.contains("dangling.musicxml"), "{text}");
    // The piece itself counts once, whichever way led to it, and its copy under the odd name once.
    assert_eq!(text.matches("Up the Hill").count(), 2, "{text}");
}

#[test]
fn ten_thousand_broken_files_are_ten_thousand_lines() {
    let folder = folder();
    for at in 0..10_000 {
        let text = ["<score-partwise>", "", "PK\u{3}\u{4}", "<html/>", "\u{feff}"][at % 5];
        std::fs::write(folder.path().join(format!("{at:05}.musicxml")), text).unwrap();
    }
    write_piece(folder.path(), "piece.musicxml");
    let ran = Run::new(["shelf", ".", "--no-cache", "--format", "csv"]).in_folder(folder.path()).code(1);
    assert_eq!(ran.out.lines().count(), 1 + 10_000 + 1);
    assert!(ran.out.contains("Up the Hill"));
}

#[test]
fn locale_and_time_zone_change_nothing() {
    let folder = folder();
    write_piece(folder.path(), "piece.musicxml");
    let usual = Run::new(["assess", "piece.musicxml", "--format", "json"]).in_folder(folder.path()).code(0);
    for (name, value) in [("LC_ALL", "tr_TR.UTF-8"), ("LANG", "xx"), ("TZ", "Pacific/Kiritimati"), ("COLUMNS", "-7")] {
        let run = Run::new(["assess", "piece.musicxml", "--format", "json"]).in_folder(folder.path());
        run.env(name, value).code(0).stdout(&usual.out);
    }
}

#[test]
fn a_file_that_changes_while_it_is_read_gives_one_of_its_states_or_a_fault() {
    let folder = folder();
    let path = write_piece(folder.path(), "piece.musicxml");
    let (whole, program) = (scale_piece(), assert_cmd::cargo::cargo_bin("thumbunder"));
    let run = || Command::new(&program).args(["notes", "piece.musicxml"]).current_dir(folder.path()).output().unwrap();
    let usual = run().stdout;
    let stop = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !stop.load(Ordering::Relaxed) {
                for end in [0, whole.len() / 2, whole.len()] {
                    std::fs::write(&path, &whole[..end]).unwrap();
                }
            }
        });
        for _ in 0..20 {
            let done = run();
            let said = String::from_utf8_lossy(&done.stderr).into_owned();
            match done.status.code() {
                Some(0) => assert!(done.stdout == usual && said.is_empty(), "{said}"),
                code => assert!(code == Some(1) && said.lines().count() == 1, "{code:?}: {said}"),
            }
        }
        stop.store(true, Ordering::Relaxed);
    });
}

#[test]
fn an_interrupted_run_leaves_the_old_file_and_nothing_else() {
    let folder = folder();
    std::fs::write(folder.path().join("page.html"), "old").unwrap();
    // Nobody ever writes to the pipe, so the run is surely still at work when it is interrupted.
    assert!(Command::new("mkfifo").arg(folder.path().join("pipe.musicxml")).status().unwrap().success());
    let program = assert_cmd::cargo::cargo_bin("thumbunder");
    let line = ["assess", "pipe.musicxml", "--format", "html", "-o", "page.html"];
    let mut run = Command::new(program).args(line).current_dir(folder.path()).spawn().unwrap();
    // The interrupt of the keyboard would be ignored where the tests run in the background of a shell.
    assert!(Command::new("kill").args(["-TERM", &run.id().to_string()]).status().unwrap().success());
    assert_eq!(run.wait().unwrap().code(), None);
    assert_eq!(std::fs::read_to_string(folder.path().join("page.html")).unwrap(), "old");
    assert_eq!(names(folder.path()), ["page.html", "pipe.musicxml"]);
}

#[test]
fn a_file_that_takes_too_long_is_told_and_the_next_is_read() {
    let folder = folder();
    write_piece(folder.path(), "piece.musicxml");
    // No time at all, for what takes seconds.
    std::fs::write(folder.path().join("long.musicxml"), measure(&NOTE.repeat(20_000))).unwrap();
    let said = "time in seconds is over the limit of 0; raise it with `--limit seconds=N` if the file is trusted";
    Run::new(["assess", "long.musicxml", "--limit", "seconds=0"])
        .in_folder(folder.path())
        .code(1)
        .stderr(&format!("error: long.musicxml: {said}\n"));
    let line = ["shelf", "long.musicxml", "--no-cache", "--format", "csv", "--limit", "seconds=0"];
    Run::new(line).in_folder(folder.path()).code(1).says(said);
}

#[test]
fn files_of_any_date_are_read_and_only_old_caches_are_thrown_away() {
    let folder = folder();
    let piece = write_piece(folder.path(), "piece.musicxml");
    let day = Duration::from_secs(24 * 60 * 60);
    let set_date = |path: &Path, time: SystemTime| std::fs::File::open(path).unwrap().set_modified(time).unwrap();
    let caches = folder.path().join("cache/shelf");
    let now = SystemTime::now();
    let dates = [("ancient", SystemTime::UNIX_EPOCH), ("recent", now - day), ("to-come", now + 40_000 * day)];
    for (name, time) in dates {
        std::fs::create_dir_all(caches.join(name)).unwrap();
        set_date(&caches.join(name), time);
    }
    set_date(&piece, now + 40_000 * day);
    Run::new(["shelf", "piece.musicxml", "--cache", "cache"]).in_folder(folder.path()).code(0).says("Up the Hill");
    let kept: Vec<String> =
        names(&caches).into_iter().filter(|name| dates.iter().any(|(old, _)| old == name)).collect();
    assert_eq!(kept, ["recent", "to-come"]);
}

//! The rules of the house that the compiler does not keep: which module may use which, and what the library never does.

use std::path::{Path, PathBuf};

/// The flow: a module of the library uses only modules before it (and itself).
const FLOW: [&str; 30] = [
    "units",
    "error",
    "player",
    "limits",
    "score",
    "terms",
    "musicxml",
    "hands",
    "tempo",
    "excerpt",
    "crossing",
    "scales",
    "options",
    "keys",
    "fingering",
    "movements",
    "passages",
    "loads",
    "level",
    "edition",
    "drills",
    "cautions",
    "analysis",
    "learner",
    "summary",
    "readiness",
    "shelf",
    "plan",
    "sheets",
    "report",
];

/// What the library never does, and the words that would give it away.
const NEVER: [(&str, &str); 9] = [
    ("std::fs", "touches no files"),
    ("std::env", "reads no environment"),
    ("std::net", "opens no connection"),
    ("std::process", "starts and ends no process"),
    ("std::io::std", "does not speak on the standard streams"),
    ("SystemTime", "has no clock"),
    ("Instant", "has no clock"),
    ("clap::", "knows nothing of the command line"),
    ("HashMap", "has no order that differs between runs"),
];

/// Sources of the library, without their inline tests: module, path, code.
fn library() -> Vec<(String, PathBuf, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![src.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let inside = path.strip_prefix(&src).unwrap();
            let module = inside.iter().next().unwrap().to_str().unwrap().trim_end_matches(".rs").to_owned();
            if ["cli", "main", "lib", "testing"].contains(&module.as_str()) {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                let code = text.split("#[cfg(test)]\nmod ").next().unwrap();
                let code: Vec<&str> = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
                found.push((module, path.clone(), code.join("\n")));
            }
        }
    }
    assert!(found.len() > 5, "the sources are found");
    found.sort();
    found
}

/// Names that follow `crate::` in the code, also in `use crate::{a, b}`.
fn used(code: &str) -> Vec<&str> {
    let mut names = Vec::new();
    for after in code.split("crate::").skip(1) {
        let list = after.strip_prefix('{').and_then(|list| list.split_once("};")).map_or(after, |(list, _)| list);
        let grouped = list.len() < after.len();
        let mut depth = 0;
        let mut start = 0;
        for (at, c) in list.char_indices().chain([(list.len(), ',')]) {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 0 => {
                    names.push(list[start..at].trim());
                    start = at + 1;
                    if !grouped {
                        break;
                    }
                }
                _ => {}
            }
        }
    }
    names.iter().map(|name| name.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap()).collect()
}

#[test]
fn every_module_has_its_place_in_the_flow() {
    for (module, path, _) in library() {
        assert!(FLOW.contains(&module.as_str()), "{}: give `{module}` its place in FLOW", path.display());
    }
}

#[test]
fn a_module_uses_only_what_stands_before_it_in_the_flow() {
    let place = |module: &str| FLOW.iter().position(|name| *name == module);
    for (module, path, code) in library() {
        for name in used(&code) {
            // `Error`, `Remark`, `Limits`, `Options` and the like are re-exported at the root.
            let Some(other) = place(name) else { continue };
            assert!(Some(other) <= place(&module), "{}: `{module}` uses `{name}`, which comes later", path.display());
        }
    }
}

#[test]
fn the_library_is_pure() {
    for (_, path, code) in library() {
        for (word, rule) in NEVER {
            assert!(!code.contains(word), "{}: `{word}`, but the library {rule}", path.display());
        }
    }
}

#[test]
fn the_words_after_crate_are_found() {
    assert_eq!(used("use crate::units::Hand;"), ["units"]);
    assert_eq!(used("use crate::{error::{Error, Place}, score::Score};"), ["error", "score"]);
    assert_eq!(used("f(crate::level::Level::new(), 2)"), ["level"]);
}

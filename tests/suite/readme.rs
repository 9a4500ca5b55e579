//! The README shows real runs: every block that begins with `$ thumbunder` is what the program says.

use std::path::Path;

use crate::run::Run;

const START: &str = "```text\n$ thumbunder ";

#[test]
fn every_run_in_the_readme_is_real() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let shown = std::fs::read_to_string(root.join("README.md")).unwrap();
    let mut real = String::new();
    let mut rest = shown.as_str();
    let mut runs = 0;
    while let Some((before, block)) = rest.split_once(START) {
        let (block, after) = block.split_once("```").unwrap();
        let command = block.lines().next().unwrap();
        let ran = Run::new(command.split_whitespace()).in_folder(root).code(0);
        assert!(!ran.out.contains("```"));
        real.push_str(&format!("{before}{START}{command}\n{}```", ran.out));
        rest = after;
        runs += 1;
    }
    real.push_str(rest);
    assert!(runs > 0, "the README shows a run");
    if std::env::var_os("THUMBUNDER_BLESS").is_some() {
        std::fs::write(root.join("README.md"), &real).unwrap();
    } else {
        assert!(shown == real, "a run in the README is out of date; THUMBUNDER_BLESS=1 cargo test renews it");
    }
}

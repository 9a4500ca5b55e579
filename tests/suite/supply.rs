//! What comes with the program: every package under a licence that lets it be given away, from the registry alone.

use std::process::Command;

use serde_json::Value;

/// Licences that are enough, by their SPDX identifiers; of several offered, one must be here. Chosen by us: none asks for
/// more than its text and, for MPL-2.0, the source of its own files.
const ALLOWED: &[&str] =
    &["Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "MIT", "MIT-0", "MPL-2.0", "Unicode-3.0", "Zlib"];

fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let done = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked", "--filter-platform", "x86_64-unknown-linux-gnu"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let metadata: Value = serde_json::from_slice(&done.stdout).unwrap();
    metadata["packages"].as_array().unwrap().clone()
}

fn is_allowed(licence: &str) -> bool {
    let expression = spdx::Expression::parse_mode(licence, spdx::ParseMode::LAX);
    expression.is_ok_and(|expression| {
        expression.evaluate(|asked| asked.license.id().is_some_and(|id| ALLOWED.contains(&id.name)))
    })
}

#[test]
fn licences_are_among_those_allowed() {
    // The engraver is optional, and docs/engraving.md speaks of its licences.
    let optional = ["verovio", "verovio-sys"];
    let packages = packages();
    assert!(packages.len() > 50);
    for package in packages {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none");
        assert!(optional.contains(&name) || is_allowed(licence), "{name} is under {licence}");
        assert!(
            package["source"].as_str().is_none_or(|source| source.starts_with("registry+")),
            "{name} is not from the registry"
        );
    }
}

#[test]
fn a_licence_is_allowed_when_a_choice_of_it_is() {
    assert!(is_allowed("MIT OR GPL-3.0-only") && is_allowed("MIT/Apache-2.0"));
    assert!(!is_allowed("MIT AND GPL-3.0-only") && !is_allowed("GPL-3.0-only") && !is_allowed("none"));
}

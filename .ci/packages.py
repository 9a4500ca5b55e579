#!/usr/bin/env python3
"""What comes with the program: licences, sources, versions twice, and packages without a reason in the documents.

usage: packages.py

Asks `cargo metadata` about every package of `Cargo.lock`, for tests and optional features too. Advisories are not looked
up: their database is on no package registry.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

# Licences that ask for no more than their text and, for MPL-2.0, the source of the package itself.
ALLOWED = {
    "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-2-Clause", "BSD-3-Clause", "BSL-1.0", "CC0-1.0", "MIT", "MIT-0",
    "MPL-2.0", "Unicode-3.0", "Unlicense", "Zlib",
}
# What the engraver adds, only with the feature `engrave`; see docs/engraving.md.
ENGRAVER = {"verovio", "verovio-data", "verovio-sys"}
REGISTRY = "registry+https://github.com/rust-lang/crates.io-index"
# Packages in two versions, because others ask for both; a new one wants a look at `cargo tree -d`.
TWICE = {"constant_time_eq", "foldhash", "getrandom", "hashbrown", "miniz_oxide", "r-efi", "roxmltree", "syn"}


def allows(expression, allowed):
    """Whether a licence expression can be met: every part joined by AND, one of the parts joined by OR."""
    expression = expression.replace("/", " OR ")
    while "(" in expression:
        inner = re.search(r"\(([^()]*)\)", expression)
        met = "MIT" if allows(inner[1], allowed) else "none"
        expression = expression.replace(inner[0], met)
    options = expression.split(" OR ")
    return any(all(part.strip() in allowed for part in option.split(" AND ")) for option in options)


def faults(packages, documented):
    """One line for each fault."""
    versions = {}
    for package in packages:
        name, licence = package["name"], package["license"] or "none"
        versions.setdefault(name, set()).add(package["version"])
        if not allows(licence, ALLOWED | ({"LGPL-3.0-or-later"} if name in ENGRAVER else set())):
            yield f"{name}: licence {licence}"
        if package["source"] not in (None, REGISTRY):
            yield f"{name}: comes from {package['source']}"
    for name, found in versions.items():
        if len(found) > 1 and name not in TWICE:
            yield f"{name}: in versions {', '.join(sorted(found))}"
    own = next(package for package in packages if package["source"] is None)
    for dependency in own["dependencies"]:
        if not re.search(rf"\b{re.escape(dependency['name'])}\b", documented):
            yield f"{dependency['name']}: docs/dependencies.md does not say what for"


def main():
    line = ["cargo", "metadata", "--format-version", "1", "--locked", "--all-features"]
    packages = json.loads(subprocess.run(line, cwd=ROOT, check=True, capture_output=True).stdout)["packages"]
    assert allows("(MIT OR none) AND Zlib", ALLOWED) and not allows("MIT AND GPL-3.0", ALLOWED), "the check checks"
    found = sorted(faults(packages, (ROOT / "docs/dependencies.md").read_text()))
    print("\n".join(found) or f"{len(packages)} packages: licences, sources and versions as they should be")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())

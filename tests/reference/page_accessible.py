#!/usr/bin/env python3
"""Open the page of several pieces in a browser and look for what keeps people out.

    python3 tests/reference/page_accessible.py [PROGRAM]

For each piece, light and dark, at desk and phone width: axe-core finds no fault of impact `serious` or `critical`, the
console stays empty, and the page is not wider than the screen. The rules are those of WCAG 2 and the best practices of
axe-core (Deque Systems), as the PyPI package axe-playwright-python carries it; the browser is Chromium. Needs the program
built (target/release or target/debug) and Chromium; says so and skips where there is none.
"""

import html
import importlib.util
import json
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PIECES = ["harvest-wagon.musicxml", "the-causeway-in-storm.musicxml", "five-doors.musicxml"]
# `preferredColorScheme` of Chromium: 0 is dark, 1 is light.
SCREENS = [(width, scheme) for width in (1100, 390) for scheme in (1, 0)]

REPORT = """
<script>
axe.run().then(found => {
  const faults = found.violations.map(v => [v.impact, v.id, v.help, v.nodes.length, v.nodes[0].html.slice(0, 160)]);
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  const pre = document.createElement("pre");
  pre.id = "axe";
  pre.textContent = JSON.stringify({faults, wide, checks: found.passes.length});
  document.body.append(pre);
});
</script>
"""


def program():
    if len(sys.argv) > 1:
        return Path(sys.argv[1]).resolve()
    built = [path for path in (ROOT / "target" / kind / "thumbunder" for kind in ("release", "debug")) if path.exists()]
    if not built:
        sys.exit("the program is not built; run cargo build")
    return max(built, key=lambda path: path.stat().st_mtime)


def axe_script():
    spec = importlib.util.find_spec("axe_playwright_python")
    if spec is None:
        sys.exit("package `axe-playwright-python` is not installed; see tests/reference/requirements-alone.txt")
    scripts = sorted(Path(spec.submodule_search_locations[0]).rglob("axe*.js"))
    return scripts[0].read_text()


def look(browser, page, width, scheme):
    """What axe says of a page, and what the console says."""
    command = [
        browser, "--headless", "--no-sandbox", "--disable-gpu", f"--window-size={width},1200",
        f"--blink-settings=preferredColorScheme={scheme}", "--virtual-time-budget=20000", "--enable-logging=stderr",
        "--dump-dom", page.as_uri(),
    ]
    run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    found = re.search(r'<pre id="axe">(.*?)</pre>', run.stdout, re.DOTALL)
    said = [line for line in run.stderr.splitlines() if "CONSOLE" in line]
    return (json.loads(html.unescape(found.group(1))) if found else None), said


def main():
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if browser is None:
        print("skipped: there is no Chromium on this machine")
        return 0
    axe = axe_script()
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        for piece in PIECES:
            made = subprocess.run(
                [program(), "assess", ROOT / "corpus" / piece, "--format", "html"],
                capture_output=True, text=True, check=True,
            )
            # The page allows no script at all; for the examination it has to.
            page = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", made.stdout)
            page = page.replace("</body>", f"<script>{axe}</script>{REPORT}</body>")
            path = Path(folder) / "page.html"
            path.write_text(page)
            for width, scheme in SCREENS:
                result, said = look(browser, path, width, scheme)
                where = f"{piece}, {width} wide, {'light' if scheme else 'dark'}"
                if result is None:
                    print(f"{where}: no answer from the browser")
                    bad += 1
                    continue
                faults = [fault for fault in result["faults"] if fault[0] in ("serious", "critical")]
                for impact, rule, help_text, count, first in result["faults"]:
                    print(f"{where}: {impact}: {rule}: {help_text} ({count} times, first {first})")
                for line in said:
                    print(f"{where}: console: {line}")
                if result["wide"] > 0:
                    print(f"{where}: {result['wide']} pixels wider than the screen")
                bad += len(faults) + len(said) + (result["wide"] > 0)
                assert result["checks"] > 10, "axe has looked at the page"
    print(f"{len(PIECES)} pages on {len(SCREENS)} screens: {bad} serious faults")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Open the pages of a shelf and a plan in a browser and use them as a person at a keyboard does.

    python3 tests/reference/shelf_page.py

Sorts by a heading, filters by level and by words, with keys alone; a title with markup must stay text, the console empty,
no page may ask for anything outside itself, print must keep every piece, and axe-core may find no fault of impact
`serious` or `critical`, light and dark, at desk and phone width. The browser is Chromium, driven by the PyPI package
playwright; says so and skips where there is no Chromium. Needs the program built.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from page_accessible import ROOT, axe_script, program

MARKUP = "<b onclick=alert(1)>Up & \"Down\"</b>"
LEARNER = ROOT / "corpus" / "learners" / "wren-ashlock.toml"


def make(folder):
    """A shelf of the corpus and a piece whose title is markup, and the plan for it."""
    shelf = folder / "pieces"
    shelf.mkdir()
    for piece in sorted((ROOT / "corpus").iterdir()):
        if piece.suffix in (".musicxml", ".mxl", ".xml"):
            shutil.copy(piece, shelf)
    piece = (ROOT / "corpus" / "five-doors.musicxml").read_text()
    escaped = MARKUP.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    marked = piece.replace("Five Doors", escaped).replace("</score-partwise>", "<!-- another --></score-partwise>")
    (shelf / "markup.musicxml").write_text(marked)
    pages = {}
    for name, more in (("shelf", []), ("shelf for a learner", ["--learner", LEARNER]), ("plan", ["--learner", LEARNER])):
        path = folder / f"{name.replace(' ', '-')}.html"
        subprocess.run([program(), name.split()[0], shelf, *more, "--format", "html", "-o", path], check=True)
        pages[name] = path
    return pages


class Found:
    def __init__(self):
        self.bad = 0

    def expect(self, holds, what):
        if not holds:
            print(f"not so: {what}")
            self.bad += 1


def titles(page):
    return page.eval_on_selector_all(
        "#pieces tbody tr", "rows => rows.filter(r => !r.hidden).map(r => r.cells).map(c => [...c].find(d => d.dataset.name === 'Title').dataset.sort)"
    )


def tab_to(page, found, words, most=60):
    """Presses Tab until the control with these words has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        label = page.evaluate("(document.activeElement.labels?.[0] ?? document.activeElement).textContent")
        if label.startswith(words):
            return True
    found.expect(False, f"Tab reaches `{words}`")
    return False


def use(page, path, found):
    page.goto(path.as_uri())
    every = titles(page)
    if tab_to(page, found, "Find"):
        page.keyboard.type("harvest")
        found.expect(titles(page) == ["harvest wagon"], f"typing a title finds it: {titles(page)}")
        for _ in "harvest":
            page.keyboard.press("Backspace")
        found.expect(len(titles(page)) == len(every), "an empty search shows all pieces again")
    if tab_to(page, found, "From level"):
        page.keyboard.type("7")
        levels = page.eval_on_selector_all(
            "#pieces tbody tr", "rows => rows.filter(r => !r.hidden).map(r => Math.round(r.dataset.level / 1000))"
        )
        found.expect(levels and min(levels) >= 7 and len(levels) < len(every), f"from level 7: {levels}")
        page.keyboard.press("Home")
        found.expect(len(titles(page)) == len(every), "Home takes the filter off")
    if tab_to(page, found, "Title"):
        page.keyboard.press("Enter")
        up = titles(page)
        # By the language of the browser, so only words of plain letters are compared.
        plain = [title for title in up if title.replace(" ", "").isalpha()]
        found.expect(plain == sorted(plain) and len(plain) > 20, f"sorted by title: {plain}")
        page.keyboard.press("Space")
        down = [title for title in titles(page) if title in plain]
        found.expect(down == plain[::-1], "and turned around")
        told = page.evaluate("document.activeElement.closest('th').getAttribute('aria-sort')")
        found.expect(told == "descending", f"a screen reader is told: {told}")
    cell = page.locator("summary", has_text="onclick")
    found.expect(cell.count() == 1 and cell.first.inner_text() == MARKUP, "a title with markup stays text")
    found.expect(page.locator("#pieces b").count() == 0, "no markup of a title becomes an element")
    page.emulate_media(media="print")
    shown = page.eval_on_selector_all("#pieces tbody tr", "rows => rows.filter(r => r.offsetHeight > 0).length")
    found.expect(shown == len(every), f"print keeps every piece: {shown} of {len(every)}")
    page.emulate_media(media="screen")


def main():
    browser_path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if browser_path is None:
        print("skipped: there is no Chromium on this machine")
        return 0
    from playwright.sync_api import sync_playwright

    found, axe = Found(), axe_script()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        pages = make(Path(folder))
        browser = driver.chromium.launch(executable_path=browser_path, args=["--no-sandbox"])
        for name, path in pages.items():
            for width in (1100, 390):
                for scheme in ("light", "dark"):
                    context = browser.new_context(
                        viewport={"width": width, "height": 1000}, color_scheme=scheme, bypass_csp=True
                    )
                    page = context.new_page()
                    where = f"{name}, {width} wide, {scheme}"
                    page.on("console", lambda said, where=where: found.expect(False, f"{where}: console: {said.text}"))
                    page.on("pageerror", lambda said, where=where: found.expect(False, f"{where}: error: {said}"))
                    page.on(
                        "request",
                        lambda asked, where=where, own=path.as_uri(): found.expect(
                            asked.url.split("#")[0] == own or asked.url.startswith("data:"), f"{where}: asks for {asked.url}"
                        ),
                    )
                    if name != "plan" and width == 1100 and scheme == "light":
                        use(page, path, found)
                    page.goto(path.as_uri())
                    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
                    found.expect(wide <= 0, f"{where}: {wide} pixels wider than the screen")
                    page.evaluate(axe)
                    result = page.evaluate("axe.run()")
                    found.expect(len(result["passes"]) > 10, f"{where}: axe has looked at the page")
                    for fault in result["violations"]:
                        serious = fault["impact"] in ("serious", "critical")
                        line = f"{where}: {fault['impact']}: {fault['help']}: {fault['nodes'][0]['html'][:120]}"
                        found.expect(not serious, line) if serious else print(line)
                    context.close()
        browser.close()
    print(f"{len(pages)} pages of shelf and plan on 4 screens and a keyboard: {found.bad} faults")
    return 1 if found.bad else 0


if __name__ == "__main__":
    sys.exit(main())

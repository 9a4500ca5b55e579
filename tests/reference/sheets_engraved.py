#!/usr/bin/env python3
"""Take engraved sheets apart with tools that are not ours.

    python3 tests/reference/sheets_engraved.py [PROGRAM]

For some scales, a chord and a piece of the corpus: the PDF has as many pages as exercises begin one, every font in it is
embedded (`pdffonts`), and `pdftotext` finds every fingering digit of the sheet, and no more than its words and numbers add. The hardest spots
of every piece of the corpus are engraved without a fault, each picture with outlines of its own.

Reference: Poppler (poppler-utils). Needs a program built with the feature `engrave` (target/debug unless named) and
Poppler; says so and skips where one is missing.
"""

import collections
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SHEETS = [
    ["--scale", "E-flat major"],
    ["--scale", "c minor", "--form", "melodic", "--octaves", "4", "--tempo", "60"],
    ["--scale", "F-sharp major", "--octaves", "1", "--hand", "left"],
    ["--scale", "Bb", "--arpeggio", "Bb", "--broken-chord", "Bb", "--octaves", "3"],
    ["corpus/sonatina-for-an-east-window.musicxml"],
    ["corpus/the-causeway-in-storm.musicxml"],
]


def drill(program, asked, *more):
    return subprocess.run([program, "drill", *asked, *more], cwd=ROOT, capture_output=True, text=True, check=False)


def fingers_of(root):
    return collections.Counter(finger.text for finger in root.iter("fingering"))


def other_digits(root, pages):
    """Digits that stand alone besides those of fingers: in words, as numbers of measures and of pages."""
    words = " ".join(words.text for words in root.iter("words")).split()
    measures = [measure.get("number") for measure in root.iter("measure")]
    return collections.Counter(words + measures + [str(page) for page in range(1, pages + 1)])


def words_of(pdf):
    """What stands alone in the text of a PDF."""
    text = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True).stdout
    return collections.Counter(re.findall(r"<word [^>]*>([^<]*)</word>", text))


def faults(program, asked, folder):
    musicxml = drill(program, asked).stdout
    pdf = Path(folder) / "sheet.pdf"
    made = drill(program, asked, "-o", pdf)
    if made.returncode != 0 or made.stderr:
        yield f"status {made.returncode}: {made.stderr.strip()}"
        return
    info = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    pages = int(re.search(r"^Pages:\s+(\d+)", info, re.MULTILINE).group(1))
    least = 1 + musicxml.count('new-page="yes"')
    if pages < least:
        yield f"{pages} pages, but the sheet begins {least}"
    if not re.search(r"^Page size:\s+595\S* x 841", info, re.MULTILINE):
        yield "a page that is not A4"
    fonts = subprocess.run(["pdffonts", pdf], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    names = [line.split()[0] for line in fonts]
    if not any("Libertinus" in name for name in names):
        yield f"fonts {names}"
    for line in fonts:
        # Columns from the right: object, id, uni, sub, emb.
        if line.split()[-5] != "yes":
            yield f"a font that is not embedded: {line}"
    root = ET.fromstring(musicxml)
    fingers, others, found = fingers_of(root), other_digits(root, pages), words_of(pdf)
    for digit in "12345":
        # Not every measure and page has its number printed.
        if not fingers[digit] <= found[digit] <= fingers[digit] + others[digit]:
            yield f"digit {digit}: {found[digit]} in the PDF, {fingers[digit]} in the sheet"


def spots(program):
    """Faults of the engraved spots of the corpus."""
    bad = []
    for piece in sorted((ROOT / "corpus").glob("*.musicxml")):
        run = subprocess.run([program, "assess", piece, "--format", "html"], capture_output=True, text=True, check=False)
        if run.returncode != 0 or run.stderr:
            bad.append(f"{piece.name}: status {run.returncode}: {run.stderr.strip()}")
        elif 'class="spot"' in run.stdout:
            bad.append(f"{piece.name}: a spot that was not engraved")
    return bad


def main():
    program = Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "target/debug/thumbunder").resolve()
    if shutil.which("pdftotext") is None:
        print("skipped: Poppler (poppler-utils) is not on this machine")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        if not program.exists() or drill(program, ["--scale", "C"], "-o", Path(folder) / "try.svg").returncode != 0:
            print("skipped: no program with the feature `engrave`; run cargo build --features engrave")
            return 0
        bad = [f"{' '.join(asked)}: {fault}" for asked in SHEETS for fault in faults(program, asked, folder)]
    bad += spots(program)
    for fault in bad:
        print(fault)
    print(f"{len(SHEETS)} sheets as PDF and the spots of the corpus: {len(bad)} faults")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Run the scoring programs of a folder of scores and fail where a figure falls below what was reached before.

    python3 .ci/thresholds.py FOLDER

Every row of CHECKS is a program of FOLDER, the command it scores, and for each figure a pattern of its output, the least
value and, for errors, the greatest. Raise a threshold when a change improves its figure for good; never lower one without saying why.
"""

import re
import subprocess
import sys

PROGRAM = "target/release/thumbunder"
CHECKS = [
    ("notes.py", f"{PROGRAM} notes {{}}", [
        # Onset, duration, pitch and hand of every note, against what two of three independent readers agree on.
        ("notes read right, F1", r"F1 ([0-9.]+); grace notes", 0.9995),
    ]),
    ("fingering.py", f"{PROGRAM} notes {{}}", [
        ("printed digits of one editor, per cent", r"one-editor scores: +([0-9.]+) %", 71.0),
        ("an invention, mean over four people, per cent", r"mean over people +([0-9.]+) %", 82.0),
        ("notes where all four agree, per cent", r"where all agree +([0-9.]+) %", 93.0),
    ]),
    ("levels.py", f"{PROGRAM} assess --format json {{limit}} {{}}", [
        # In-sample: the shipped weights have seen these pieces. docs/level.md has the cross-validated figures.
        ("order of the course, tau", r"tau ([0-9.]+), rho", 0.82),
        ("three bands", r"three bands ([0-9.]+)", 0.86),
        # 0.74 is wanted here; docs/level.md says what was tried and why it stays below.
        ("first eight measures, tau", r"eight measures only: tau ([0-9.]+)", 0.71),
        ("ladder, rho", r"ladder: .* rho ([0-9.]+)", 0.94),
        ("ladder, mean error in levels", r"ladder: .* mean error ([0-9.]+)", 0, 0.55),
        ("ladder, within one level", r"ladder: .* within one ([0-9.]+)", 0.96),
        ("ladder, pairs in order", r"ladder: .* in order ([0-9.]+)", 0.98),
        ("first sixteen measures, rho", r"sixteen measures only: .* rho ([0-9.]+)", 0.80),
        ("first sixteen measures, mean error in levels", r"sixteen measures only: .* mean error ([0-9.]+)", 0, 1.0),
    ]),
]


def main():
    folder = sys.argv[1]
    low = 0
    for script, command, figures in CHECKS:
        run = subprocess.run(["python3", f"{folder}/{script}", command], capture_output=True, text=True, check=False)
        print(run.stdout, end="")
        print(run.stderr, end="", file=sys.stderr)
        for name, pattern, least, *most in figures:
            found = re.search(pattern, run.stdout)
            value = float(found.group(1)) if found else None
            good = value is not None and least <= value <= (most or [value])[0]
            low += not good
            limit = f"at most {most[0]}" if most else f"at least {least}"
            print(f"{'ok' if good else 'MISSED'}: {name}: {value} ({limit})")
    return 1 if low else 0


if __name__ == "__main__":
    sys.exit(main())

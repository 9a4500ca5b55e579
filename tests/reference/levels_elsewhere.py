#!/usr/bin/env python3
"""Grade pieces that no fit of the level has seen: the piano music that music21 carries.

    python3 tests/reference/levels_elsewhere.py [PROGRAM]

The level of each piece is from memory and right to about a level. On the pieces of PLAYED the mean error must stay within
MOST levels and each within two; on those of HEARD, miniatures that are easy to play and hard to understand, the level is
only printed: it is of the hands, and so too low. They were chosen by what music21 has, all its pieces for piano alone
except the sonata that the fit has seen. No weight was tuned to them; H. 186 showed that a lone playback tempo of 120 is
none (it had 7.1 before).

Reference: the corpus of music21 (Cuthbert and Ariza 2010, ISMIR).
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import music21

MOST = 1.0
PLAYED = [
    ("chopin/mazurka06-2", 6, "Chopin, Mazurka op. 6 no. 2"),
    ("schumann_clara/polonaise_op1n1", 6, "Clara Wieck, Polonaise op. 1 no. 1"),
    ("schumann_clara/polonaise_op1n2", 6, "Clara Wieck, Polonaise op. 1 no. 2"),
    ("schumann_clara/polonaise_op1n3", 6, "Clara Wieck, Polonaise op. 1 no. 3"),
    ("schumann_clara/polonaise_op1n4", 6, "Clara Wieck, Polonaise op. 1 no. 4"),
    ("cpebach/h186", 6, "C. P. E. Bach, Sonata H. 186, second movement"),
    ("joplin/maple_leaf_rag", 7, "Joplin, Maple Leaf Rag"),
]
HEARD = [
    ("schoenberg/opus19/movement2", 6, "Schoenberg, op. 19 no. 2"),
    ("schoenberg/opus19/movement6", 6, "Schoenberg, op. 19 no. 6"),
]


def grade(program, name, folder):
    path = Path(str(music21.corpus.getWork(name)))
    if path.suffix == ".krn":
        path = Path(music21.converter.parse(path).write("musicxml", Path(folder, "converted.musicxml")))
    run = subprocess.run([program, "assess", "--format", "json", path], capture_output=True, text=True, check=True)
    return json.loads(run.stdout)["level"]["value"]


def main():
    program = sys.argv[1] if len(sys.argv) > 1 else "target/release/thumbunder"
    errors = []
    with tempfile.TemporaryDirectory() as folder:
        for pieces, counts in [(PLAYED, True), (HEARD, False)]:
            for name, level, title in pieces:
                value = grade(program, name, folder)
                print(f"{value:4.1f}  from memory {level}  {title}{'' if counts else ' (not counted)'}")
                if counts:
                    errors.append(abs(value - level))
    mean = sum(errors) / len(errors)
    within = sum(error <= 1 for error in errors)
    print(f"{len(errors)} pieces that no fit has seen: mean error {mean:.2f} levels, {within} within one")
    if mean > MOST or max(errors) > 2:
        sys.exit(f"the mean error is beyond {MOST} levels, or a piece is more than two levels off")


if __name__ == "__main__":
    main()

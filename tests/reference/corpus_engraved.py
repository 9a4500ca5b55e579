#!/usr/bin/env python3
"""Check that the scores of the corpus and its catalogue are what their sources engrave to."""

import runpy
import sys
from pathlib import Path

ENGRAVER = Path(__file__).resolve().parents[2] / "corpus" / "source" / "engrave.py"

if __name__ == "__main__":
    sys.path.insert(0, str(ENGRAVER.parent))
    sys.argv = [str(ENGRAVER), "--check"]
    sys.dont_write_bytecode = True
    runpy.run_path(str(ENGRAVER), run_name="__main__")

#!/usr/bin/env python3
"""Compare what the program reads with what music21 reads, note by note.

    python3 tests/reference/notes_vs_music21.py [PROGRAM]

Scores, all carried by music21: its corpus scores with a keyboard part, and the MusicXML regression suite of the LilyPond
project. For every score the onset, length and key of every sounding note must agree, grace notes apart, in the parts that
the program reads as the piano part; a difference must have its reason in DIFFERENT below (docs/reading.md shows the table),
and a reason that is no longer needed must go. Scores without a piano part must say so, no score may take longer than
SECONDS, and no run may end in any other way.

Reference: music21 (Cuthbert and Ariza 2010, ISMIR), its `converter`. Ties are merged here, since music21 keeps heads apart
that are tied across voices or staves.
"""

import collections
import concurrent.futures
import csv
import io
import re
import subprocess
import sys
import warnings
import zipfile
from fractions import Fraction
from pathlib import Path

import music21

warnings.simplefilter("ignore")
SECONDS = 10
program = Path(sys.argv[1] if len(sys.argv) > 1 else "target/release/thumbunder")

# Why a score is read differently, by the end of its path.
DIFFERENT = {
    "01d-Pitches-Microtones.xml": "quarter tones: both take the nearest key, we round halves towards the natural",
    "01f-Pitches-EditorialMicrotoneAccidentals.xml": "quarter tones, as above",
    "02e-Rests-NoType.xml": "a note without `<staff>`: music21 puts it on both staves",
    "21f-Chord-ElementInBetween.xml": "a direction between the notes of a chord: music21 takes the chord apart",
    "32c-MultipleNotationChildren.xml": "an accidental without `<alter>`: only `<alter>` sounds (MusicXML 4.0, `alter`)",
    "72b-TransposingInstruments-Full.xml": "eleven parts with the same one note: two of them have no instrument's name",
}

KEYBOARD = re.compile("piano|klav|harpsi|cemb|organ", re.IGNORECASE)


def corpus_scores():
    """Scores of music21's corpus with a part on two staves, or one named after a keyboard."""
    for path in music21.corpus.corpora.CoreCorpus().getPaths(fileExtensions=(".mxl", ".xml", ".musicxml")):
        path = Path(path)
        if path.suffix == ".mxl":
            with zipfile.ZipFile(path) as archive:
                name = next(name for name in archive.namelist() if not name.startswith("META-INF"))
                text = archive.read(name).decode("utf-8", "replace")
        else:
            text = path.read_text("utf-8", "replace")
        names = re.findall(r"<part-name[^>]*>([^<]*)", text)
        if re.search(r"<staves>[23]<", text) or any(KEYBOARD.search(name) for name in names):
            yield path


def suite_scores():
    """The MusicXML regression suite of the LilyPond project."""
    folder = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
    return sorted(path for path in folder.iterdir() if path.suffix in (".xml", ".mxl"))


def ours(path):
    """(exit status, rows, what was said on standard error)"""
    ran = subprocess.run([program, "notes", path], capture_output=True, text=True, timeout=SECONDS)
    rows = collections.Counter()
    for row in csv.DictReader(io.StringIO(ran.stdout)):
        if row["grace"] == "0":
            rows[round(float(row["onset"]) * 1000), round(float(row["duration"]) * 1000), int(row["midi"])] += 1
    return ran.returncode, rows, ran.stderr.strip()


def heads(part, starts):
    """(onset, length, key, tie starts, tie stops) of every sounding head of a part."""
    for index, measure in enumerate(part.getElementsByClass("Measure")):
        for element in measure.recurse().notes:
            if element.duration.isGrace or isinstance(element, music21.harmony.Harmony):
                continue
            onset = starts[index] + exact(element.getOffsetInHierarchy(measure))
            for note in element.notes if isinstance(element, music21.chord.Chord) else [element]:
                if isinstance(note, music21.note.Unpitched):
                    continue
                tie = note.tie.type if note.tie else ""
                length = exact(element.duration.quarterLength)
                yield onset, length, note.pitch.midi, tie in ("start", "continue"), tie in ("stop", "continue")


def exact(time):
    return Fraction(time).limit_denominator(100_000)


def measure_starts(parts):
    """Where each measure starts when it lasts as long as the notes and rests of its longest part.

    music21 also lets a direction whose offset points past the barline stretch its measure.
    """
    lengths = collections.defaultdict(Fraction)
    for part in parts:
        for index, measure in enumerate(part.getElementsByClass("Measure")):
            for element in measure.recurse().notesAndRests:
                end = exact(element.getOffsetInHierarchy(measure)) + exact(element.duration.quarterLength)
                lengths[index] = max(lengths[index], end)
    starts = [Fraction(0)]
    for index in range(max(lengths, default=0) + 1):
        starts.append(starts[-1] + lengths[index])
    return starts


def theirs(path):
    """{part id and name: rows}, staves of one part together."""
    score = music21.converter.parse(path, forceSource=True)
    if isinstance(score, music21.stream.Opus):
        score = score.scores[0]
    score.toSoundingPitch(inPlace=True)
    starts = measure_starts(score.parts)
    parts = collections.defaultdict(list)
    for part in score.parts:
        parts[re.sub(r"-Staff\d+$", "", str(part.id)) + f" {part.partName}"].extend(heads(part, starts))
    return {name: merged(rows) for name, rows in parts.items()}


def merged(heads):
    """The rows of heads with tied chains made one."""
    chains, open_chains = [], collections.defaultdict(list)
    for onset, length, midi, starts, stops in sorted(heads):
        waiting = open_chains[midi, onset] if stops else []
        chain = waiting.pop() if waiting else [onset, Fraction(0), midi]
        if not chain[1]:
            chains.append(chain)
        chain[1] += length
        if starts:
            open_chains[midi, onset + length].append(chain)
    return collections.Counter((round(on * 1000), round(length * 1000), midi) for on, length, midi in chains)


# Thousandths of a quarter that the two may differ by: music21 keeps the rounded durations of some tuplets.
NEAR = sorted(range(-8, 9), key=abs)


def near(rows, onset, length, midi):
    """The nearest row."""
    for a in NEAR:
        for b in NEAR:
            if rows.get((onset + a, length + b, midi)):
                return onset + a, length + b, midi
    return None


def subtract(rows, others):
    """Rows that are not in `others`."""
    others, left = collections.Counter(others), collections.Counter()
    for row, count in rows.items():
        for _ in range(count):
            found = near(others, *row)
            if found:
                others[found] -= 1
            else:
                left[row] += 1
    return left


def compare(path):
    """A line on one score, and whether it agrees; None where there is nothing to compare."""
    try:
        status, got, said = ours(path)
    except subprocess.TimeoutExpired:
        return f"takes longer than {SECONDS} seconds", False
    if status not in (0, 1) or "panicked" in said:
        return f"ended with {status}: {said[:200]}", False
    try:
        parts = theirs(path)
    except Exception as error:  # noqa: BLE001 - music21 raises many kinds
        return f"music21 does not read it ({type(error).__name__}); we: {said or sum(got.values())}", None
    if status == 1:
        named = [name for name in parts if KEYBOARD.search(name)]
        unread = "no piano part" in said or "no notes" in said and not any(parts.values())
        return said.rsplit(": ", 1)[-1], None if unread and not named else False
    # The piano part by its name, else the parts whose notes we have: a singer may double the piano.
    chosen = [name for name, rows in parts.items() if rows and KEYBOARD.search(name)]
    if not chosen:
        chosen = [name for name, rows in parts.items() if 2 * sum(subtract(rows, got).values()) < sum(rows.values())]
    want = sum((parts[name] for name in (chosen or parts)), collections.Counter())
    missing, extra = subtract(want, got), subtract(got, want)
    if not missing and not extra:
        return f"{sum(got.values())} notes in {len(chosen)} of {len(parts)} parts", True
    line = f"{sum(missing.values())} of {sum(want.values())} notes missing, {sum(extra.values())} extra"
    show = [f"{on / 1000} for {length / 1000} key {midi}" for on, length, midi in sorted(missing)[:3]]
    more = [f"{on / 1000} for {length / 1000} key {midi}" for on, length, midi in sorted(extra)[:3]]
    return f"{line}; theirs {show}, ours {more}", False


def main():
    paths = [*corpus_scores(), *suite_scores()]
    assert len(paths) > 150, "music21 carries its corpus and the suite"
    with concurrent.futures.ProcessPoolExecutor() as pool:
        lines = list(pool.map(compare, paths))
    counts, faults = collections.Counter(), []
    for path, (line, agrees) in zip(paths, lines):
        reason = next((why for end, why in DIFFERENT.items() if str(path).endswith(end)), None)
        if agrees is None:
            counts["not compared"] += 1
            print(f"-  {path.name}: {line}")
        elif agrees:
            counts["agree"] += 1
            if reason:
                faults.append(f"{path.name} agrees, but has a reason not to: {reason}")
        elif reason:
            counts["differ for a known reason"] += 1
            print(f"~  {path.name}: {line}\n   {reason}")
        else:
            faults.append(f"{path.name}: {line}")
    for fault in faults:
        print(f"!! {fault}")
    print(f"{len(paths)} scores: " + ", ".join(f"{count} {what}" for what, count in counts.items()) + f", {len(faults)} at fault")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()

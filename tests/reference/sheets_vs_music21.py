#!/usr/bin/env python3
"""Check practice sheets against the MusicXML 4.0 schema and against music21's own idea of every scale and chord.

    python3 tests/reference/sheets_vs_music21.py [PROGRAM]

For all 48 major and minor scales under their main names, the scales of the enharmonic twins, chromatic scales from every
key, and the arpeggios and broken chords of all keys, over 1 to 5 octaves:
- the sheets of both hands, of the right and of the left validate against the schema;
- music21 reads the sheet of both hands with full measures, the key signature of the key, one fingering digit on every
  note, the left hand's below, and the hands apart, together and in the variants playing one and the same notes;
- the notes are those that music21 spells for the scale or chord, up and down, and over two octaves the digits are those
  that `scale` prints.

Reference: music21 (Cuthbert and Ariza 2010, ISMIR), its `scale` and `key` modules. See requirements.txt beside this file.
"""

import itertools
import json
import multiprocessing
import subprocess
import sys
from pathlib import Path

import music21
from corpus_schema import load_schema
from lxml import etree

OCTAVES = range(1, 6)
MAJOR = "C D-flat D E-flat E F G-flat G A-flat A B-flat B".split()
MINOR = "C C-sharp D E-flat E F F-sharp G G-sharp A B-flat B".split()
MAJOR_TWINS = "C-flat F-sharp C-sharp".split()
MINOR_TWINS = "A-flat D-sharp A-sharp".split()
CHROMATIC = "C C-sharp D E-flat E F F-sharp G A-flat A B-flat B".split()
FORMS = {
    "major": music21.scale.MajorScale,
    "natural minor": music21.scale.MinorScale,
    "harmonic minor": music21.scale.HarmonicMinorScale,
    "melodic minor": music21.scale.MelodicMinorScale,
}
program = Path(sys.argv[1] if len(sys.argv) > 1 else "target/release/thumbunder")


def short(tonic):
    """music21's name of a tonic: E-, F#."""
    return tonic.replace("-flat", "-").replace("-sharp", "#")


def cases():
    """(option, name for the option, tonic, form) of everything that can be drilled."""
    for tonic in MAJOR + MAJOR_TWINS:
        yield "--scale", f"{tonic} major", tonic, "major"
        yield "--arpeggio", f"{tonic} major", tonic, "major"
        yield "--broken-chord", f"{tonic} major", tonic, "major"
    for tonic in MINOR + MINOR_TWINS:
        for form in list(FORMS)[1:]:
            yield "--scale", f"{tonic} {form}", tonic, form
        yield "--arpeggio", f"{tonic} minor", tonic, "natural minor"
        yield "--broken-chord", f"{tonic} minor", tonic, "natural minor"
    for tonic in CHROMATIC:
        yield "--scale", f"{tonic} chromatic", tonic, "chromatic"


def run(*arguments):
    return subprocess.run([program, *arguments], check=True, capture_output=True).stdout


def scale_up_and_down(tonic, form, lowest, octaves):
    """Names with octaves as music21 spells them, up and back down, the top once."""
    low = music21.pitch.Pitch(short(tonic), octave=lowest)
    high = music21.pitch.Pitch(short(tonic), octave=lowest + octaves)
    if form == "chromatic":
        return chromatic(low, high)
    made = FORMS[form](music21.pitch.Pitch(short(tonic)))
    up = made.getPitches(low, high, direction=music21.scale.Direction.ASCENDING)
    down = made.getPitches(low, high, direction=music21.scale.Direction.DESCENDING)
    return [pitch.nameWithOctave for pitch in up] + [pitch.nameWithOctave for pitch in down][1:]


def chromatic(low, high):
    """Sharps up, flats down, the tonic as named: common practice, no source."""
    names = {1: "C C# D D# E F F# G G# A A# B".split(), -1: "C D- D E- E F G- G A- A B- B".split()}

    def name(midi, way):
        if (midi - low.midi) % 12 == 0:
            return f"{low.name}{low.octave + (midi - low.midi) // 12}"
        return f"{names[way][midi % 12]}{midi // 12 - 1}"

    up = [name(midi, 1) for midi in range(int(low.midi), int(high.midi) + 1)]
    return up + [name(midi, -1) for midi in range(int(high.midi) - 1, int(low.midi) - 1, -1)]


def chord_up_and_down(option, tonic, form, lowest, octaves):
    scale = FORMS[form](music21.pitch.Pitch(short(tonic)))
    low = music21.pitch.Pitch(short(tonic), octave=lowest)
    high = music21.pitch.Pitch(short(tonic), octave=lowest + octaves + 1)
    notes = [pitch.nameWithOctave for pitch in scale.getPitches(low, high, direction=music21.scale.Direction.ASCENDING)]
    tones = [note for index, note in enumerate(notes) if index % 7 in (0, 2, 4)]
    if option == "--arpeggio":
        up = tones[: 3 * octaves + 1]
        return up + up[-2::-1]
    up = [tone for position in range(3 * octaves + 1) for tone in tones[position : position + 3]]
    return up + up[::-1] + up[:1]


def exercises(part):
    """The notes of a staff, one list for each stretch between double, final and repeat barlines in which it plays."""
    found, current = [], []
    for measure in part.getElementsByClass(music21.stream.Measure):
        current.extend(measure.recurse().notes)
        bar = measure.rightBarline
        if bar is not None and bar.type in ("double", "final"):
            if current:
                found.append(current)
            current = []
    return found + ([current] if current else [])


def digits(note):
    marks = [mark for mark in note.articulations if isinstance(mark, music21.articulations.Fingering)]
    return [(mark.fingerNumber, mark.placement) for mark in marks]


def faults(case):
    option, name, tonic, form = case
    schema = load_schema()
    for octaves in OCTAVES:
        for hand in ("both", "right", "left"):
            text = run("drill", option, name, "--octaves", str(octaves), "--hand", hand, "--tempo", "80")
            if not schema.validate(etree.fromstring(text)):
                yield f"{hand}, {octaves} octaves: {schema.error_log.last_error}"
            if hand == "both":
                for fault in reading_faults(option, name, tonic, form, octaves, text):
                    yield f"{octaves} octaves: {fault}"


def reading_faults(option, name, tonic, form, octaves, text):
    score = music21.converter.parseData(text.decode(), format="musicxml")
    parts = list(score.parts)
    if len(parts) != 2:
        yield f"{len(parts)} staves"
        return
    mode = "major" if form == "major" else "minor"
    sharps = 0 if form == "chromatic" else music21.key.Key(short(tonic), mode).sharps
    printed = json.loads(run("scale", name, "--octaves", str(octaves), "--format", "json"))["runs"] if option == "--scale" else []
    for part, hand, side in zip(parts, "RL", ("above", "below")):
        signatures = {key.sharps for key in part.recurse().getElementsByClass(music21.key.KeySignature)}
        if signatures != {sharps}:
            yield f"{hand}: signatures {signatures}, expected {sharps}"
        for measure in part.getElementsByClass(music21.stream.Measure):
            if measure.duration.quarterLength != measure.barDuration.quarterLength:
                yield f"{hand}: measure {measure.number} lasts {measure.duration.quarterLength}"
        for note in part.recurse().notes:
            marks = digits(note)
            if len(marks) != 1 or marks[0][1] != side:
                yield f"{hand}: {note.nameWithOctave} in measure {note.measureNumber} has digits {marks}"
        played = exercises(part)
        runs = [[(note.nameWithOctave, digits(note)[0][0]) for note in notes] for notes in played]
        # Alone, together, four variants; one hand of a scale has the loop besides, in three pieces.
        whole = [run for run in runs if run == runs[0]]
        if len(whole) != 6 or len(runs) not in (6, 9):
            yield f"{hand}: {len(whole)} of {len(runs)} exercises are the run"
        lowest = played[0][0].pitch.octave
        expected = (
            scale_up_and_down(tonic, form, lowest, octaves)
            if option == "--scale"
            else chord_up_and_down(option, tonic, form, lowest, octaves)
        )
        names = [pitch for pitch, _ in runs[0]]
        if names != expected:
            yield f"{hand}: plays {' '.join(names)}, expected {' '.join(expected)}"
        if printed:
            up, down = (next(run for run in printed if (run["hand"], run["direction"]) == (hand, way)) for way in ("up", "down"))
            fingers = [finger for _, finger in runs[0]]
            if fingers != up["fingers"] + down["fingers"][1:]:
                yield f"{hand}: fingers {fingers}, expected {up['fingers']} {down['fingers']}"


def check(case):
    return case[1], case[0], list(faults(case))


def main():
    every = list(cases())
    wrong = 0
    with multiprocessing.Pool() as pool:
        for name, option, found in pool.imap(check, every):
            wrong += bool(found)
            for fault in itertools.islice(found, 5):
                print(f"{option} {name}: {fault}")
    sheets = len(every) * len(OCTAVES) * 3
    print(f"{len(every) - wrong} of {len(every)} scales and chords hold; {sheets} sheets validated")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

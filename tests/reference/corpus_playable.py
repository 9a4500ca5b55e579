#!/usr/bin/env python3
"""Read the corpus with music21 and check that two hands can play it.

    python3 tests/reference/corpus_playable.py [WORD]    all pieces, or those whose file name has WORD

For each piece: every measure is as long as its meter says (a pickup as its source says), the key and mode at the start
are those of the source, each hand has at most five keys down and no more than a ninth between them (unless the chord is
rolled or the catalogue plants a wide stretch there), the hands do not strike the same key at once, and all keys are on
the piano.

Reference: music21 (PyPI) as an independent reader. The limit of a ninth is common practice for a hand of average size,
no source. Needs music21; see requirements.txt beside this file.
"""

import csv
import sys
import zipfile
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

from music21 import converter, expressions, note, stream

CORPUS = Path(__file__).resolve().parents[2] / "corpus"
NINTH = 14  # semitones
LOWEST, HIGHEST = 21, 108  # A0 and C8
HANDS = {"1": "R", "2": "R", "5": "L", "6": "L"}  # by voice


def source_header(row):
    """The header of the piece's source."""
    text = (CORPUS / "source" / (Path(row["file"]).stem + ".txt")).read_text(encoding="utf-8")
    lines = text.split("\n---\n")[0].splitlines()
    return {name.strip(): value.strip() for name, _, value in (line.partition(":") for line in lines)}


def wide_stretches(row):
    """Measures in which a hand may open further, as {(hand, measure)}."""
    allowed = set()
    for claim in filter(None, (claim.strip() for claim in row["claims"].split(";"))):
        kind, _, hand, _, measures = claim.split("|")
        if kind == "wide stretch":
            first, _, last = measures.partition("-")
            allowed.update((hand, number) for number in range(int(first), int(last or first) + 1))
    return allowed


def parse(path):
    """The score as music21 reads it, which knows neither UTF-16 nor timewise scores."""
    data = path.read_bytes()
    if data.startswith(b"PK"):
        with zipfile.ZipFile(path) as archive:
            data = archive.read(path.stem + ".musicxml")
    root = ElementTree.fromstring(data)
    if root.tag == "score-timewise":
        root = partwise(root)
    return converter.parse(ElementTree.tostring(root, encoding="unicode"), format="musicxml")


def partwise(timewise):
    """The same score with the parts outside and the measures inside."""
    root = ElementTree.Element("score-partwise", timewise.attrib)
    root.extend(element for element in timewise if element.tag != "measure")
    for name in [part.get("id") for part in timewise.find("measure")]:
        part = ElementTree.SubElement(root, "part", id=name)
        for measure in timewise.findall("measure"):
            inner = ElementTree.SubElement(part, "measure", measure.attrib)
            inner.extend(measure.find(f"part[@id='{name}']"))
    return root


def sounding(score):
    """Every key to hold as (hand, measure number, start, end, key number); ties count for each of their heads."""
    for staff, part in zip("RL", score.parts):
        for measure in part.getElementsByClass(stream.Measure):
            for element in measure.recurse().notes:
                # A rolled chord is let go one key after the other, so it need not lie under the hand.
                rolled = any(isinstance(mark, expressions.ArpeggioMark) for mark in element.expressions)
                if rolled or element.duration.isGrace:
                    continue
                voice = element.activeSite.id if isinstance(element.activeSite, stream.Voice) else ""
                # Voice names tell the hand only where both hands share a staff of one part.
                hand = (one_part(score) and HANDS.get(voice)) or staff
                start = Fraction(element.getOffsetInHierarchy(score)).limit_denominator(10080)
                end = start + Fraction(element.duration.quarterLength).limit_denominator(10080)
                for pitch in element.pitches:
                    yield hand, measure.number, start, end, pitch.midi


def one_part(score):
    """True where the two staves are one part, so that voices are named for the part and not for the staff."""
    return all(part.partName == "Piano" for part in score.parts)


def faults(row):
    """What is wrong with one piece, in words."""
    header = source_header(row)
    score = parse(CORPUS / row["file"])
    if len(score.parts) != 2:
        yield f"{len(score.parts)} staves, expected 2"
        return
    yield from key_faults(score.parts, header)
    yield from length_faults(score.parts, header)
    yield from hand_faults(list(sounding(score)), wide_stretches(row))


def key_faults(parts, header):
    stated = header["key"].replace("-sharp", "#").replace("-flat", "-")
    for part in parts:
        signature = part.getElementsByClass(stream.Measure)[0].keySignature
        key = signature and signature.asKey(signature.mode)
        if key is None or f"{key.tonic.name} {key.mode}".lower() != stated.lower():
            yield f"key {key}, expected {header['key']}"


def length_faults(parts, header):
    """A hand that visits the other staff leaves its own empty, so the fuller staff counts."""
    meter = Fraction(0)
    for measures in zip(*(part.getElementsByClass(stream.Measure) for part in parts)):
        first = measures[0]
        if first.timeSignature:
            meter = Fraction(first.timeSignature.barDuration.quarterLength)
        expected = 4 * Fraction(header["pickup"]) if first.number == 0 else meter
        voices = [voice for measure in measures for voice in (list(measure.voices) or [measure])]
        lasts = max(Fraction(voice.highestTime).limit_denominator(10080) for voice in voices)
        if lasts != expected:
            yield f"measure {first.number} lasts {lasts} quarters, expected {expected}"


def hand_faults(notes, allowed):
    for start in sorted({entry[2] for entry in notes}):
        struck = {}
        for hand in "RL":
            held = [entry for entry in notes if entry[0] == hand and entry[2] <= start < entry[3]]
            if not held:
                continue
            measure = max(entry[1] for entry in held)
            keys = sorted({entry[4] for entry in held})
            if len(keys) > 5:
                yield f"measure {measure}, {hand}: {len(keys)} keys down"
            if keys[-1] - keys[0] > NINTH and (hand, measure) not in allowed:
                yield f"measure {measure}, {hand}: {keys[-1] - keys[0]} semitones"
            if keys[0] < LOWEST or keys[-1] > HIGHEST:
                yield f"measure {measure}, {hand}: not on the piano"
            struck[hand] = {entry[4] for entry in notes if entry[0] == hand and entry[2] == start}, measure
        if len(struck) == 2 and (shared := struck["R"][0] & struck["L"][0]):
            yield f"measure {struck['R'][1]}: both hands strike {note.Note(min(shared)).nameWithOctave}"


def main(arguments):
    with open(CORPUS / "catalogue.csv", encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if not arguments or arguments[0] in row["file"]]
    bad = 0
    for row in rows:
        found = list(faults(row))
        bad += bool(found)
        for fault in found:
            print(f"{row['file']}: {fault}")
    print(f"{len(rows) - bad} of {len(rows)} pieces are full measure by measure and lie under the hands")
    return 1 if bad or not rows else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

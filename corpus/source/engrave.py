#!/usr/bin/env python3
"""Engrave the studio's sources as MusicXML 4.0 and write the catalogue.

    python3 corpus/source/engrave.py             writes corpus/*.musicxml, *.mxl, *.xml and corpus/catalogue.csv
    python3 corpus/source/engrave.py --check     writes nothing; fails where a committed file differs from its source

Standard library only; the same source gives the same bytes everywhere (the packed bytes of an `.mxl` may depend on the
deflate library, so `--check` compares what is inside).
"""

import csv
import io
import sys
import xml.etree.ElementTree as ET
import zipfile
from math import lcm
from pathlib import Path

import notation
import spelling

TYPES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th"}
DOCTYPE = (
    '<!DOCTYPE score-{kind} PUBLIC "-//Recordare//DTD MusicXML 4.0 {Kind}//EN" '
    '"http://www.musicxml.org/dtds/{kind}.dtd">'
)
MARK_ELEMENTS = {"tr": "trill-mark", "mordent": "mordent", "prall": "inverted-mordent", "turn": "turn"}
CLEFS = {"treble": ("G", "2"), "bass": ("F", "4")}
ENDINGS = {"": ".musicxml", "timewise": ".xml", "utf-16": ".musicxml", "mxl": ".mxl", "two parts": ".musicxml"}


def child(parent, tag, text=None, **attributes):
    """Append an element; an underscore in an attribute name stands for a hyphen."""
    element = ET.SubElement(parent, tag, {name.replace("_", "-"): value for name, value in attributes.items()})
    if text is not None:
        element.text = str(text)
    return element


def stem_directions(bar):
    """Where several voices share a staff: the higher one's stems go up, the other's down."""
    pitches = {}
    for voice, events in bar.voices.items():
        for event in events:
            pitches.setdefault((event.staff, voice), []).extend(head.midi for head in event.heads)
    stems = {}
    for staff in "RL":
        voices = [voice for place, voice in pitches if place == staff and pitches[place, voice]]
        # The second voice of a hand lies below by definition; a hand that crosses lies where its notes are.
        voices.sort(key=lambda voice: (voice.endswith("2"), -max(pitches[staff, voice])))
        if len(voices) > 1:
            stems.update({(staff, voice): "down" for voice in voices[1:]})
            stems[staff, voices[0]] = "up"
    return stems


class PartWriter:
    """Writes the measures of one part, which holds one hand or both."""

    def __init__(self, part_id, hands, divisions):
        self.part_id, self.hands, self.divisions = part_id, hands, divisions
        left = ("5", "6") if len(hands) == 2 else ("1", "2")
        self.voice_numbers = {"R": "1", "R2": "2", "L": left[0], "L2": left[1]}
        self.clefs = {"R": "treble", "L": "bass"}
        self.octave_shift = {}

    def units(self, whole_notes):
        value = whole_notes * 4 * self.divisions
        assert value.denominator == 1
        return str(value.numerator)

    def staff(self, hand):
        return str(self.hands.index(hand) + 1)

    def measure(self, bar):
        measure = ET.Element("measure", {"number": str(bar.number)})
        if bar.pickup:
            measure.set("implicit", "yes")
        self.left_barline(measure, bar)
        self.attributes(measure, bar)
        if self.hands[0] == "R" and bar.tempo:
            self.tempo(measure, bar.tempo)
        first = True
        stems = stem_directions(bar)
        for voice, events in bar.voices.items():
            if voice[0] not in self.hands:
                continue
            if not first:
                child(child(measure, "backup"), "duration", self.units(bar.length))
            first = False
            for event in events:
                self.event(measure, voice, event, stems.get((event.staff, voice), ""))
            for direction in bar.trailing.get(voice, []):
                self.direction(measure, direction, voice[0], voice)
        self.right_barline(measure, bar)
        return measure

    def attributes(self, measure, bar):
        if not (bar.key or bar.time):
            return
        attributes = child(measure, "attributes")
        opening = bar.number in (0, 1) and bar.key and bar.time
        if opening:
            child(attributes, "divisions", self.divisions)
        if bar.key:
            key = child(attributes, "key")
            child(key, "fifths", bar.key.fifths)
            child(key, "mode", bar.key.mode)
        if bar.time:
            time = child(attributes, "time")
            child(time, "beats", bar.time[0])
            child(time, "beat-type", bar.time[1])
        if opening:
            if len(self.hands) > 1:
                child(attributes, "staves", len(self.hands))
            for hand in self.hands:
                self.clef(attributes, hand, self.clefs[hand])

    def clef(self, attributes, hand, name):
        clef = child(attributes, "clef")
        if len(self.hands) > 1:
            clef.set("number", self.staff(hand))
        sign, line = CLEFS[name]
        child(clef, "sign", sign)
        child(clef, "line", line)

    def left_barline(self, measure, bar):
        if bar.left_barline or bar.ending_start:
            barline = child(measure, "barline", location="left")
            if bar.left_barline:
                child(barline, "bar-style", "heavy-light")
            if bar.ending_start:
                child(barline, "ending", f"{bar.ending_start}.", number=bar.ending_start, type="start")
                self.ending = bar.ending_start
            if bar.left_barline:
                child(barline, "repeat", direction="forward")

    def right_barline(self, measure, bar):
        if not (bar.right_barline or bar.ending_stop):
            return
        barline = child(measure, "barline", location="right")
        style = {"repeat": "light-heavy", "final": "light-heavy", "double": "light-light"}.get(bar.right_barline)
        if style:
            child(barline, "bar-style", style)
        if bar.ending_stop:
            child(barline, "ending", number=self.ending, type=bar.ending_stop)
        if bar.right_barline == "repeat":
            child(barline, "repeat", direction="backward")

    def tempo(self, measure, tempo):
        if not (tempo.words or tempo.beat_unit):
            child(measure, "sound", tempo=tempo.quarter_bpm)
            return
        direction = child(measure, "direction", placement="above")
        if tempo.words:
            words = child(child(direction, "direction-type"), "words", tempo.words)
            words.set("font-weight", "bold")
        if tempo.beat_unit:
            metronome = child(child(direction, "direction-type"), "metronome")
            metronome.set("parentheses", "yes" if tempo.words else "no")
            child(metronome, "beat-unit", tempo.beat_unit)
            if tempo.dotted:
                child(metronome, "beat-unit-dot")
            child(metronome, "per-minute", tempo.per_minute)
        if len(self.hands) > 1:
            child(direction, "staff", "1")
        if tempo.quarter_bpm:
            child(direction, "sound", tempo=tempo.quarter_bpm)

    def direction(self, measure, direction, hand, voice):
        kind, text = direction
        element = child(measure, "direction")
        above = kind in ("words", "octave-shift") and text not in ("8vb",)
        element.set("placement", "above" if above else "below")
        content = child(element, "direction-type")
        if kind == "words":
            child(content, "words", text).set("font-style", "italic")
        elif kind == "dynamics":
            child(child(content, "dynamics"), text)
        elif kind == "wedge":
            child(content, "wedge", type=text)
        elif kind == "pedal":
            child(content, "pedal", type=text, line="no", sign="yes")
        else:
            self.shift(element, content, text, hand)
        child(element, "voice", self.voice_numbers[voice])
        if len(self.hands) > 1:
            child(element, "staff", self.staff(hand))

    def shift(self, element, content, text, hand):
        if text == "loco":
            if self.octave_shift.pop(hand) == "up":
                element.set("placement", "below")
            child(content, "octave-shift", type="stop", size="8")
        else:
            # `down` tells that the notes are printed lower than they sound, which is what 8va does.
            self.octave_shift[hand] = "down" if text == "8va" else "up"
            child(content, "octave-shift", type=self.octave_shift[hand], size="8")

    def event(self, measure, voice, event, stem):
        for direction in event.directions:
            self.direction(measure, direction, event.staff, voice)
        if event.clef:
            self.clef(child(measure, "attributes"), event.staff, event.clef)
        if event.kind == "space":
            forward = child(measure, "forward")
            child(forward, "duration", self.units(event.duration))
            child(forward, "voice", self.voice_numbers[voice])
            if len(self.hands) > 1:
                child(forward, "staff", self.staff(event.staff))
            return
        for index, head in enumerate(event.heads or [None]):
            self.note(measure, voice, event, head, index, stem)

    def note(self, measure, voice, event, head, index, stem):
        note = child(measure, "note")
        if event.grace:
            child(note, "grace", slash="yes")
        if index > 0:
            child(note, "chord")
        if head is None:
            rest = child(note, "rest")
            if event.kind == "measure rest":
                rest.set("measure", "yes")
        else:
            pitch = child(note, "pitch")
            child(pitch, "step", head.step)
            if head.alter:
                child(pitch, "alter", head.alter)
            child(pitch, "octave", head.octave)
        if not event.grace:
            child(note, "duration", self.units(event.duration))
        if head is not None:
            for present, kind in ((head.tie_stop, "stop"), (head.tie_start, "start")):
                if present:
                    child(note, "tie", type=kind)
        child(note, "voice", self.voice_numbers[voice])
        if event.kind != "measure rest":
            child(note, "type", TYPES[event.base])
            for _ in range(event.dots):
                child(note, "dot")
        if head is not None and head.accidental:
            accidental = child(note, "accidental", head.accidental)
            if head.cautionary:
                accidental.set("cautionary", "yes")
        if event.tuplet:
            modification = child(note, "time-modification")
            child(modification, "actual-notes", event.tuplet[0])
            child(modification, "normal-notes", event.tuplet[1])
        if stem and event.kind == "notes" and event.base > 1:
            child(note, "stem", stem)
        if len(self.hands) > 1:
            child(note, "staff", self.staff(event.staff))
        if index == 0:
            for level, state in enumerate(event.beams, 1):
                child(note, "beam", state, number=str(level))
        self.notations(note, event, head, index, "above" if voice[0] == "R" else "below")

    def notations(self, note, event, head, index, finger_placement):
        notations = ET.Element("notations")
        if head is not None:
            for present, kind in ((head.tie_stop, "stop"), (head.tie_start, "start")):
                if present:
                    child(notations, "tied", type=kind)
        if index == 0:
            for kind, number in event.slurs:
                child(notations, "slur", type=kind, number=str(number))
            for edge in event.tuplet_edges:
                tuplet = child(notations, "tuplet", type=edge, number="1")
                if edge == "start":
                    tuplet.set("bracket", "no" if event.beams else "yes")
            ornaments = [mark for mark in event.marks if mark in notation.ORNAMENTS]
            if ornaments:
                element = child(notations, "ornaments")
                for mark in ornaments:
                    child(element, MARK_ELEMENTS[mark])
        if head is not None and head.fingers:
            technical = child(notations, "technical")
            child(technical, "fingering", head.fingers[0], placement=finger_placement)
            for finger in head.fingers[1:]:
                child(technical, "fingering", finger, substitution="yes", placement=finger_placement)
        if index == 0:
            if event.articulations:
                element = child(notations, "articulations")
                for name in event.articulations:
                    child(element, name)
            if "fermata" in event.marks:
                child(notations, "fermata", type="upright")
        if "arp" in event.marks:
            child(notations, "arpeggiate")
        if len(notations):
            note.append(notations)


def smallest_divisions(piece):
    """Divisions of a quarter that make every duration whole."""
    lengths = [bar.length for bar in piece.bars]
    lengths += [event.duration for bar in piece.bars for events in bar.voices.values() for event in events]
    return lcm(*((4 * length).denominator for length in lengths))


def score_header(root, piece):
    header = piece.header
    child(child(root, "work"), "work-title", header["title"])
    child(root, "movement-title", header["title"])
    identification = child(root, "identification")
    child(identification, "creator", header["composer"], type="composer")
    if "arranger" in header:
        child(identification, "creator", header["arranger"], type="arranger")
    child(identification, "rights", header.get("rights", "CC0 1.0, no rights reserved"))
    encoding = child(identification, "encoding")
    child(encoding, "software", "corpus/source/engrave.py")
    for element in ("accidental", "beam"):
        child(encoding, "supports", element=element, type="yes")


def engrave(piece):
    """The score as an element tree, partwise."""
    spelling.finish(piece.bars)
    divisions = smallest_divisions(piece)
    root = ET.Element("score-partwise", {"version": "4.0"})
    score_header(root, piece)
    if piece.header.get("format") == "two parts":
        parts = [("P1", "Piano, right hand", ["R"]), ("P2", "Piano, left hand", ["L"])]
    else:
        parts = [("P1", "Piano", ["R", "L"])]
    part_list = child(root, "part-list")
    if len(parts) > 1:
        group = child(part_list, "part-group", number="1", type="start")
        child(group, "group-symbol", "brace")
    for part_id, name, _ in parts:
        child(child(part_list, "score-part", id=part_id), "part-name", name)
    if len(parts) > 1:
        child(part_list, "part-group", number="1", type="stop")
    for part_id, _, hands in parts:
        part = child(root, "part", id=part_id)
        writer = PartWriter(part_id, hands, divisions)
        part.extend(writer.measure(bar) for bar in piece.bars)
    return root


def timewise(partwise):
    """The same score with the measures outside and the parts inside."""
    root = ET.Element("score-timewise", partwise.attrib)
    parts = partwise.findall("part")
    root.extend(element for element in partwise if element.tag != "part")
    for measures in zip(*(part.findall("measure") for part in parts)):
        measure = child(root, "measure")
        measure.attrib.update(measures[0].attrib)
        for part, inner in zip(parts, measures):
            child(measure, "part", id=part.get("id")).extend(inner)
    return root


def serialize(root, encoding):
    kind = root.tag.removeprefix("score-")
    ET.indent(root, " ")
    text = (
        f'<?xml version="1.0" encoding="{encoding}" standalone="no"?>\n'
        + DOCTYPE.format(kind=kind, Kind=kind.capitalize())
        + "\n"
        + ET.tostring(root, encoding="unicode")
        + "\n"
    )
    # UTF-16 with a byte order mark in a stated byte order, so that the bytes do not depend on the machine.
    return b"\xff\xfe" + text.encode("utf-16-le") if encoding == "UTF-16" else text.encode("utf-8")


def pack(name, data):
    """A compressed score: a zip with the container file that points at its root."""
    container = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<container>\n <rootfiles>\n'
        f'  <rootfile full-path="{name}.musicxml" media-type="application/vnd.recordare.musicxml+xml"/>\n'
        " </rootfiles>\n</container>\n"
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        members = (
            ("mimetype", b"application/vnd.recordare.musicxml", zipfile.ZIP_STORED),
            ("META-INF/container.xml", container.encode(), zipfile.ZIP_DEFLATED),
            (f"{name}.musicxml", data, zipfile.ZIP_DEFLATED),
        )
        for member, content, method in members:
            info = zipfile.ZipInfo(member, date_time=(1980, 1, 1, 0, 0, 0))
            info.compress_type = method
            info.external_attr = 0o644 << 16
            archive.writestr(info, content)
    return packed.getvalue()


def unpack(data):
    """What is in a zip, by name; of other files the bytes themselves."""
    if not data.startswith(b"PK"):
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def render(source):
    """File name, bytes and catalogue row of one source file."""
    piece = notation.read_piece(source.read_text(encoding="utf-8"))
    form = piece.header.get("format", "")
    if form not in ENDINGS:
        raise notation.SourceError(f"no format `{form}`")
    root = engrave(piece)
    if form == "timewise":
        root = timewise(root)
    data = serialize(root, "UTF-16" if form == "utf-16" else "UTF-8")
    if form == "mxl":
        data = pack(source.stem, data)
    name = source.stem + ENDINGS[form]
    header = piece.header
    row = [name, header["title"], header["composer"], header["shows"], header["level"], header.get("claims", "")]
    return name, data, row


def main(arguments):
    check = arguments == ["--check"]
    if arguments and not check:
        print(__doc__, file=sys.stderr)
        return 2
    here = Path(__file__).resolve().parent
    outputs, rows, failed = {}, [["file", "title", "composer", "shows", "level", "claims"]], False
    for source in sorted(here.glob("*.txt")):
        try:
            name, data, row = render(source)
        except notation.SourceError as fault:
            print(f"{source.name}: {fault}", file=sys.stderr)
            failed = True
            continue
        outputs[name] = data
        rows.append(row)
    table = io.StringIO()
    csv.writer(table, lineterminator="\n").writerows(rows)
    outputs["catalogue.csv"] = table.getvalue().encode()
    for name, data in outputs.items():
        path = here.parent / name
        committed = path.read_bytes() if path.exists() else b""
        if unpack(committed) == unpack(data):
            continue
        if check:
            print(f"{name}: differs from its source; run engrave.py", file=sys.stderr)
            failed = True
        else:
            path.write_bytes(data)
    extra = {path.name for path in here.parent.iterdir() if path.suffix in set(ENDINGS.values())} - set(outputs)
    for name in sorted(extra):
        print(f"{name}: no source engraves to this file", file=sys.stderr)
        failed = True
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Read the studio's text notation into plain data.

In: the text of one `*.txt` file. Out: a `Piece` of `Bar`s whose voices hold `Event`s with exact positions. Whatever a
musician would call wrong (a bar that does not add up, a tie to nowhere, hands of different length) is a `SourceError`
that names the bar and the voice. The notation is explained in `corpus/README.md`.
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction

VOICES = ("R", "R2", "L", "L2")
STEPS = "CDEFGAB"
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
MAJOR_FIFTHS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
BEAT_UNITS = {"half": 2, "quarter": 1, "eighth": Fraction(1, 2)}
DYNAMICS = {"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "sf", "sfz", "fp", "fz"}
BARLINES = {"|", "|:", ":|", ":|:", "||"}
# Each is written `:name` behind a note or chord.
ORNAMENTS = {"tr", "mordent", "prall", "turn"}
MARKS = ORNAMENTS | {"fermata", "arp"}


class SourceError(Exception):
    """A fault in a source file, worded for the person who wrote it."""


@dataclass(frozen=True)
class Key:
    """A key signature with its mode."""

    name: str
    fifths: int
    mode: str

    def alter(self, step):
        """Semitones that the signature adds to a letter."""
        sharps = "FCGDAEB"
        if self.fifths > 0 and step in sharps[: self.fifths]:
            return 1
        if self.fifths < 0 and step in sharps[self.fifths :]:
            return -1
        return 0


@dataclass(frozen=True)
class Tempo:
    """A tempo mark: words, a metronome mark, a playback tempo; any of them may be missing."""

    words: str
    beat_unit: str
    dotted: bool
    per_minute: str
    quarter_bpm: str


@dataclass
class Head:
    """One note head."""

    step: str
    alter: int
    octave: int
    fingers: list
    tie_start: bool = False
    tie_stop: bool = False
    accidental: str = ""
    cautionary: bool = False

    @property
    def name(self):
        """Spelled pitch, the key by which ties find their partner."""
        return (self.step, self.alter, self.octave)

    @property
    def midi(self):
        """Sounding key number; 60 is middle C."""
        return 12 * (self.octave + 1) + SEMITONES[self.step] + self.alter


@dataclass
class Event:
    """A note, chord, rest or spacer of one voice, with everything that hangs on it."""

    kind: str  # "notes", "rest", "measure rest", "space"
    onset: Fraction
    duration: Fraction
    base: int = 0  # 4 is a quarter
    dots: int = 0
    heads: list = field(default_factory=list)
    grace: bool = False
    marks: list = field(default_factory=list)
    articulations: list = field(default_factory=list)
    slurs: list = field(default_factory=list)  # ("start" | "stop", number)
    tuplet: tuple = ()  # (actual, normal)
    tuplet_edges: list = field(default_factory=list)
    staff: str = ""
    directions: list = field(default_factory=list)  # (kind, text), printed before the event
    clef: str = ""
    beams: list = field(default_factory=list)


@dataclass
class Bar:
    """One measure."""

    number: int
    length: Fraction
    voices: dict
    source_line: int
    pickup: bool = False
    key: Key = None  # given where it changes
    time: tuple = None
    tempo: Tempo = None
    left_barline: str = ""
    right_barline: str = ""
    ending_start: str = ""
    ending_stop: str = ""
    trailing: dict = field(default_factory=dict)  # voice -> directions after its last event


@dataclass
class Piece:
    """A whole source file."""

    header: dict
    bars: list


def parse_key(text):
    """`E-flat major` and the like."""
    match = re.fullmatch(r"([A-G])(-flat|-sharp)? (major|minor)", text)
    if not match:
        raise SourceError(f"key `{text}` is not of the form `E-flat major`")
    letter, accidental, mode = match.groups()
    fifths = MAJOR_FIFTHS[letter] + {None: 0, "-flat": -7, "-sharp": 7}[accidental] - (3 if mode == "minor" else 0)
    if abs(fifths) > 7:
        raise SourceError(f"key `{text}` has no signature")
    return Key(text, fifths, mode)


def parse_time(text):
    """`6/8` as (6, 8)."""
    match = re.fullmatch(r"(\d+)/(2|4|8|16)", text)
    if not match:
        raise SourceError(f"time `{text}` is not of the form `6/8`")
    return int(match[1]), int(match[2])


def parse_tempo(text):
    """`Allegro (dotted quarter = 66)`, either half alone, or `sound 88` for a tempo nobody prints."""
    if match := re.fullmatch(r"sound (\d+)", text):
        return Tempo("", "", False, "", match[1])
    match = re.fullmatch(r"([^()]*?)\s*(?:\((dotted )?(half|quarter|eighth) = (\d+)\))?", text)
    if not match:
        raise SourceError(f"tempo `{text}` is not of the form `Allegro (quarter = 120)`")
    words, dotted, unit, per_minute = match.groups()
    if not unit:
        return Tempo(words, "", False, "", "")
    quarters = int(per_minute) * BEAT_UNITS[unit] * (Fraction(3, 2) if dotted else 1)
    return Tempo(words, unit, bool(dotted), per_minute, f"{float(quarters):g}")


HEAD = re.compile(r"([a-g])(##|bb|#|b)?(\d)?(?:=(\d(?:-\d)?))?(~)?")
TOKEN = re.compile(
    r"""\s*(?:
      (?P<barline>:\|:|\|:|:\||\|\||\|)
    | (?P<tuplet>\d+)\{ | (?P<close>\})
    | (?P<duration>\d+)(?P<dots>\.*)(?=\s|$)
    | "(?P<words>[^"]*)"
    | @(?P<directive>\S+)
    | (?P<rest>[rRs])(?P<restmarks>(?::[a-z]+)*)(?=\s|$)
    | (?P<grace>/)?(?P<notes>\[[^\]]*\]|[a-g](?:\#\#|bb|\#|b)?\d?(?:=\d(?:-\d)?)?)
      (?P<suffix>(?:[~()'^_]|:[a-z]+)*)(?=\s|$)
    )""",
    re.VERBOSE,
)
ALTERS = {None: 0, "#": 1, "b": -1, "##": 2, "bb": -2}


class VoiceReader:
    """Turns the tokens of one voice into events; keeps what lasts past a barline (ties, slurs)."""

    def __init__(self, voice):
        self.voice = voice
        self.open_ties = set()
        self.open_slurs = []
        self.forget_value()
        # Slurs that sound together need different numbers within a part.
        self.slur_numbers = {"R": (1, 2), "R2": (3,), "L": (4, 5), "L2": (6,)}[voice]

    def fault(self, bar_number, text):
        """A `SourceError` that names the place."""
        return SourceError(f"bar {bar_number}, {self.voice}: {text}")

    def forget_value(self):
        """Each line of the source states its first note value anew."""
        self.base, self.dots = None, 0

    def read_bar(self, bar, tokens):
        """Events of one bar; checks that they fill it."""
        self.bar, self.position, self.previous = bar, Fraction(0), None
        self.tuplet, self.tuplet_first = (), False
        self.staff = self.voice[0]
        self.pending, self.clef, self.events = [], "", []
        for token in tokens:
            self.read_token(token)
        if self.tuplet:
            raise self.fault(bar.number, "a tuplet is not closed")
        if self.position != bar.length:
            raise self.fault(bar.number, f"lasts {self.position} of a whole note, expected {bar.length}")
        if self.pending:
            bar.trailing[self.voice] = self.pending
        return self.events

    def read_token(self, token):
        if token["duration"]:
            self.base, self.dots = int(token["duration"]), len(token["dots"])
            if self.base not in (1, 2, 4, 8, 16, 32, 64):
                raise self.fault(self.bar.number, f"no note value `{self.base}`")
        elif token["tuplet"]:
            actual = int(token["tuplet"])
            normal = 1
            while normal * 2 < actual:
                normal *= 2
            self.tuplet, self.tuplet_first = (actual, normal), True
        elif token["close"]:
            if not self.tuplet:
                raise self.fault(self.bar.number, "`}` without a tuplet")
            self.events[-1].tuplet_edges.append("stop")
            self.tuplet = ()
        elif token["words"] is not None:
            self.pending.append(("words", token["words"]))
        elif token["directive"]:
            self.read_directive(token["directive"])
        elif token["rest"]:
            self.add(self.rest(token["rest"], token["restmarks"]))
        else:
            self.add(self.notes(token))

    def read_directive(self, name):
        if name in ("up", "down"):
            self.staff = "R" if name == "up" else "L"
        elif name in ("treble", "bass"):
            self.clef = name
        elif name in ("1.", "2."):
            self.bar.ending_start = name[0]
        elif name == "end":
            self.bar.ending_stop = "discontinue"
        elif name in DYNAMICS:
            self.pending.append(("dynamics", name))
        elif name in ("<", ">", "!"):
            self.pending.append(("wedge", {"<": "crescendo", ">": "diminuendo", "!": "stop"}[name]))
        elif name in ("ped", "*"):
            self.pending.append(("pedal", "start" if name == "ped" else "stop"))
        elif name in ("8va", "8vb", "loco"):
            self.pending.append(("octave-shift", name))
        else:
            raise self.fault(self.bar.number, f"no directive `@{name}`")

    def duration(self):
        if self.base is None:
            raise self.fault(self.bar.number, "the first note value of the line is missing")
        value = Fraction(1, self.base) * (2 - Fraction(1, 2**self.dots))
        return value * Fraction(self.tuplet[1], self.tuplet[0]) if self.tuplet else value

    def rest(self, letter, marks):
        if letter == "R":
            return Event("measure rest", self.position, self.bar.length, marks=self.read_marks(marks))
        kind = "rest" if letter == "r" else "space"
        return Event(kind, self.position, self.duration(), self.base, self.dots, marks=self.read_marks(marks))

    def read_marks(self, text):
        names = text.split(":")[1:]
        for name in names:
            if name not in MARKS:
                raise self.fault(self.bar.number, f"no mark `:{name}`")
        return names

    def notes(self, token):
        if token["grace"]:
            event = Event("notes", self.position, Fraction(0), base=8, grace=True)
        else:
            event = Event("notes", self.position, self.duration(), self.base, self.dots)
        written = token["notes"]
        for text in written[1:-1].split() if written.startswith("[") else [written]:
            event.heads.append(self.head(text, len(event.heads) == 0))
        suffix = token["suffix"]
        event.marks = self.read_marks(":" + suffix.split(":", 1)[1] if ":" in suffix else "")
        for sign in suffix.split(":")[0]:
            if sign == "~":
                for head in event.heads:
                    head.tie_start = True
            elif sign == "(":
                free = [number for number in self.slur_numbers if number not in self.open_slurs]
                if not free:
                    raise self.fault(self.bar.number, "too many slurs at once")
                self.open_slurs.append(free[0])
                event.slurs.append(("start", free[0]))
            elif sign == ")":
                if not self.open_slurs:
                    raise self.fault(self.bar.number, "a slur ends that never began")
                event.slurs.append(("stop", self.open_slurs.pop()))
            else:
                event.articulations.append({"'": "staccato", "^": "accent", "_": "tenuto"}[sign])
        self.tie(event)
        return event

    def head(self, text, first_of_chord):
        match = HEAD.fullmatch(text)
        if not match:
            raise self.fault(self.bar.number, f"cannot read the note `{text}`")
        letter, accidental, octave, fingers, tie = match.groups()
        step = letter.upper()
        if octave is None:
            if self.previous is None:
                raise self.fault(self.bar.number, f"the first note `{text}` needs its octave")
            octave = self.nearest_octave(step, upwards=not first_of_chord)
        head = Head(step, ALTERS[accidental], int(octave), fingers.split("-") if fingers else [], bool(tie))
        self.previous = head
        return head

    def nearest_octave(self, step, upwards):
        """Within a chord the next note above; else the nearest by letter (a fourth at most)."""
        before = 7 * self.previous.octave + STEPS.index(self.previous.step)
        distance = (STEPS.index(step) - before) % 7
        if not upwards and distance > 3:
            distance -= 7
        return (before + distance) // 7

    def tie(self, event):
        names = {head.name for head in event.heads}
        if event.grace:
            return
        for head in event.heads:
            head.tie_stop = head.name in self.open_ties
        if self.open_ties - names:
            raise self.fault(self.bar.number, "a tie does not reach the same note")
        self.open_ties = {head.name for head in event.heads if head.tie_start}

    def add(self, event):
        event.staff, event.directions, event.clef = self.staff, self.pending, self.clef
        self.pending, self.clef = [], ""
        if self.tuplet and not event.grace:
            event.tuplet = self.tuplet
            if self.tuplet_first:
                event.tuplet_edges.append("start")
                self.tuplet_first = False
        # In a chord the next single note is measured from its lowest (first) note, as the eye does.
        if event.kind == "notes":
            self.previous = event.heads[0]
        if event.kind != "notes" and self.open_ties:
            raise self.fault(self.bar.number, "a tie leads into a rest")
        self.position += event.duration
        self.events.append(event)


def tokenize(line_number, text):
    """Split a voice line into bars: lists of tokens, with the barlines between them."""
    bars, barlines, current, at = [], [], [], 0
    text = text.rstrip()
    while at < len(text):
        match = TOKEN.match(text, at)
        if not match:
            raise SourceError(f"line {line_number}: cannot read `{text[at:].strip().split()[0]}`")
        at = match.end()
        if match["barline"]:
            bars.append(current)
            barlines.append(match["barline"])
            current = []
        else:
            current.append(match)
    bars.append(current)
    barlines.append("|")
    # A line may begin and end with a barline; the empty bars outside them are no bars.
    opening = barlines[0] if not bars[0] else ""
    if opening:
        bars, barlines = bars[1:], barlines[1:]
    if len(bars) > 1 and not bars[-1]:
        bars, barlines = bars[:-1], barlines[:-1]
    return bars, barlines, opening


def read_piece(text):
    """The whole file."""
    lines = text.splitlines()
    if "---" not in lines:
        raise SourceError("the header must end with a line `---`")
    body_start = lines.index("---") + 1
    header = {}
    for line in lines[: body_start - 1]:
        if not line.strip() or line.startswith("//"):
            continue
        name, colon, value = line.partition(":")
        if not colon:
            raise SourceError(f"header line `{line}` has no colon")
        header[name.strip()] = value.strip()
    for required in ("title", "composer", "key", "time", "level", "shows"):
        if required not in header:
            raise SourceError(f"the header has no `{required}`")
    return Piece(header, BodyReader(header).read(lines[body_start:], body_start + 1))


class BodyReader:
    """Collects blocks of voice lines into bars."""

    def __init__(self, header):
        self.time = parse_time(header["time"])
        self.pickup = Fraction(header["pickup"]) if "pickup" in header else None
        self.changes = {"key": parse_key(header["key"]), "time": self.time}
        if "tempo" in header:
            self.changes["tempo"] = parse_tempo(header["tempo"])
        self.readers = {voice: VoiceReader(voice) for voice in VOICES}
        self.bars = []
        self.next_number = 0 if self.pickup else 1
        self.open_ending = False

    def read(self, lines, first_line):
        block = {}
        for line_number, line in enumerate([*lines, ""], first_line):
            name, _, rest = line.partition(":")
            if name.strip() in VOICES:
                if name.strip() in block:
                    raise SourceError(f"line {line_number}: voice {name.strip()} twice in one block")
                block[name.strip()] = (line_number, rest)
                continue
            if line.startswith("//"):
                continue
            self.close_block(block)
            block = {}
            if not line.strip():
                continue
            value = rest.strip()
            if name == "bar":
                if int(value) != self.next_number:
                    raise SourceError(f"line {line_number}: bar {value} here is bar {self.next_number}")
            elif name == "key":
                self.changes["key"] = parse_key(value)
            elif name == "time":
                self.time = self.changes["time"] = parse_time(value)
            elif name == "tempo":
                self.changes["tempo"] = parse_tempo(value)
            else:
                raise SourceError(f"line {line_number}: cannot read `{line}`")
        self.finish()
        return self.bars

    def close_block(self, block):
        if not block:
            return
        if "R" not in block or "L" not in block:
            raise SourceError(f"bar {self.next_number}: a block needs both R and L")
        split = {voice: tokenize(*source) for voice, source in block.items()}
        count = len(split["R"][0])
        for voice, (bars, _, _) in split.items():
            if len(bars) != count:
                raise SourceError(f"bar {self.next_number}: R has {count} bars in this block, {voice} has {len(bars)}")
        _, barlines, opening = split["R"]
        for voice in split:
            self.readers[voice].forget_value()
        for index in range(count):
            before = opening if index == 0 else barlines[index - 1]
            tokens = {voice: split[voice][0][index] for voice in VOICES if voice in split}
            self.add_bar(tokens, before, barlines[index], block["R"][0])

    def add_bar(self, tokens, before, after, line_number):
        pickup = self.next_number == 0
        length = self.pickup if pickup else Fraction(*self.time)
        bar = Bar(self.next_number, length, {}, line_number, pickup)
        bar.key, bar.time, bar.tempo = (self.changes.pop(name, None) for name in ("key", "time", "tempo"))
        bar.left_barline = "repeat" if before in ("|:", ":|:") else ""
        bar.right_barline = {":|": "repeat", ":|:": "repeat", "||": "double"}.get(after, "")
        for voice, bar_tokens in tokens.items():
            reader = self.readers[voice]
            if bar_tokens or voice in ("R", "L"):
                bar.voices[voice] = reader.read_bar(bar, bar_tokens)
            elif reader.open_ties:
                raise reader.fault(bar.number, "a tie leads into an empty bar")
        self.open_ending |= bool(bar.ending_start)
        if self.open_ending and bar.right_barline == "repeat":
            bar.ending_stop = "stop"
        if bar.ending_stop:
            self.open_ending = False
        self.bars.append(bar)
        self.next_number += 1

    def finish(self):
        if not self.bars:
            raise SourceError("there are no bars")
        for reader in self.readers.values():
            if reader.open_ties or reader.open_slurs:
                raise reader.fault(self.bars[-1].number, "a tie or slur is still open at the end")
        last = self.bars[-1]
        last.right_barline = last.right_barline or "final"
        if self.open_ending:
            last.ending_stop = last.ending_stop or "discontinue"

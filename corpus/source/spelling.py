"""Work out what the engraver adds to the notes: beams and printed accidentals.

In: the bars of a piece. Out: the same bars with `Event.beams`, `Head.accidental` and `Head.cautionary` filled in. The
rules are common engraving practice: beams show the beat, an accidental lasts to the barline in its own octave.
"""

from fractions import Fraction

ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
FLAGS = {8: 1, 16: 2, 32: 3, 64: 4}
# How bars of unequal beats are counted in this corpus, in eighths.
UNEQUAL_BEATS = {(5, 8): (3, 2), (7, 8): (2, 2, 3)}


def beats(time):
    """Lengths of the beats of a bar: dotted in compound time (6/8, 9/8, and 3/8 in one), else the lower number."""
    if time in UNEQUAL_BEATS:
        return [Fraction(eighths, 8) for eighths in UNEQUAL_BEATS[time]]
    upper, lower = time
    beat = Fraction(1, max(lower, 4))
    if lower >= 8 and upper % 3 == 0:
        beat *= 3
    return [beat] * int(Fraction(upper, lower) / beat)


def beam_windows(bar, time):
    """Spans of the bar within which notes may share a beam, as (start, end, for plain eighths only)."""
    full = Fraction(*time)
    # A pickup is the end of a bar, so its beats are counted from the barline that follows.
    start = full - bar.length if bar.pickup else Fraction(0)
    wide = []
    if time in ((4, 4), (2, 2)):
        wide = [(Fraction(0), Fraction(1, 2)), (Fraction(1, 2), Fraction(1))]
    elif time in ((2, 4), (3, 4)):
        wide = [(Fraction(0), full)]
    windows = [(begin - start, end - start, True) for begin, end in wide]
    position = Fraction(0)
    for beat in beats(time):
        windows.append((position - start, position + beat - start, False))
        position += beat
    return windows


def beamable(event):
    return event.kind == "notes" and not event.grace and event.base in FLAGS


def set_beams(bar, time):
    """Fill `beams` of every event in the bar."""
    windows = beam_windows(bar, time)
    for events in bar.voices.values():
        taken = set()
        for begin, end, eighths_only in windows:
            inside = [
                index
                for index, event in enumerate(events)
                if not event.grace and event.duration > 0 and begin <= event.onset < end
            ]
            if eighths_only:
                whole = all(
                    beamable(events[index]) and events[index].duration == Fraction(1, 8) for index in inside
                )
                if not whole or sum(events[index].duration for index in inside) != end - begin:
                    continue
            run = []
            for index in [*inside, None]:
                usable = index is not None and index not in taken and beamable(events[index])
                if usable:
                    run.append(index)
                    continue
                beam_run([events[member] for member in run])
                taken.update(run)
                run = []
        beam_graces(events)


def beam_graces(events):
    """Several grace notes in a row are small sixteenths under beams of their own."""
    run = []
    for event in [*events, None]:
        if event is not None and event.grace:
            run.append(event)
            continue
        if len(run) > 1:
            for grace in run:
                grace.base = 16
            beam_run(run)
        run = []


def beam_run(run):
    if len(run) < 2:
        return
    flags = [FLAGS[event.base] for event in run]
    for index, event in enumerate(run):
        event.beams = [beam_state(flags, index, level) for level in range(1, flags[index] + 1)]


def beam_state(flags, index, level):
    before = index > 0 and flags[index - 1] >= level
    after = index + 1 < len(flags) and flags[index + 1] >= level
    if before and after:
        return "continue"
    if after:
        return "begin"
    if before:
        return "end"
    return "backward hook" if index > 0 else "forward hook"


def set_accidentals(bars):
    """Fill `accidental` of every head, with a cautionary one where the bar before was altered."""
    key = None
    previous = {}
    for bar in bars:
        if bar.key:
            key, previous = bar.key, {}
        heads = sorted(
            (
                (event.onset, not event.grace, voice_order, index, event.staff, head)
                for voice_order, events in enumerate(bar.voices.values())
                for index, event in enumerate(events)
                for head in event.heads
            ),
            key=lambda entry: entry[:4],
        )
        state = {}
        for *_, staff, head in heads:
            place = (staff, head.step, head.octave)
            current = state.get(place, key.alter(head.step))
            if head.tie_stop and place not in state:
                # The accidental of a tied note is not printed again and does not last in the new bar.
                continue
            if head.alter != current:
                head.accidental = ACCIDENTALS[head.alter]
            elif place not in state and previous.get(place, current) != current:
                head.accidental, head.cautionary = ACCIDENTALS[head.alter], True
            state[place] = head.alter
        previous = state


def finish(bars):
    """All of the above."""
    time = None
    for bar in bars:
        time = bar.time or time
        set_beams(bar, time)
    set_accidentals(bars)

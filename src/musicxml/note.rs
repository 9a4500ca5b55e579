//! `<note>`, `<backup>`, `<forward>`: the music itself.

use super::decimal::whole;
use super::draft::{At, Draft, Head};
use super::notations::{self, Signs};
use super::part::{PartReader, Transposition};
use super::xml::Element;
use crate::error::Error;
use crate::score::{Note, NoteMarks};
use crate::units::{Midi, Pitch, Quarters, Step};

/// What a `<note>` says, before it is placed.
struct Parsed<'t> {
    sound: Sound,
    duration: Option<&'t str>,
    voice: u16,
    staff: u8,
    kind: Option<&'t str>,
    dots: u32,
    tuplet: (u16, u16),
    flags: Flags,
}

/// What sounds, if anything.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sound {
    /// Written step, semitones of alteration, octave.
    Pitch(Step, i64, i64),
    BadPitch,
    Unpitched,
    Rest,
    Nothing,
}

bitflags::bitflags! {
    #[derive(Clone, Copy, PartialEq, Eq)]
    struct Flags: u8 {
        const GRACE = 1;
        const CHORD = 1 << 1;
        const CUE = 1 << 2;
        const TIE_START = 1 << 3;
        const TIE_STOP = 1 << 4;
        const ACCIDENTAL = 1 << 5;
        const LYRICS = 1 << 6;
    }
}

impl Parsed<'_> {
    fn has(&self, flag: Flags) -> bool {
        self.flags.contains(flag)
    }
}

pub(super) fn read_note(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) -> Result<(), Error> {
    let this = draft.elements;
    draft.elements = this.saturating_add(1);
    let parsed = parse(element);
    let (counted, length) = lengths(part, &parsed, draft);

    let offset = if parsed.has(Flags::CHORD) { part.clock.chord_onset() } else { part.clock.now() };
    if parsed.has(Flags::GRACE) {
        if !parsed.has(Flags::CHORD) {
            part.clock.grace();
            part.graces = part.graces.saturating_add(1);
        }
    } else if !parsed.has(Flags::CHORD) {
        part.clock.play(counted, length);
        part.graces = 0;
    }
    let at = At { measure: part.measure, offset: offset.max(Quarters::ZERO) };
    let end = at.offset + length;
    let Sound::Pitch(step, alter, octave) = parsed.sound else {
        part.rests_end = part.rests_end.max(end);
        remark_silence(part, parsed.sound, draft);
        return Ok(());
    };
    if offset < Quarters::ZERO {
        draft.remark(
            part.part,
            part.measure,
            "a note before the start of its measure, by a backup that goes too far",
            "moved to the barline",
        );
    }
    if !parsed.has(Flags::GRACE) {
        part.notes_end = part.notes_end.max(end);
    }
    let Some((pitch, written)) = sounding(part, parsed.staff, (step, alter, octave)) else {
        draft.remark(part.part, part.measure, "a pitch beyond the keyboard", "the note was left out");
        return Ok(());
    };
    let Some(midi) = pitch.midi() else { return Ok(()) };

    if draft.heads.len() as u64 >= draft.limits.notes {
        return Err(Error::over_limit("number of notes", draft.limits.notes, "--limit notes=N"));
    }
    if part.voices.insert(parsed.voice) && part.voices.len() as u64 > draft.limits.voices {
        return Err(Error::over_limit("number of voices of a part", draft.limits.voices, "--limit voices=N"));
    }
    let mut signs = Signs::default();
    for notations in element.children().filter(|child| child.name() == "notations") {
        notations::read_notations(part, notations, at, parsed.voice, parsed.staff, &mut signs, draft);
    }
    signs.marks.set(NoteMarks::ACCIDENTAL, parsed.has(Flags::ACCIDENTAL));
    if let Some(part) = draft.score.parts.get_mut(usize::from(part.part)) {
        part.staves = part.staves.max(parsed.staff);
        part.lyrics |= parsed.has(Flags::LYRICS);
    }
    draft.heads.push(Head {
        note: Note {
            part: part.part,
            staff: parsed.staff,
            voice: parsed.voice,
            element: this,
            measure: part.measure,
            onset: at.offset,
            duration: length,
            grace: if parsed.has(Flags::GRACE) { part.graces.max(1) } else { 0 },
            pitch,
            midi,
            staff_position: written,
            cue: parsed.has(Flags::CUE),
            tuplet: parsed.tuplet,
            marks: signs.marks,
            written: signs.fingers,
        },
        tie_start: parsed.has(Flags::TIE_START) || signs.tie_start,
        tie_stop: parsed.has(Flags::TIE_STOP) || signs.tie_stop,
    });
    Ok(())
}

pub(super) fn read_backup(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let by = part.duration(element.child_text("duration"), draft);
    part.clock.jump(-by, part.tick());
    part.graces = 0;
}

pub(super) fn read_forward(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let by = part.duration(element.child_text("duration"), draft);
    part.clock.jump(by, part.tick());
    part.graces = 0;
    part.rests_end = part.rests_end.max(part.clock.now());
}

fn parse<'t>(element: Element<'t, '_>) -> Parsed<'t> {
    let mut parsed = Parsed {
        sound: Sound::Nothing,
        duration: None,
        voice: 1,
        staff: 1,
        kind: None,
        dots: 0,
        tuplet: (1, 1),
        flags: Flags::empty(),
    };
    for child in element.children() {
        match child.name() {
            "grace" => parsed.flags |= Flags::GRACE,
            "chord" => parsed.flags |= Flags::CHORD,
            "cue" => parsed.flags |= Flags::CUE,
            "pitch" => parsed.sound = parse_pitch(child).unwrap_or(Sound::BadPitch),
            "unpitched" => parsed.sound = Sound::Unpitched,
            "rest" => parsed.sound = Sound::Rest,
            "duration" => parsed.duration = Some(child.text()),
            "tie" => {
                parsed.flags.set(Flags::TIE_START, parsed.has(Flags::TIE_START) || child.has("type", "start"));
                parsed.flags.set(Flags::TIE_STOP, parsed.has(Flags::TIE_STOP) || child.has("type", "stop"));
            }
            "voice" => parsed.voice = child.text().parse().unwrap_or(0),
            "staff" => parsed.staff = child.text().parse().unwrap_or(1).max(1),
            "type" => {
                parsed.kind = Some(child.text());
                if child.attribute("size").is_some_and(|size| size.contains("cue")) {
                    parsed.flags |= Flags::CUE;
                }
            }
            "dot" => parsed.dots += 1,
            "time-modification" => parsed.tuplet = parse_tuplet(child),
            "accidental" => parsed.flags |= Flags::ACCIDENTAL,
            "lyric" => parsed.flags |= Flags::LYRICS,
            _ => {}
        }
    }
    parsed
}

fn parse_pitch(element: Element<'_, '_>) -> Option<Sound> {
    let mut step = None;
    let mut alter = Some(0);
    let mut octave = None;
    for child in element.children() {
        match child.name() {
            "step" => step = child.text().chars().next().map(|c| c.to_ascii_uppercase()).and_then(Step::from_letter),
            "alter" => alter = if child.text().is_empty() { Some(0) } else { whole(child.text()) },
            "octave" => octave = whole(child.text()),
            _ => {}
        }
    }
    Some(Sound::Pitch(step?, alter?, octave?))
}

fn parse_tuplet(element: Element<'_, '_>) -> (u16, u16) {
    let number = |name| element.child_text(name).and_then(|text| text.parse().ok()).filter(|n| (1..=999).contains(n));
    match (number("actual-notes"), number("normal-notes")) {
        (Some(actual), Some(normal)) => (actual, normal),
        _ => (1, 1),
    }
}

/// The length that the file counts, and the true one: a tuplet's rounded duration is put right by its notated type.
fn lengths(part: &PartReader, parsed: &Parsed<'_>, draft: &mut Draft<'_>) -> (Quarters, Quarters) {
    if parsed.has(Flags::GRACE) {
        return (Quarters::ZERO, Quarters::ZERO);
    }
    let Some(text) = parsed.duration else {
        let length = parsed.kind.and_then(|kind| notated(kind, parsed.dots, parsed.tuplet)).unwrap_or_default();
        draft.remark(part.part, part.measure, "a note without a duration", "its notated value was taken");
        return (length, length);
    };
    let counted = part.duration(Some(text), draft);
    if parsed.has(Flags::CHORD)
        && let Some(length) = part.clock.chord_length().filter(|length| *length != counted)
        && parsed.kind.and_then(|kind| notated(kind, parsed.dots, parsed.tuplet)) == Some(length)
    {
        let found = "a chord note whose duration is not that of its type";
        draft.remark(part.part, part.measure, found, "it lasts as long as the first note of the chord");
        return (counted, length);
    }
    if parsed.tuplet == (1, 1) && !counted.is_zero() {
        return (counted, counted);
    }
    let exact = parsed.kind.and_then(|kind| notated(kind, parsed.dots, parsed.tuplet));
    match exact {
        Some(exact) if exact < counted + part.tick() && counted < exact + part.tick() => (counted, exact),
        _ => (counted, counted),
    }
}

/// The length of a note value in quarters.
fn notated(kind: &str, dots: u32, (actual, normal): (u16, u16)) -> Option<Quarters> {
    let (numer, denom) = value_of(kind)?;
    let dots = dots.min(4);
    // Each dot adds half of what came before: with n dots (2^(n+1) - 1) / 2^n.
    let numer = numer * ((1 << (dots + 1)) - 1) * i64::from(normal);
    let denom = denom * (1 << dots) * i64::from(actual);
    Quarters::new(numer, denom)
}

/// A note value in quarters, as a fraction.
pub(super) fn value_of(kind: &str) -> Option<(i64, i64)> {
    Some(match kind {
        "quarter" => (1, 1),
        "eighth" => (1, 2),
        "16th" => (1, 4),
        "half" => (2, 1),
        "32nd" => (1, 8),
        "whole" => (4, 1),
        "64th" => (1, 16),
        "128th" => (1, 32),
        "256th" => (1, 64),
        "512th" => (1, 128),
        "1024th" => (1, 256),
        "breve" => (8, 1),
        "long" => (16, 1),
        "maxima" => (32, 1),
        _ => return None,
    })
}

/// The sounding pitch, and the staff position as written; `None` beyond the range of MIDI.
fn sounding(part: &PartReader, staff: u8, (step, alter, octave): (Step, i64, i64)) -> Option<(Pitch, i16)> {
    if !(-1..=10).contains(&octave) || !(-24..=24).contains(&alter) {
        return None;
    }
    let pitch = Pitch { octave: octave as i8, step, alter: alter as i8 };
    let written = pitch.staff_position() as i16;
    // One for this staff goes before one for all staves.
    let of = |wanted: u8| part.transpositions.iter().find(move |(of, _)| *of == wanted);
    let transposition = of(staff).or_else(|| of(0));
    let pitch = match transposition {
        Some((_, transposition)) => transpose(pitch, *transposition)?,
        None => pitch,
    };
    pitch.midi().map(|_: Midi| (pitch, written))
}

fn transpose(pitch: Pitch, by: Transposition) -> Option<Pitch> {
    let sounds = |p: Pitch| (i32::from(p.octave) + 1) * 12 + p.step.semitones() + i32::from(p.alter);
    let target = sounds(pitch) + by.semitones + 12 * by.octaves;
    let position = pitch.staff_position() + by.steps + 7 * by.octaves;
    let natural = Pitch {
        octave: i8::try_from(position.div_euclid(7)).ok()?,
        step: Step::ALL[position.rem_euclid(7) as usize],
        alter: 0,
    };
    Some(Pitch { alter: i8::try_from(target - sounds(natural)).ok()?, ..natural })
}

fn remark_silence(part: &PartReader, sound: Sound, draft: &mut Draft<'_>) {
    let (found, assumed) = match sound {
        Sound::Unpitched => ("unpitched notes", "left out; they are not played on keys"),
        Sound::BadPitch => ("a pitch that is none", "the note was read as a rest"),
        Sound::Nothing => ("a note that is neither pitch nor rest", "read as a rest"),
        Sound::Rest | Sound::Pitch(..) => return,
    };
    draft.remark(part.part, part.measure, found, assumed);
}

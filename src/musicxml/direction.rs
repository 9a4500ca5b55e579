//! `<direction>` and `<sound>`: tempo, dynamics, pedal, octave shifts, words.

use super::decimal::{Decimal, first_number, whole};
use super::draft::{At, Draft, HandWord, Shift};
use super::hand_words::asked_hand;
use super::note::value_of;
use super::part::PartReader;
use super::xml::Element;
use crate::score::{Direction, DirectionKind, TempoMark, TempoOrigin};
use crate::units::Quarters;

pub(super) fn read_direction(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let staff = element.child_text("staff").and_then(|staff| staff.parse().ok()).unwrap_or(1).max(1);
    let at = shifted(part, element);
    let mut words = String::new();
    let mut below = None;
    for child in element.children() {
        match child.name() {
            "direction-type" => {
                for kind in child.children() {
                    match kind.name() {
                        "words" => {
                            words = words + " " + kind.text();
                            below = below.or_else(|| is_below(element, kind));
                        }
                        _ => read_type(part, kind, at, staff, draft),
                    }
                }
            }
            "sound" => read_tempo(part, child, at, draft),
            _ => {}
        }
    }
    read_words(part, &words, at, staff, draft);
    if let Some(asks) = asked_hand(&words) {
        let voice = element.child_text("voice").and_then(|voice| voice.trim().parse().ok());
        draft.hand_words.push(HandWord { part: part.part, staff, voice, at, asks, below });
    }
}

pub(super) fn read_sound(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let at = shifted(part, element);
    read_tempo(part, element, at, draft);
}

/// Whether words stand below the staff: by the direction's placement, else by their own vertical position.
fn is_below(direction: Element<'_, '_>, words: Element<'_, '_>) -> Option<bool> {
    if let Some(placement) = direction.attribute("placement") {
        return Some(placement == "below");
    }
    let y = words.attribute("default-y").and_then(|y| y.trim().parse::<f64>().ok());
    y.map(|y| y < 0.0)
}

/// Where a direction takes effect: its `<offset>` counts ticks from the place where it stands.
fn shifted(part: &PartReader, element: Element<'_, '_>) -> At {
    let mut at = part.at();
    if let Some(by) = element.child_text("offset").and_then(Decimal::parse).and_then(|by| by.quarters(part.divisions)) {
        at.offset = (at.offset + by).max(Quarters::ZERO);
    }
    at
}

fn read_type(part: &mut PartReader, kind: Element<'_, '_>, at: At, staff: u8, draft: &mut Draft<'_>) {
    let said = match kind.name() {
        "dynamics" => {
            for dynamic in kind.children() {
                let text = draft.text(if dynamic.text().is_empty() { dynamic.name() } else { dynamic.text() });
                push(part, at, staff, DirectionKind::Dynamic(text), draft);
            }
            return;
        }
        "wedge" => match kind.attribute("type").as_deref() {
            Some("crescendo") => DirectionKind::Hairpin(true),
            Some("diminuendo") => DirectionKind::Hairpin(false),
            _ => return,
        },
        "pedal" => match kind.attribute("type").as_deref() {
            Some("start" | "resume") => DirectionKind::Pedal(true),
            Some("stop" | "discontinue") => DirectionKind::Pedal(false),
            // The pedal goes up and down again.
            Some("change") => {
                push(part, at, staff, DirectionKind::Pedal(false), draft);
                DirectionKind::Pedal(true)
            }
            _ => return,
        },
        "octave-shift" => {
            let octaves = octave_shift(kind);
            draft.shifts.push(Shift { part: part.part, staff, at, octaves });
            DirectionKind::OctaveShift(octaves)
        }
        "metronome" => return read_metronome(part, kind, at, draft),
        _ => return,
    };
    push(part, at, staff, said, draft);
}

/// All words of one direction are one text, however many typefaces they are cut into.
fn read_words(part: &mut PartReader, words: &str, at: At, staff: u8, draft: &mut Draft<'_>) {
    let text = draft.text(words);
    if text.is_empty() {
        return;
    }
    if let Some(speed) = metronome_in_words(&text).filter(|speed| SPEEDS.contains(speed)) {
        push_tempo(part, at, TempoOrigin::Metronome, Some(speed), text.clone(), draft);
    }
    if crate::terms::is_tempo(&text) {
        push_tempo(part, at, TempoOrigin::Term, None, text.clone(), draft);
    }
    push(part, at, staff, DirectionKind::Words(text), draft);
}

/// Note values as characters that typists put into words, in quarters: the musical symbols of Unicode, and those of the
/// Standard Music Font Layout 1.4, range "Metronome marks".
const NOTE_SIGNS: [(char, f64); 10] = [
    ('♩', 1.0),
    ('♪', 0.5),
    ('\u{1D15E}', 2.0),
    ('\u{1D15F}', 1.0),
    ('\u{1D160}', 0.5),
    ('\u{1D161}', 0.25),
    ('\u{ECA3}', 2.0),
    ('\u{ECA5}', 1.0),
    ('\u{ECA7}', 0.5),
    ('\u{ECA9}', 0.25),
];

/// Dots after a note sign.
const DOT_SIGNS: [char; 3] = ['.', '\u{1D16D}', '\u{ECB7}'];

/// A metronome mark that is typed as words, `Allegro (♩ = 132)`, in quarter notes a minute.
fn metronome_in_words(text: &str) -> Option<f64> {
    let (sign, number) = text.split_once('=')?;
    let sign = sign.trim_end();
    let plain = sign.trim_end_matches(|c| DOT_SIGNS.contains(&c) || c == ' ');
    let last = plain.chars().next_back()?;
    let (_, quarters) = NOTE_SIGNS.iter().find(|(note, _)| *note == last)?;
    let dotted = sign.ends_with(DOT_SIGNS);
    if !number.trim_start().starts_with(|c: char| c.is_ascii_digit() || c.is_alphabetic()) {
        return None;
    }
    first_number(number).map(|beats| beats * quarters * if dotted { 1.5 } else { 1.0 })
}

/// Octaves by which the notes sound above where they are printed. A shift `down` moves the print down from the pitch.
fn octave_shift(element: Element<'_, '_>) -> i8 {
    let size = element.attribute("size").and_then(|size| whole(&size)).unwrap_or(8);
    let octaves = ((size - 1) / 7).clamp(1, 3) as i8;
    match element.attribute("type").as_deref() {
        Some("down") => octaves,
        Some("up") => -octaves,
        _ => 0,
    }
}

/// Speeds that are believed, in quarter notes a minute. Chosen by us: what is printed runs from about 10 to 600.
const SPEEDS: std::ops::RangeInclusive<f64> = 5.0..=1000.0;

fn read_tempo(part: &mut PartReader, sound: Element<'_, '_>, at: At, draft: &mut Draft<'_>) {
    let Some(text) = sound.attribute("tempo") else { return };
    match text.trim().parse::<f64>() {
        Ok(speed) if SPEEDS.contains(&speed) => {
            push_tempo(part, at, TempoOrigin::Sound, Some(speed), String::new(), draft);
        }
        _ => absurd(part, draft),
    }
}

fn read_metronome(part: &mut PartReader, element: Element<'_, '_>, at: At, draft: &mut Draft<'_>) {
    // Each beat unit in quarters; a mark that compares two note values has two and no number.
    let mut units: Vec<(String, f64)> = Vec::new();
    let mut per_minute = None;
    for child in element.children() {
        match child.name() {
            "beat-unit" if units.len() < 2 => {
                let quarters = value_of(child.text()).map_or(1.0, |(numer, denom)| numer as f64 / denom as f64);
                units.push((draft.text(child.text()), quarters));
            }
            "beat-unit-dot" => {
                if let Some((name, quarters)) = units.last_mut().filter(|(name, _)| !name.starts_with("dotted dotted"))
                {
                    *quarters *= if name.starts_with("dotted") { 7.0 / 6.0 } else { 1.5 };
                    name.insert_str(0, "dotted ");
                }
            }
            "per-minute" => per_minute = Some(child.text()),
            _ => {}
        }
    }
    match (units.as_slice(), per_minute) {
        ([(name, quarters), ..], Some(text)) => {
            let speed = first_number(text).map(|beats| beats * quarters).filter(|speed| SPEEDS.contains(speed));
            if speed.is_none() {
                return absurd(part, draft);
            }
            let text = format!("{name} = {}", draft.text(text));
            push_tempo(part, at, TempoOrigin::Metronome, speed, text, draft);
        }
        // `old = new`: the new unit goes as fast as the old one did.
        ([(old_name, old), (new_name, new)], None) => {
            let speed = part.quarter_bpm.map(|speed| speed / old * new).filter(|speed| SPEEDS.contains(speed));
            if speed.is_some() {
                push_tempo(part, at, TempoOrigin::Metronome, speed, format!("{old_name} = {new_name}"), draft);
            }
        }
        _ => {}
    }
}

fn absurd(part: &PartReader, draft: &mut Draft<'_>) {
    draft.remark(part.part, part.measure, "a tempo that nobody can play", "passed over");
}

fn push_tempo(
    part: &mut PartReader,
    at: At,
    origin: TempoOrigin,
    quarter_bpm: Option<f64>,
    text: String,
    draft: &mut Draft<'_>,
) {
    part.quarter_bpm = quarter_bpm.or(part.quarter_bpm);
    draft.score.tempos.push(TempoMark { onset: at.offset, measure: at.measure, origin, quarter_bpm, text });
}

fn push(part: &PartReader, at: At, staff: u8, kind: DirectionKind, draft: &mut Draft<'_>) {
    draft.score.directions.push(Direction { onset: at.offset, measure: at.measure, part: part.part, staff, kind });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metronome_marks_in_words_are_read() {
        assert_eq!(metronome_in_words("Allegro (♩ = 132)"), Some(132.0));
        assert_eq!(metronome_in_words("♪=ca. 120"), Some(60.0));
        assert_eq!(metronome_in_words("\u{ECA5}\u{ECB7} = 60"), Some(90.0));
        for words in ["Allegro", "a = 3", "♩ = ♪", "=", "♩ ="] {
            assert_eq!(metronome_in_words(words), None, "{words}");
        }
    }
}

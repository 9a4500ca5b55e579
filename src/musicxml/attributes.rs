//! `<attributes>`: ticks to the quarter, key, time, clef, transposition.

use super::decimal::{Decimal, whole};
use super::draft::Draft;
use super::part::{PartReader, Transposition};
use super::xml::Element;
use crate::score::{ClefMark, KeyMark, Mode, TimeMark};
use crate::units::Quarters;

pub(super) fn read_attributes(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    for child in element.children() {
        match child.name() {
            "divisions" => read_divisions(part, child, draft),
            "key" => read_key(part, child, draft),
            "time" => read_time(part, child, draft),
            "staves" => read_staves(part, child, draft),
            "clef" => read_clef(part, child, draft),
            "transpose" => read_transpose(part, child, draft),
            _ => {}
        }
    }
}

/// Ticks to the quarter that are believed. Chosen by us: programs write up to 16,384.
const MOST_DIVISIONS: i64 = 1 << 24;

fn read_divisions(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    match Decimal::parse(element.text()) {
        Some(divisions) if divisions.numer > 0 && divisions.numer / divisions.denom < MOST_DIVISIONS => {
            part.divisions = divisions;
        }
        _ => draft.remark(
            part.part,
            part.measure,
            "divisions that are no positive number",
            "the earlier divisions stay in force; the rhythm of this part may be wrong",
        ),
    }
}

fn read_staves(part: &PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let staves = whole(element.text()).and_then(|staves| u8::try_from(staves).ok());
    if let (Some(staves), Some(part)) = (staves, draft.score.parts.get_mut(usize::from(part.part))) {
        part.staves = part.staves.max(staves);
    }
}

fn read_key(part: &PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let Some(fifths) = element.child_text("fifths") else {
        draft.remark(
            part.part,
            part.measure,
            "a key signature that is not traditional",
            "passed over; notes keep their own accidentals",
        );
        return;
    };
    let Some(fifths) = whole(fifths).filter(|fifths| (-7..=7).contains(fifths)) else {
        draft.remark(
            part.part,
            part.measure,
            "a key signature beyond seven accidentals",
            "passed over; notes keep their own accidentals",
        );
        return;
    };
    let mode = match element.child_text("mode") {
        Some("major" | "ionian") => Some(Mode::Major),
        Some("minor" | "aeolian") => Some(Mode::Minor),
        _ => None,
    };
    let at = part.at();
    let mark = KeyMark { onset: at.offset, measure: at.measure, part: part.part, fifths: fifths as i8, mode };
    draft.score.keys.push(mark);
}

fn read_time(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    if element.child("senza-misura").is_some() {
        part.nominal = None;
        let at = part.at();
        let mark = TimeMark { onset: at.offset, measure: at.measure, text: String::new(), beats: 0, beat_type: 4 };
        draft.score.times.push(mark);
        return;
    }
    let mut total = Quarters::ZERO;
    let mut texts: Vec<String> = Vec::new();
    let mut sums: Vec<(u16, u16)> = Vec::new();
    let mut beats: Option<(u16, &str)> = None;
    for child in element.children() {
        match child.name() {
            "beats" => {
                let sum =
                    child.text().split('+').filter_map(|n| n.trim().parse::<u16>().ok()).fold(0, u16::saturating_add);
                beats = Some((sum, child.text()));
            }
            "beat-type" => {
                let kind = child.text().parse::<u16>().ok().filter(|kind| (1..=1024).contains(kind));
                if let (Some((sum, text)), Some(kind)) =
                    (beats.take().filter(|(sum, _)| (1..=1024).contains(sum)), kind)
                {
                    total = total + Quarters::new(i64::from(sum) * 4, i64::from(kind)).unwrap_or_default();
                    texts.push(format!("{text}/{kind}"));
                    sums.push((sum, kind));
                }
            }
            _ => {}
        }
    }
    let Some((_, kind)) = sums.iter().copied().max_by_key(|(_, kind)| *kind) else {
        draft.remark(part.part, part.measure, "a time signature that is no fraction", "the earlier one stays in force");
        return;
    };
    part.nominal = Some(total);
    let in_kind = total.scaled(i64::from(kind), 4);
    let beats = u16::try_from(in_kind.numer() / in_kind.denom().max(1)).unwrap_or(u16::MAX);
    let text = match element.attribute("symbol").as_deref() {
        Some("common") if beats == 4 && kind == 4 => "C".to_owned(),
        Some("cut") if beats == 2 && kind == 2 => "C|".to_owned(),
        _ => draft.text(&texts.join("+")),
    };
    let at = part.at();
    draft.score.times.push(TimeMark { onset: at.offset, measure: at.measure, text, beats, beat_type: kind });
}

fn read_clef(part: &PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    // Staff positions in steps from C0 of the line that the sign marks: G4, F3, C4.
    let (marked, usual_line) = match element.child_text("sign") {
        Some("G") => (32, 2),
        Some("F") => (24, 4),
        Some("C") => (28, 3),
        _ => return,
    };
    let line = element.child_text("line").and_then(whole).filter(|line| (1..=5).contains(line)).unwrap_or(usual_line);
    let octaves = element.child_text("clef-octave-change").and_then(whole).unwrap_or(0).clamp(-4, 4);
    let staff = element.attribute("number").and_then(|number| number.parse().ok()).unwrap_or(1);
    let at = part.at();
    draft.score.clefs.push(ClefMark {
        onset: at.offset,
        measure: at.measure,
        part: part.part,
        staff,
        middle_line: (marked + 2 * (3 - line) + 7 * octaves) as i16,
    });
}

fn read_transpose(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let number = |name: &str| element.child_text(name).and_then(whole);
    let staff = element.attribute("number").and_then(|number| number.parse().ok()).unwrap_or(0);
    let semitones = number("chromatic").unwrap_or(0);
    // `double` adds an octave below (or above, where it says so).
    let doubled = element.child("double").map_or(0, |double| if double.has("above", "yes") { 1 } else { -1 });
    let octaves = number("octave-change").unwrap_or(0) + doubled;
    let steps = number("diatonic").unwrap_or_else(|| nearest_steps(semitones));
    let sane = |value: i64, most: i64| (-most..=most).contains(&value);
    if !sane(semitones, 127) || !sane(octaves, 10) || !sane(steps, 80) {
        draft.remark(part.part, part.measure, "a transposition beyond the keyboard", "not applied");
        return;
    }
    let transposition = Transposition { steps: steps as i32, semitones: semitones as i32, octaves: octaves as i32 };
    part.transpositions.retain(|(for_staff, _)| staff != 0 && *for_staff != staff);
    part.transpositions.push((staff, transposition));
}

/// Steps of the scale that this many semitones usually span.
fn nearest_steps(semitones: i64) -> i64 {
    let within = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];
    let octave = semitones.div_euclid(12);
    octave * 7 + within[semitones.rem_euclid(12) as usize]
}

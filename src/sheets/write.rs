//! A sheet as MusicXML 4.0.
//!
//! In: a [`Sheet`]. Out: the text of one part on two staves, partwise.
//!
//! # References
//! W3C Music Notation Community Group, *MusicXML 4.0* (2021): elements, their order and meaning.

use super::clefs::Staff;
use super::model::{Exercise, Nuance, Sheet, TICKS_PER_QUARTER};
use super::note::write_note;
use super::staff::StaffLayout;
use super::xml::Xml;
use crate::score::Mode;
use crate::units::Hand;

const DOCTYPE: &str = "score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" \
                       \"http://www.musicxml.org/dtds/partwise.dtd\"";

/// Characters in a line of practice notes, since programs do not wrap words above a staff.
/// Chosen by us: what fits a page of A4 in italics of 9 points.
const LINE: usize = 96;

/// Most notes of one hand on a system.
/// Chosen by us: with digits and accidentals that is as close as print on A4 stays readable.
const SYSTEM_NOTES: usize = 36;

/// Beats a minute of the fastest metronome mark (common practice, no source: the end of a mechanical scale).
pub(super) const FASTEST_BEAT: u32 = 208;

/// Writes the sheet.
pub fn write(sheet: &Sheet) -> String {
    let mut xml = Xml::new(DOCTYPE);
    xml.element("score-partwise", &[("version", "4.0")], |xml| {
        xml.element("work", &[], |xml| xml.text("work-title", &[], &sheet.title));
        xml.element("identification", &[], |xml| {
            xml.element("encoding", &[], |xml| {
                xml.text("software", &[], concat!("thumbunder ", env!("CARGO_PKG_VERSION")));
                for element in ["accidental", "beam"] {
                    xml.empty("supports", &[("element", element), ("type", "yes")]);
                }
                for attribute in ["new-page", "new-system"] {
                    let supported = [("element", "print"), ("type", "yes"), ("attribute", attribute), ("value", "yes")];
                    xml.empty("supports", &supported);
                }
            });
        });
        xml.element("part-list", &[], |xml| {
            xml.element("score-part", &[("id", "P1")], |xml| {
                xml.text("part-name", &[("print-object", "no")], "Piano");
                xml.element("score-instrument", &[("id", "P1-I1")], |xml| {
                    xml.text("instrument-name", &[], "Piano");
                    xml.text("instrument-sound", &[], "keyboard.piano");
                });
                xml.element("midi-instrument", &[("id", "P1-I1")], |xml| {
                    xml.text("midi-channel", &[], "1");
                    xml.text("midi-program", &[], "1");
                });
            });
        });
        xml.element("part", &[("id", "P1")], |xml| {
            let mut pen = Pen { measures: 0, signs: None, clefs: [Staff::Treble, Staff::Bass] };
            for (index, exercise) in sheet.exercises.iter().enumerate() {
                pen.exercise(xml, exercise, index + 1 == sheet.exercises.len());
            }
        });
    });
    xml.finish()
}

/// What is in force where the pen stands.
struct Pen {
    measures: u32,
    /// Fifths, mode and quarters in a measure; nothing yet before the first exercise.
    signs: Option<(i8, Option<Mode>, u32)>,
    /// Of the upper and the lower staff.
    clefs: [Staff; 2],
}

impl Pen {
    fn exercise(&mut self, xml: &mut Xml, exercise: &Exercise, last: bool) {
        let staves = Hand::BOTH.map(|hand| StaffLayout::new(exercise, hand));
        let count = exercise.measures();
        let systems = systems(exercise, &staves);
        for measure in 0..count {
            self.measures += 1;
            let (first, end) = (measure == 0, measure + 1 == count);
            let (repeat_start, repeat_end) = exercise.repeats_at(measure);
            xml.element("measure", &[("number", &self.measures.to_string())], |xml| {
                if first && self.measures > 1 && exercise.new_page {
                    xml.empty("print", &[("new-page", "yes")]);
                } else if self.measures > 1 && systems.contains(&measure) {
                    xml.empty("print", &[("new-system", "yes")]);
                }
                if first {
                    self.sign(xml, exercise, &staves);
                }
                if repeat_start {
                    xml.element("barline", &[("location", "left")], |xml| {
                        xml.text("bar-style", &[], "heavy-light");
                        xml.empty("repeat", &[("direction", "forward")]);
                    });
                }
                if first {
                    head(xml, exercise);
                }
                self.measure(xml, exercise, &staves, measure);
                if end || repeat_end {
                    xml.element("barline", &[("location", "right")], |xml| {
                        let style = if last || repeat_end { "light-heavy" } else { "light-light" };
                        xml.text("bar-style", &[], style);
                        if repeat_end {
                            xml.empty("repeat", &[("direction", "backward")]);
                        }
                    });
                }
            });
        }
    }

    /// Key, time and clefs at the start of an exercise, as far as they change.
    fn sign(&mut self, xml: &mut Xml, exercise: &Exercise, staves: &[StaffLayout<'_>; 2]) {
        let signs = (exercise.fifths, exercise.mode, exercise.beats);
        let before = self.signs.replace(signs);
        let clefs = self.clefs;
        for staff in staves {
            if let Some(note) = staff.notes.first() {
                self.clefs[staff.index()] = note.staff;
            }
        }
        let changed: Vec<usize> =
            (0..2).filter(|index| before.is_none() || clefs[*index].clef() != self.clefs[*index].clef()).collect();
        if before != Some(signs) || !changed.is_empty() {
            xml.element("attributes", &[], |xml| {
                if before.is_none() {
                    xml.text("divisions", &[], &TICKS_PER_QUARTER.to_string());
                }
                if before.map(|signs| (signs.0, signs.1)) != Some((signs.0, signs.1)) {
                    xml.element("key", &[], |xml| {
                        xml.text("fifths", &[], &exercise.fifths.to_string());
                        if let Some(mode) = exercise.mode {
                            xml.text("mode", &[], if mode == Mode::Major { "major" } else { "minor" });
                        }
                    });
                }
                if before.map(|signs| signs.2) != Some(signs.2) {
                    xml.element("time", &[], |xml| {
                        xml.text("beats", &[], &exercise.beats.to_string());
                        xml.text("beat-type", &[], "4");
                    });
                }
                if before.is_none() {
                    xml.text("staves", &[], "2");
                }
                for index in changed {
                    clef(xml, self.clefs[index], if index == 0 { "1" } else { "2" });
                }
            });
        }
    }

    fn measure(&mut self, xml: &mut Xml, exercise: &Exercise, staves: &[StaffLayout<'_>; 2], measure: u32) {
        let length = exercise.measure_ticks();
        let span = measure * length..(measure + 1) * length;
        // Nuances stand between the staves, and go with the upper one where it plays.
        let leading = usize::from(exercise.right.is_empty());
        for staff in staves {
            if staff.index() == 1 {
                xml.element("backup", &[], |xml| xml.text("duration", &[], &length.to_string()));
            }
            if staff.notes.is_empty() {
                xml.element("note", &[], |xml| {
                    xml.empty("rest", &[("measure", "yes")]);
                    xml.text("duration", &[], &length.to_string());
                    xml.text("voice", &[], staff.voice());
                    xml.text("staff", &[], staff.number());
                });
                continue;
            }
            for (index, note) in staff.notes.iter().enumerate().filter(|(_, note)| span.contains(&note.at)) {
                self.change_staff(xml, staff, index);
                if staff.index() == leading {
                    for (_, nuance) in exercise.nuances.iter().filter(|(at, _)| *at == note.at) {
                        write_nuance(xml, *nuance);
                    }
                }
                write_note(xml, staff, index, measure == 0);
                let ends = staff.notes.get(index + 1).is_none_or(|next| next.staff.octave() != note.staff.octave());
                if ends && note.staff.octave() != 0 {
                    octave_shift(xml, staff, note.staff, "stop");
                }
            }
        }
    }

    /// A new clef or octave sign before note `index`, where one begins.
    fn change_staff(&mut self, xml: &mut Xml, staff: &StaffLayout<'_>, index: usize) {
        let now = staff.notes[index].staff;
        let before = index.checked_sub(1).map(|before| staff.notes[before].staff);
        if before.is_some_and(|before| before.clef() != now.clef()) {
            xml.element("attributes", &[], |xml| clef(xml, now, staff.number()));
        }
        if now.octave() != 0 && before.map(Staff::octave) != Some(now.octave()) {
            octave_shift(xml, staff, now, if now.octave() > 0 { "down" } else { "up" });
        }
        self.clefs[staff.index()] = now;
    }
}

/// Measures of an exercise that begin a system: the first, and each with which a system would have too many notes.
fn systems(exercise: &Exercise, staves: &[StaffLayout<'_>; 2]) -> Vec<u32> {
    let length = exercise.measure_ticks();
    let notes =
        |staff: &StaffLayout<'_>, measure| staff.notes.iter().filter(|note| note.at / length == measure).count();
    let mut starts = vec![0];
    let mut on_system = 0;
    for measure in 0..exercise.measures() {
        let here = staves.iter().map(|staff| notes(staff, measure)).max().unwrap_or(0);
        if on_system > 0 && on_system + here > SYSTEM_NOTES {
            starts.push(measure);
            on_system = 0;
        }
        on_system += here;
    }
    starts
}

/// Speed, heading and practice notes of an exercise.
fn head(xml: &mut Xml, exercise: &Exercise) {
    if let Some(bpm) = exercise.quarter_bpm {
        // Too fast for a beat, quarters are counted in halves.
        let (unit, beats) = if bpm > FASTEST_BEAT { ("half", bpm / 2) } else { ("quarter", bpm) };
        let (beats, bpm) = (beats.to_string(), bpm.to_string());
        xml.element("direction", &[("placement", "above")], |xml| {
            xml.element("direction-type", &[], |xml| {
                xml.element("metronome", &[], |xml| {
                    xml.text("beat-unit", &[], unit);
                    xml.text("per-minute", &[], &beats);
                });
            });
            xml.text("staff", &[], "1");
            xml.empty("sound", &[("tempo", &bpm)]);
        });
    }
    // One direction for all words: programs differ in how they stack several.
    xml.element("direction", &[("placement", "above")], |xml| {
        xml.element("direction-type", &[], |xml| {
            let bold = [("font-style", "normal"), ("font-weight", "bold"), ("font-size", "12")];
            xml.text("words", &bold, &exercise.heading);
            let lines: Vec<&str> = exercise.notes.iter().flat_map(|note| wrapped(note)).collect();
            if !lines.is_empty() {
                let text = format!("\n{}", lines.join("\n"));
                xml.text("words", &[("font-style", "italic"), ("font-size", "9")], &text);
            }
        });
        xml.text("staff", &[], "1");
    });
}

fn clef(xml: &mut Xml, staff: Staff, number: &str) {
    let (sign, line) = staff.clef();
    xml.element("clef", &[("number", number)], |xml| {
        xml.text("sign", &[], sign);
        xml.text("line", &[], line);
    });
}

/// Lines of at most [`LINE`] characters, parted at blanks; a longer word stays whole.
fn wrapped(text: &str) -> Vec<&str> {
    let mut lines = Vec::new();
    let mut rest = text.trim();
    while rest.chars().count() > LINE {
        let limit = rest.char_indices().nth(LINE).map_or(rest.len(), |(at, _)| at);
        let Some(cut) = rest[..=limit].rfind(' ').or_else(|| rest.find(' ')) else { break };
        lines.push(rest[..cut].trim_end());
        rest = rest[cut..].trim_start();
    }
    lines.push(rest);
    lines
}

/// `kind` as MusicXML says it: notes that sound an octave higher are printed an octave `down`.
fn octave_shift(xml: &mut Xml, staff: &StaffLayout<'_>, as_seen: Staff, kind: &str) {
    let placement = if as_seen.octave() > 0 { "above" } else { "below" };
    let number = staff.number();
    xml.element("direction", &[("placement", placement)], |xml| {
        xml.element("direction-type", &[], |xml| {
            xml.empty("octave-shift", &[("type", kind), ("number", number), ("size", "8")]);
        });
        xml.text("staff", &[], number);
    });
}

fn write_nuance(xml: &mut Xml, nuance: Nuance) {
    xml.element("direction", &[("placement", "below")], |xml| {
        xml.element("direction-type", &[], |xml| match nuance {
            Nuance::Mark(mark) => xml.element("dynamics", &[], |xml| xml.empty(mark, &[])),
            Nuance::Crescendo => xml.empty("wedge", &[("type", "crescendo"), ("number", "1")]),
            Nuance::Diminuendo => xml.empty("wedge", &[("type", "diminuendo"), ("number", "1")]),
            Nuance::End => xml.empty("wedge", &[("type", "stop"), ("number", "1")]),
        });
        xml.text("staff", &[], "1");
    });
}

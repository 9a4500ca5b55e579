//! One note in elements: pitch, value, accidental, beams, finger, and the arcs of the crossings.

use super::model::TICKS_PER_QUARTER;
use super::staff::{Placed, StaffLayout};
use super::xml::Xml;
use crate::crossing::CrossingKind;

/// Writes the note at `index`. In the first measure of an exercise tuplets bear their figure.
pub fn write_note(xml: &mut Xml, staff: &StaffLayout<'_>, index: usize, first_measure: bool) {
    let Some(note) = staff.notes.get(index) else { return };
    let tone = note.tone;
    let crosses_next = staff.notes.get(index + 1).is_some_and(|next| next.tone.crossing.is_some());
    let value = tone.value;
    xml.element("note", &[], |xml| {
        xml.element("pitch", &[], |xml| {
            xml.text("step", &[], &tone.pitch.step.letter().to_string());
            if tone.pitch.alter != 0 {
                xml.text("alter", &[], &tone.pitch.alter.to_string());
            }
            xml.text("octave", &[], &tone.pitch.octave.to_string());
        });
        xml.text("duration", &[], &value.ticks().to_string());
        xml.text("voice", &[], staff.voice());
        xml.text("type", &[], value.kind.name());
        if value.dotted {
            xml.empty("dot", &[]);
        }
        if let Some(accidental) = note.accidental {
            let reminder: &[_] =
                if accidental.reminder { &[("cautionary", "yes"), ("parentheses", "yes")] } else { &[] };
            xml.text("accidental", reminder, accidental.name);
        }
        if value.tuplet != (1, 1) {
            xml.element("time-modification", &[], |xml| {
                xml.text("actual-notes", &[], &value.tuplet.0.to_string());
                xml.text("normal-notes", &[], &value.tuplet.1.to_string());
            });
        }
        xml.text("staff", &[], staff.number());
        for (level, beam) in note.beams.iter().enumerate() {
            xml.text("beam", &[("number", &(level + 1).to_string())], beam);
        }
        let tuplet = tuplet_sign(note);
        let arcs = tone.crossing.is_some() || crosses_next;
        if tuplet.is_none() && tone.finger.is_none() && !tone.accent && !arcs {
            return;
        }
        xml.element("notations", &[], |xml| {
            arc(xml, staff, index, "stop");
            arc(xml, staff, index + 1, "start");
            if let Some(kind) = tuplet {
                // The figure is printed in the first measure; after that the reader knows.
                let show = if first_measure { "actual" } else { "none" };
                let shown: &[_] = &[("type", kind), ("bracket", "no"), ("show-number", show)];
                xml.empty("tuplet", if kind == "start" { shown } else { &shown[..1] });
            }
            if let Some(finger) = tone.finger {
                xml.element("technical", &[], |xml| {
                    xml.text("fingering", &[("placement", staff.outside())], &finger.to_string());
                });
            }
            if tone.accent {
                xml.element("articulations", &[], |xml| xml.empty("accent", &[]));
            }
        });
    });
}

/// One end of the arc between the two notes of a crossing, `reached` being the second of them: below the notes where
/// the thumb passes under, above where a finger passes over, and dashed, since it says nothing about touch.
fn arc(xml: &mut Xml, staff: &StaffLayout<'_>, reached: usize, kind: &str) {
    let Some(crossing) = staff.notes.get(reached).and_then(|note| note.tone.crossing) else { return };
    // Crossings in a row meet on a note, so neighbours need different numbers.
    let number = (1 + 2 * staff.index() + reached % 2).to_string();
    let side = match crossing {
        CrossingKind::ThumbUnder => "below",
        CrossingKind::FingerOver => "above",
    };
    let attributes = [("type", kind), ("number", &number), ("line-type", "dashed"), ("placement", side)];
    xml.empty("slur", if kind == "start" { &attributes } else { &attributes[..2] });
}

/// Whether a tuplet starts or stops on a note; all tuplets here last a quarter.
fn tuplet_sign(note: &Placed<'_>) -> Option<&'static str> {
    let value = note.tone.value;
    if value.tuplet == (1, 1) {
        None
    } else if note.at.is_multiple_of(TICKS_PER_QUARTER) {
        Some("start")
    } else if (note.at + value.ticks()).is_multiple_of(TICKS_PER_QUARTER) {
        Some("stop")
    } else {
        None
    }
}

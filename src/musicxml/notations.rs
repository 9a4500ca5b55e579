//! `<notations>`: ties, slurs, fingering, articulation, ornaments and other signs on a note.

use super::draft::{At, Draft, Span};
use super::fingers::read_fingering;
use super::part::{PartReader, SLURS};
use super::xml::Element;
use crate::score::{Direction, DirectionKind, NoteMarks, WrittenFinger};

/// The signs on one note.
#[derive(Default)]
pub(super) struct Signs {
    pub(super) marks: NoteMarks,
    pub(super) fingers: Vec<WrittenFinger>,
    pub(super) tie_start: bool,
    pub(super) tie_stop: bool,
}

pub(super) fn read_notations(
    part: &mut PartReader,
    element: Element<'_, '_>,
    at: At,
    voice: u16,
    staff: u8,
    signs: &mut Signs,
    draft: &mut Draft<'_>,
) {
    for child in element.children() {
        match child.name() {
            "tied" => {
                signs.tie_start |= child.has("type", "start") || child.has("type", "continue");
                signs.tie_stop |= child.has("type", "stop") || child.has("type", "continue");
            }
            "technical" => {
                for sign in child.children() {
                    if sign.name() == "fingering" {
                        read_fingering(part, sign, &mut signs.fingers, draft);
                    }
                }
            }
            "articulations" => child.children().for_each(|sign| signs.marks |= articulation(sign.name())),
            "ornaments" => child.children().for_each(|sign| signs.marks |= ornament(sign.name())),
            "arpeggiate" => signs.marks |= NoteMarks::ARPEGGIO,
            "fermata" => signs.marks |= NoteMarks::FERMATA,
            "glissando" | "slide" if child.has("type", "start") => signs.marks |= NoteMarks::GLISSANDO,
            "dynamics" => {
                for dynamic in child.children() {
                    let text = draft.text(if dynamic.text().is_empty() { dynamic.name() } else { dynamic.text() });
                    draft.score.directions.push(Direction {
                        onset: at.offset,
                        measure: at.measure,
                        part: part.part,
                        staff,
                        kind: DirectionKind::Dynamic(text),
                    });
                }
            }
            _ => {}
        }
    }
    // A slur that ends where the next of the same number begins may be written in either order.
    for kind in ["stop", "start"] {
        for slur in element.children().filter(|child| child.name() == "slur" && child.has("type", kind)) {
            let number = slur.attribute("number").and_then(|number| number.parse::<usize>().ok()).unwrap_or(1);
            let Some(open) = part.open_slurs.get_mut(number.min(SLURS)) else { continue };
            if kind == "start" {
                signs.marks |= NoteMarks::SLUR_START;
                *open = Some((voice, at));
            } else {
                signs.marks |= NoteMarks::SLUR_STOP;
                if let Some((voice, start)) = open.take() {
                    draft.slurs.push(Span { part: part.part, voice, start, stop: at });
                }
            }
        }
    }
}

fn articulation(name: &str) -> NoteMarks {
    match name {
        "staccato" | "staccatissimo" | "spiccato" => NoteMarks::STACCATO,
        "tenuto" => NoteMarks::TENUTO,
        "detached-legato" => NoteMarks::STACCATO | NoteMarks::TENUTO,
        "accent" | "strong-accent" | "soft-accent" => NoteMarks::ACCENT,
        "breath-mark" | "caesura" => NoteMarks::BREATH,
        _ => NoteMarks::empty(),
    }
}

fn ornament(name: &str) -> NoteMarks {
    match name {
        "trill-mark" | "wavy-line" | "shake" => NoteMarks::TRILL,
        "mordent" | "inverted-mordent" => NoteMarks::MORDENT,
        "turn"
        | "delayed-turn"
        | "inverted-turn"
        | "delayed-inverted-turn"
        | "vertical-turn"
        | "inverted-vertical-turn" => NoteMarks::TURN,
        "tremolo" => NoteMarks::TREMOLO,
        "schleifer" | "haydn" | "other-ornament" => NoteMarks::OTHER_ORNAMENT,
        _ => NoteMarks::empty(),
    }
}

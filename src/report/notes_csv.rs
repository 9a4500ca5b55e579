//! The notes as CSV, one row a note: what was read, which hand plays it, and with which finger.
//!
//! In: a score, its hands, their fingering. Out: CSV with the columns
//! `measure,onset,duration,midi,hand,voice,finger,finger_source,grace`; onset and duration in quarter notes with six
//! decimals, in written order without unfolding repeats.

use crate::fingering::{FingerSource, Fingering};
use crate::hands::Hands;
use crate::score::{NoteId, Score};
use crate::units::Hand;

/// Renders the notes of both hands; a hand without fingering has empty finger columns.
pub fn render(score: &Score, hands: &Hands, right: Option<&Fingering>, left: Option<&Fingering>) -> String {
    let mut rows: Vec<(NoteId, Hand, usize)> = Vec::new();
    for hand in Hand::BOTH {
        rows.extend(hands.line(hand).notes.iter().enumerate().map(|(place, id)| (*id, hand, place)));
    }
    rows.sort_unstable();
    let mut text = String::with_capacity(64 + rows.len() * 48);
    text.push_str("measure,onset,duration,midi,hand,voice,finger,finger_source,grace\n");
    for (id, hand, place) in rows {
        let Some(note) = score.notes.get(id) else { continue };
        let fingering = match hand {
            Hand::Right => right,
            Hand::Left => left,
        };
        let finger = fingering.and_then(|fingering| fingering.fingers.get(place).copied().flatten());
        let source = fingering.and_then(|fingering| fingering.sources.get(place)).map_or("", |source| match source {
            FingerSource::Written => "written",
            FingerSource::Inferred => "inferred",
        });
        let measure = score.measures.get(note.measure).map_or("", |measure| measure.number.as_str());
        push_field(&mut text, measure);
        let (finger, source) = match finger {
            Some(finger) => (finger.to_string(), source),
            None => (String::new(), ""),
        };
        let _ = std::fmt::Write::write_fmt(
            &mut text,
            format_args!(
                ",{:.6},{:.6},{},{},{},{finger},{source},{}\n",
                note.onset.to_f64(),
                note.duration.to_f64(),
                note.midi.number(),
                hand.letter(),
                note.voice,
                u8::from(note.is_grace()),
            ),
        );
    }
    text
}

/// Quotes a text that would break the row (RFC 4180, section 2).
fn push_field(text: &mut String, field: &str) {
    if field.contains(['"', ',', '\n', '\r']) {
        text.push('"');
        text.push_str(&field.replace('"', "\"\""));
        text.push('"');
    } else {
        text.push_str(field);
    }
}

//! What the handlers fill while the file is read, before times are aligned and ties merged.
//!
//! In: one element after another. Out: a score whose onsets count from the start of their measure, and the loose ends
//! (ties, slurs, octave shifts) that [`super::assemble`] ties up.

use crate::error::{Error, Place, Remarks};
use crate::limits::{Limits, foreseen_memory};
use crate::score::{Measure, MeasureIndex, Note, NoteElement, NoteMarks, Score};
use crate::units::Quarters;

/// A score in the making.
pub(super) struct Draft<'l> {
    pub(super) score: Score,
    pub(super) heads: Vec<Head>,
    /// Notes read so far, rests among them.
    pub(super) elements: NoteElement,
    pub(super) slurs: Vec<Span>,
    pub(super) shifts: Vec<Shift>,
    pub(super) hand_words: Vec<HandWord>,
    pub(super) remarks: Remarks,
    pub(super) limits: &'l Limits,
    /// Bytes of the XML.
    size: usize,
}

/// A note head as printed: tied heads are still apart, and the onset counts from the start of the measure.
pub(super) struct Head {
    pub(super) note: Note,
    /// Held on into a later head.
    pub(super) tie_start: bool,
    /// Holds on an earlier head.
    pub(super) tie_stop: bool,
}

/// A place in score time: measure, and quarters from its start.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct At {
    pub(super) measure: MeasureIndex,
    pub(super) offset: Quarters,
}

/// A slur from its first to its last note, by the voice of the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub(super) part: u16,
    pub(super) voice: u16,
    pub(super) start: At,
    pub(super) stop: At,
}

/// From here on, notes of a staff are printed this many octaves below where they sound.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shift {
    pub(super) part: u16,
    pub(super) staff: u8,
    pub(super) at: At,
    pub(super) octaves: i8,
}

/// A word that asks for a hand.
#[derive(Clone, Copy, Debug)]
pub(super) struct HandWord {
    pub(super) part: u16,
    pub(super) staff: u8,
    /// The voice that the file says it belongs to.
    pub(super) voice: Option<u16>,
    pub(super) at: At,
    /// The mark of the hand asked for.
    pub(super) asks: NoteMarks,
    /// Printed below the staff, if the file says where.
    pub(super) below: Option<bool>,
}

impl<'l> Draft<'l> {
    /// `size` is that of the XML in bytes.
    pub(super) fn new(remarks: Remarks, limits: &'l Limits, size: usize) -> Self {
        Self {
            score: Score::default(),
            heads: Vec::new(),
            elements: 0,
            slurs: Vec::new(),
            shifts: Vec::new(),
            hand_words: Vec::new(),
            remarks,
            limits,
            size,
        }
    }

    /// An error when there are more marks than the limit allows, or all together would take more memory.
    pub(super) fn check(&self) -> Result<(), Error> {
        let Score { keys, times, clefs, tempos, directions, .. } = &self.score;
        let of_score = keys.len() + times.len() + clefs.len() + tempos.len() + directions.len();
        let loose = self.slurs.len() + self.shifts.len() + self.hand_words.len();
        let marks = of_score + loose;
        if marks as u64 > self.limits.marks {
            return Err(Error::over_limit("number of marks", self.limits.marks, "--limit marks=N"));
        }
        let memory = foreseen_memory(self.size, self.heads.len(), self.score.measures.len() + marks);
        if memory > self.limits.memory {
            return Err(Error::over_limit("memory for the score in bytes", self.limits.memory, "--limit memory=N"));
        }
        Ok(())
    }

    /// Names a place for a remark.
    pub(super) fn place(&self, part: u16, measure: MeasureIndex) -> Place {
        let part = self.score.parts.get(usize::from(part));
        Place {
            part: part.map(|part| if part.name.is_empty() { part.id.clone() } else { part.name.clone() }),
            measure: self.score.measures.get(measure).map(|measure| measure.number.clone()),
            staff: None,
        }
    }

    /// Remarks something odd in a measure of a part.
    pub(super) fn remark(&mut self, part: u16, measure: MeasureIndex, found: &str, assumed: &str) {
        let place = self.place(part, measure);
        self.remarks.add(place, found, assumed);
    }

    /// A text of the file, cut at the limit and with runs of white space made one blank.
    pub(super) fn text(&self, text: &str) -> String {
        let mut kept = String::with_capacity(text.len().min(self.limits.text_length as usize));
        let mut count = 0;
        for word in text.split_whitespace() {
            if !kept.is_empty() {
                kept.push(' ');
                count += 1;
            }
            for character in word.chars() {
                if count >= self.limits.text_length {
                    return kept;
                }
                kept.push(character);
                count += 1;
            }
        }
        kept
    }

    /// Makes the measure at `index`, and those before it, where they are the first of their index in any part.
    pub(super) fn make_measure(&mut self, index: MeasureIndex, number: Option<&str>) {
        while self.score.measures.len() <= index {
            let this = self.score.measures.len();
            let number = match number {
                Some(number) if this == index => self.text(number),
                _ => (this + 1).to_string(),
            };
            self.score.measures.push(Measure {
                number,
                onset: Quarters::ZERO,
                duration: Quarters::ZERO,
                repeat_start: false,
                repeat_end: false,
                ending: None,
            });
        }
    }
}

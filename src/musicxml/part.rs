//! One part while its measures are read: what is in force, and where it stands.
//!
//! In: the elements of each measure in turn. Out: heads and marks in the [`Draft`], and how far each measure reaches.

use std::collections::BTreeSet;

use super::clock::Clock;
use super::decimal::Decimal;
use super::draft::{At, Draft};
use super::xml::{Tag, Tree, Xml};
use super::{attributes, barline, direction, note};
use crate::error::Error;
use crate::score::MeasureIndex;
use crate::units::Quarters;

/// Slurs of one part that may be open at once, by number (MusicXML numbers them 1 to 16).
pub(super) const SLURS: usize = 17;

/// Rests beyond this many times the length of a measure are surplus. Chosen by us: a bar that really is overfull, with a
/// written-out cadenza for instance, has notes in it, and its rests do not go past twice the time signature.
const SURPLUS: i64 = 2;

/// One part while its measures are read.
pub(super) struct PartReader {
    /// Index of the part.
    pub(super) part: u16,
    /// Ticks to the quarter.
    pub(super) divisions: Decimal,
    /// Transposition by staff; staff 0 stands for all.
    pub(super) transpositions: Vec<(u8, Transposition)>,
    /// Length that the time signature gives a measure.
    pub(super) nominal: Option<Quarters>,
    /// Voices met.
    pub(super) voices: BTreeSet<u16>,
    /// Where each open slur began, and in which voice.
    pub(super) open_slurs: [Option<(u16, At)>; SLURS],
    /// Quarter notes a minute at this place, for a metronome mark that compares two note values.
    pub(super) quarter_bpm: Option<f64>,
    /// The measure that is being read.
    pub(super) measure: MeasureIndex,
    /// Where in it.
    pub(super) clock: Clock,
    /// Grace notes read since the last main note.
    pub(super) graces: u16,
    /// End of the last sounding note of the measure.
    pub(super) notes_end: Quarters,
    /// End of the last rest or forward of the measure.
    pub(super) rests_end: Quarters,
}

/// From written to sounding pitch.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(super) struct Transposition {
    /// Steps of the scale.
    pub(super) steps: i32,
    /// Semitones, octaves included.
    pub(super) semitones: i32,
    /// Octaves, in addition.
    pub(super) octaves: i32,
}

impl PartReader {
    pub(super) fn new(part: u16) -> Self {
        Self {
            part,
            divisions: Decimal::ONE,
            transpositions: Vec::new(),
            nominal: None,
            open_slurs: [None; SLURS],
            voices: BTreeSet::new(),
            quarter_bpm: None,
            measure: 0,
            clock: Clock::default(),
            graces: 0,
            notes_end: Quarters::ZERO,
            rests_end: Quarters::ZERO,
        }
    }

    /// Where the part stands now, never before its measure.
    pub(super) fn at(&self) -> At {
        At { measure: self.measure, offset: self.clock.now().max(Quarters::ZERO) }
    }

    /// Begins the measure at `index`, named by the attributes of `tag`.
    pub(super) fn begin_measure(
        &mut self,
        index: MeasureIndex,
        tag: &Tag<'_>,
        draft: &mut Draft<'_>,
    ) -> Result<(), Error> {
        if index as u64 >= draft.limits.measures {
            return Err(Error::over_limit("number of measures", draft.limits.measures, "--limit measures=N"));
        }
        self.measure = index;
        draft.make_measure(index, tag.attribute("number").as_deref());
        self.clock.reset();
        self.graces = 0;
        self.notes_end = Quarters::ZERO;
        self.rests_end = Quarters::ZERO;
        Ok(())
    }

    /// Ends the measure: a measure lasts as long as its longest part, rests and all.
    ///
    /// Programs that cut a measure short or delete a voice may leave surplus rests behind, which would push the rest of
    /// the piece away (by hours, in one real file). Where rests alone stretch a measure beyond [`SURPLUS`] times its time
    /// signature, it ends with its notes or its time signature.
    pub(super) fn end_measure(&mut self, draft: &mut Draft<'_>) {
        let mut end = self.notes_end.max(self.rests_end);
        if let Some(nominal) = self.nominal {
            let usual = self.notes_end.max(nominal);
            if end > usual.scaled(SURPLUS, 1) {
                end = usual;
                draft.remark(
                    self.part,
                    self.measure,
                    "rests far beyond the length of the measure",
                    "taken as left over; the measure ends with its notes",
                );
            }
        }
        if let Some(measure) = draft.score.measures.get_mut(self.measure) {
            measure.duration = measure.duration.max(end);
        }
    }

    /// Reads one child of a measure.
    pub(super) fn read<'x>(
        &mut self,
        xml: &mut Xml<'x>,
        tag: &Tag<'x>,
        tree: &mut Tree<'x>,
        draft: &mut Draft<'_>,
    ) -> Result<(), Error> {
        match tag.name {
            "note" | "backup" | "forward" | "attributes" | "direction" | "sound" | "barline" => {}
            // Chord symbols are not notes, layout is not music.
            _ => return xml.skip(tag),
        }
        xml.read(tag, tree, &mut draft.remarks)?;
        let element = tree.root();
        match tag.name {
            "note" => note::read_note(self, element, draft)?,
            "backup" => note::read_backup(self, element, draft),
            "forward" => note::read_forward(self, element, draft),
            "attributes" => attributes::read_attributes(self, element, draft),
            "direction" => direction::read_direction(self, element, draft),
            "sound" => direction::read_sound(self, element, draft),
            _ => barline::read_barline(self, element, draft),
        }
        draft.check()
    }

    /// The unit that the file counts in, in quarters.
    pub(super) fn tick(&self) -> Quarters {
        Decimal::ONE.quarters(self.divisions).unwrap_or_default()
    }

    /// A duration of the file in quarters; what is no usable duration is remarked and takes no time.
    pub(super) fn duration(&self, text: Option<&str>, draft: &mut Draft<'_>) -> Quarters {
        let length = text.and_then(Decimal::parse).and_then(|ticks| ticks.quarters(self.divisions));
        match length {
            Some(length) if length >= Quarters::ZERO => length,
            _ => {
                draft.remark(
                    self.part,
                    self.measure,
                    "a duration that is no length of time",
                    "taken as no time at all",
                );
                Quarters::ZERO
            }
        }
    }
}

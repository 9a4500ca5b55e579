//! Which parts of a score are for the piano.
//!
//! In: a [`Score`]. Out: the parts that one pianist plays, from the top, each with its staves; singers, other instruments,
//! ossias and second pianos are left out.

use super::instruments::{Instrument, instrument, is_ossia};
use crate::error::{Error, Place, Remarks};
use crate::score::{Part, Score};
use crate::units::Hand;

/// What is known of a part that has notes.
pub(super) struct Candidate<'s> {
    pub(super) index: u16,
    pub(super) part: &'s Part,
    instrument: Instrument,
    /// Staves with notes, from the top.
    pub(super) staves: Vec<Staff>,
}

pub(super) struct Staff {
    pub(super) number: u8,
    notes: usize,
    /// Sum of MIDI numbers, for the mean pitch.
    midi: u64,
}

impl Candidate<'_> {
    /// On two staves or more.
    fn is_grand(&self) -> bool {
        self.part.staves >= 2
    }

    fn notes(&self) -> usize {
        self.staves.iter().map(|staff| staff.notes).sum()
    }

    fn mean(&self) -> u64 {
        self.staves.iter().map(|staff| staff.midi).sum::<u64>() / self.notes().max(1) as u64
    }

    pub(super) fn name(&self) -> &str {
        if self.part.name.is_empty() { &self.part.id } else { &self.part.name }
    }

    pub(super) fn place(&self) -> Place {
        Place { part: Some(self.name().to_owned()), ..Place::default() }
    }
}

impl Staff {
    pub(super) fn mean(&self) -> u64 {
        self.midi / self.notes.max(1) as u64
    }
}

pub(super) fn listed(names: &[&str]) -> String {
    let mut text: Vec<String> = names.iter().take(4).map(|name| format!("`{name}`")).collect();
    if names.len() > 4 {
        text.push(format!("and {} more", names.len() - 4));
    }
    text.join(", ")
}

pub(super) fn candidates(score: &Score) -> Vec<Candidate<'_>> {
    let mut candidates: Vec<Candidate<'_>> = score
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| Candidate { index: index as u16, part, instrument: instrument(part), staves: Vec::new() })
        .collect();
    for note in &score.notes {
        let Some(part) = candidates.get_mut(usize::from(note.part)) else { continue };
        let place = match part.staves.binary_search_by_key(&note.staff, |staff| staff.number) {
            Ok(place) => place,
            Err(place) => {
                part.staves.insert(place, Staff { number: note.staff, notes: 0, midi: 0 });
                place
            }
        };
        let staff = &mut part.staves[place];
        staff.notes += 1;
        staff.midi += u64::from(note.midi.number());
    }
    candidates.retain(|candidate| !candidate.staves.is_empty());
    candidates
}

/// The parts that make up the piano, from the top.
pub(super) fn choose_piano<'c, 's>(
    score: &Score,
    candidates: &'c [Candidate<'s>],
    remarks: &mut Remarks,
) -> Result<Vec<&'c Candidate<'s>>, Error> {
    let grand: Vec<_> = candidates.iter().filter(|c| c.is_grand()).collect();
    // A part on two staves is the piano; the best named one where there are several.
    let best = [Instrument::Keyboard, Instrument::Unknown, Instrument::Other]
        .into_iter()
        .find_map(|instrument| grand.iter().find(|c| c.instrument == instrument));
    let Some(main) = best else { return choose_one_staff_parts(score, candidates, remarks) };
    if main.instrument == Instrument::Other {
        remarks.add(
            main.place(),
            format!("no part is named as a piano; `{}` has two staves", main.name()),
            "read as if it were for piano",
        );
    }
    if grand.len() > 1 {
        remarks.add(
            main.place(),
            "several parts on two staves",
            format!("`{}` was taken as the piano; the others were passed over", main.name()),
        );
        return Ok(vec![main]);
    }
    Ok(candidates.iter().filter(|c| c.index == main.index || is_more_of(c, main)).collect())
}

/// Whether a one-staff part belongs to the same piano as the part on two staves: a third staff, not a singer.
fn is_more_of(part: &Candidate<'_>, main: &Candidate<'_>) -> bool {
    if part.part.lyrics || is_aside(part, main) {
        return false;
    }
    match part.instrument {
        Instrument::Keyboard => main.instrument == Instrument::Keyboard,
        Instrument::Unknown => {
            part.part.name.is_empty()
                || part.name().eq_ignore_ascii_case(main.name())
                || part.part.brace.is_some() && part.part.brace == main.part.brace
        }
        Instrument::Other => false,
    }
}

/// Notes that a part of another way of playing may have, and its share of the notes of the main part (one in twenty).
/// Chosen by us: an ossia is a measure or two.
const ASIDE: (usize, usize) = (24, 20);

/// An ossia: named so, or a handful of notes beside a whole piece.
fn is_aside(part: &Candidate<'_>, main: &Candidate<'_>) -> bool {
    is_ossia(part.part) || part.notes() <= ASIDE.0 && part.notes() * ASIDE.1 <= main.notes()
}

/// The piano in a score without a part on two staves.
fn choose_one_staff_parts<'c, 's>(
    score: &Score,
    candidates: &'c [Candidate<'s>],
    remarks: &mut Remarks,
) -> Result<Vec<&'c Candidate<'s>>, Error> {
    let of = |instrument| candidates.iter().filter(|c| c.instrument == instrument).collect::<Vec<_>>();
    let mut chosen = of(Instrument::Keyboard);
    if chosen.is_empty() {
        chosen = of(Instrument::Unknown);
        if let [only] = chosen.as_slice() {
            remarks.add(only.place(), "one part on one staff, not named as a piano", "read as a piano part");
        } else if let Some(first) = chosen.first().filter(|_| chosen.len() != 2 || candidates.len() > 2) {
            remarks.add(
                first.place(),
                "no part is named as a piano",
                "the parts without the name of another instrument were read as one",
            );
        }
    }
    if chosen.is_empty() {
        chosen = as_pair(candidates, remarks).ok_or_else(|| {
            let names: Vec<&str> = candidates.iter().map(Candidate::name).collect();
            Error::NothingToRead(format!("no piano part among {}", listed(&names)))
        })?;
    }
    if chosen.len() > 2 {
        leave_out(&mut chosen, |c| c.part.lyrics);
        let largest = chosen.iter().copied().max_by_key(|c| c.notes());
        leave_out(&mut chosen, |c| largest.is_some_and(|main| c.index != main.index && is_aside(c, main)));
        keep_first_piano(score, &mut chosen, remarks);
    }
    Ok(chosen)
}

/// Leaves out some parts, if at least two are left.
fn leave_out(chosen: &mut Vec<&Candidate<'_>>, which: impl Fn(&Candidate<'_>) -> bool) {
    if chosen.iter().filter(|c| !which(c)).count() >= 2 {
        chosen.retain(|c| !which(c));
    }
}

/// Music for two pianos: keeps the first, by brace, by name, or by clefs that go right, left, right, left.
fn keep_first_piano(score: &Score, chosen: &mut Vec<&Candidate<'_>>, remarks: &mut Remarks) {
    let Some(first) = chosen.first().copied().filter(|_| chosen.len() > 2) else { return };
    let braced = |c: &Candidate<'_>| c.part.brace.is_some() && c.part.brace == first.part.brace;
    let named = |c: &Candidate<'_>| c.part.name == first.part.name;
    let lies: Vec<Hand> = chosen.iter().map(|c| lies(score, c.index, &c.staves[0])).collect();
    let second = if chosen.iter().filter(|c| braced(c)).count() == 2 {
        chosen.iter().position(|c| braced(c) && c.index != first.index)
    } else if chosen.len() == 4 && chosen.iter().filter(|c| named(c)).count() == 2 {
        chosen.iter().position(|c| named(c) && c.index != first.index)
    } else {
        (lies == [Hand::Right, Hand::Left, Hand::Right, Hand::Left]).then_some(1)
    };
    if let Some(second) = second {
        *chosen = vec![first, chosen[second]];
        remarks.add(first.place(), "parts for more than one piano", "the first piano was read");
    }
}

/// Two parts of one name or brace, without words, that lie like two hands, whatever the name says: programs that read
/// printed pages name every staff after the same instrument.
fn as_pair<'c, 's>(candidates: &'c [Candidate<'s>], remarks: &mut Remarks) -> Option<Vec<&'c Candidate<'s>>> {
    let [upper, lower] = candidates else { return None };
    let joined =
        upper.part.brace.is_some() && upper.part.brace == lower.part.brace || upper.part.name == lower.part.name;
    if !joined || upper.part.lyrics || lower.part.lyrics || upper.mean() < lower.mean() + OCTAVE {
        return None;
    }
    remarks.add(
        upper.place(),
        format!("two parts named `{}` that lie like the two hands", upper.name()),
        "read as a piano part",
    );
    Some(vec![upper, lower])
}

/// In semitones.
pub(super) const OCTAVE: u64 = 12;

/// MIDI number of middle C.
const MIDDLE_C: u64 = 60;

/// Staff position of middle C, in steps from C0: a clef whose middle line lies above it is for the right hand.
const MIDDLE_C_POSITION: i16 = 28;

/// The hand that a staff lies for, by its clef, else by its pitches.
pub(super) fn lies(score: &Score, part: u16, staff: &Staff) -> Hand {
    let by_pitch = if staff.mean() >= MIDDLE_C { Hand::Right } else { Hand::Left };
    by_clef(score, part, staff.number).unwrap_or(by_pitch)
}

fn by_clef(score: &Score, part: u16, staff: u8) -> Option<Hand> {
    let clef = score.clefs.iter().find(|clef| clef.part == part && clef.staff == staff)?;
    Some(if clef.middle_line > MIDDLE_C_POSITION { Hand::Right } else { Hand::Left })
}

//! Which staves belong to the piano, and which hand reads each.
//!
//! In: a [`Score`]. Out: a [`Seating`]: for every staff of every part a hand, or none where it is not for the piano.

use super::instruments::{Instrument, instrument, is_ossia, named_hand};
use crate::error::{Error, Place, Remarks};
use crate::score::{Part, Score};
use crate::units::Hand;

/// Hand by part and staff.
pub(super) struct Seating {
    /// Sorted by part and staff.
    staves: Vec<Seat>,
}

struct Seat {
    part: u16,
    staff: u8,
    hand: Hand,
}

impl Seating {
    /// True when everything is on a single staff.
    pub(super) fn is_one_staff(&self) -> bool {
        self.staves.len() == 1
    }

    /// The hand that reads a staff; `None` when it is not for the piano.
    pub(super) fn hand(&self, part: u16, staff: u8) -> Option<Hand> {
        let place = self.staves.binary_search_by_key(&(part, staff), |seat| (seat.part, seat.staff)).ok()?;
        self.staves.get(place).map(|seat| seat.hand)
    }
}

/// What is known of a part that has notes.
struct Candidate<'s> {
    index: u16,
    part: &'s Part,
    instrument: Instrument,
    /// Staves with notes, from the top.
    staves: Vec<Staff>,
}

struct Staff {
    number: u8,
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

    fn name(&self) -> &str {
        if self.part.name.is_empty() { &self.part.id } else { &self.part.name }
    }

    fn place(&self) -> Place {
        Place { part: Some(self.name().to_owned()), ..Place::default() }
    }
}

impl Staff {
    fn mean(&self) -> u64 {
        self.midi / self.notes.max(1) as u64
    }
}

/// Seats the hands.
///
/// # Errors
/// When no part can be for the piano.
pub(super) fn seat_hands(score: &Score, remarks: &mut Remarks) -> Result<Seating, Error> {
    let candidates = candidates(score);
    let piano = choose_piano(&candidates, remarks)?;
    if piano.len() < candidates.len() {
        let names: Vec<&str> =
            candidates.iter().filter(|c| !piano.iter().any(|p| p.index == c.index)).map(Candidate::name).collect();
        remarks.add(
            piano.first().map(|part| part.place()).unwrap_or_default(),
            format!("other parts beside the piano: {}", listed(&names)),
            "only the piano part was looked at",
        );
    }
    Ok(Seating { staves: seat_staves(score, &piano) })
}

fn listed(names: &[&str]) -> String {
    let mut text: Vec<String> = names.iter().take(4).map(|name| format!("`{name}`")).collect();
    if names.len() > 4 {
        text.push(format!("and {} more", names.len() - 4));
    }
    text.join(", ")
}

fn candidates(score: &Score) -> Vec<Candidate<'_>> {
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
fn choose_piano<'c, 's>(
    candidates: &'c [Candidate<'s>],
    remarks: &mut Remarks,
) -> Result<Vec<&'c Candidate<'s>>, Error> {
    let grand: Vec<_> = candidates.iter().filter(|c| c.is_grand()).collect();
    // A part on two staves is the piano; the best named one where there are several.
    let best = [Instrument::Keyboard, Instrument::Unknown, Instrument::Other]
        .into_iter()
        .find_map(|instrument| grand.iter().find(|c| c.instrument == instrument));
    let Some(main) = best else { return choose_one_staff_parts(candidates, remarks) };
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
        let largest = chosen.iter().copied().max_by_key(|c| c.notes());
        chosen.retain(|c| largest.is_none_or(|largest| c.index == largest.index || !is_aside(c, largest)));
    }
    Ok(chosen)
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

/// Semitones.
const OCTAVE: u64 = 12;

/// Gives each staff of the piano a hand: by the name of its part, else the top one right and the bottom one left, those
/// between by where they lie.
fn seat_staves(score: &Score, piano: &[&Candidate<'_>]) -> Vec<Seat> {
    let rows: Vec<(&Candidate<'_>, &Staff)> =
        piano.iter().flat_map(|c| c.staves.iter().map(move |staff| (*c, staff))).collect();
    let lies = |(part, staff): &(&Candidate<'_>, &Staff)| {
        let by_pitch = if staff.mean() >= MIDDLE_C { Hand::Right } else { Hand::Left };
        by_clef(score, part.index, staff.number).unwrap_or(by_pitch)
    };
    let upside_down = match rows.as_slice() {
        [upper, lower] if piano.len() == 2 => {
            lies(upper) == Hand::Left && lies(lower) == Hand::Right && upper.1.mean() + OCTAVE <= lower.1.mean()
        }
        _ => false,
    };
    let last = rows.len().saturating_sub(1);
    let hand = |index: usize, row: &(&Candidate<'_>, &Staff)| match (piano.len(), row.0.part.staves) {
        // One part on two staves, whether or not both have notes.
        (1, 2) if row.1.number <= 1 => Hand::Right,
        (1, 2) => Hand::Left,
        _ if rows.len() == 1 || upside_down => lies(row),
        _ if index == 0 => Hand::Right,
        _ if index == last => Hand::Left,
        _ => lies(row),
    };
    let seat = |(index, row): (usize, &(&Candidate<'_>, &Staff))| {
        let hand = named_hand(row.0.part).unwrap_or_else(|| hand(index, row));
        Seat { part: row.0.index, staff: row.1.number, hand }
    };
    rows.iter().enumerate().map(seat).collect()
}

/// MIDI number of middle C.
const MIDDLE_C: u64 = 60;

/// Staff position of middle C, in steps from C0: a clef whose middle line lies above it is for the right hand.
const MIDDLE_C_POSITION: i16 = 28;

fn by_clef(score: &Score, part: u16, staff: u8) -> Option<Hand> {
    let clef = score.clefs.iter().find(|clef| clef.part == part && clef.staff == staff)?;
    Some(if clef.middle_line > MIDDLE_C_POSITION { Hand::Right } else { Hand::Left })
}

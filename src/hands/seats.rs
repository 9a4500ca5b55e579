//! Which staves belong to the piano, and which hand reads each.
//!
//! In: a [`Score`]. Out: a [`Seating`]: for every staff of every part a hand, or none where it is not for the piano.

use crate::error::{Error, Place, Remarks};
use crate::score::{Part, Score};
use crate::units::Hand;

/// Hand by part and staff.
pub(super) struct Seating {
    staves: Vec<Seat>,
}

struct Seat {
    part: u16,
    staff: u8,
    hand: Hand,
}

impl Seating {
    /// The hand that reads a staff; `None` when it is not for the piano.
    pub(super) fn hand(&self, part: u16, staff: u8) -> Option<Hand> {
        self.staves.iter().find(|seat| seat.part == part && seat.staff == staff).map(|seat| seat.hand)
    }
}

/// What the names of a part say it is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Instrument {
    Keyboard,
    Other,
    Unknown,
}

/// Words in part names, in the languages scores are printed in. Common practice, no source.
const KEYBOARDS: [&str; 22] = [
    "piano",
    "klavier",
    "clavier",
    "keyboard",
    "cembalo",
    "harpsichord",
    "clavecin",
    "clavichord",
    "pianoforte",
    "fortepiano",
    "hammerklavier",
    "pf",
    "pno",
    "klav",
    "organ",
    "orgel",
    "orgue",
    "celesta",
    "cembal",
    "fluegel",
    "flügel",
    "tasten",
];

/// See [`KEYBOARDS`].
const OTHERS: [&str; 64] = [
    "voice",
    "soprano",
    "mezzo",
    "alto",
    "tenor",
    "baritone",
    "bass",
    "basso",
    "canto",
    "gesang",
    "singstimme",
    "chant",
    "vocal",
    "vocals",
    "choir",
    "chorus",
    "chor",
    "violin",
    "violine",
    "violino",
    "violon",
    "viola",
    "bratsche",
    "cello",
    "violoncello",
    "violoncelle",
    "contrabass",
    "kontrabass",
    "strings",
    "fiddle",
    "flute",
    "flöte",
    "flauto",
    "flûte",
    "piccolo",
    "recorder",
    "blockflöte",
    "oboe",
    "hautbois",
    "clarinet",
    "klarinette",
    "clarinetto",
    "clarinette",
    "bassoon",
    "fagott",
    "fagotto",
    "saxophone",
    "sax",
    "horn",
    "corno",
    "trumpet",
    "trompete",
    "tromba",
    "trombone",
    "posaune",
    "tuba",
    "timpani",
    "drums",
    "drumset",
    "percussion",
    "guitar",
    "gitarre",
    "guitare",
    "harp",
];

fn instrument(part: &Part) -> Instrument {
    let of = |text: &str| {
        let text = text.to_lowercase();
        let words = || text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
        if words().any(|word| KEYBOARDS.contains(&word)) {
            Instrument::Keyboard
        } else if words().any(|word| OTHERS.contains(&word) || OTHERS.contains(&word.trim_end_matches('s'))) {
            Instrument::Other
        } else {
            Instrument::Unknown
        }
    };
    match of(&part.name) {
        Instrument::Unknown => part.instrument.as_deref().map_or(Instrument::Unknown, of),
        known => known,
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
    fn grand(&self) -> bool {
        self.part.staves >= 2
    }

    fn name(&self) -> &str {
        if self.part.name.is_empty() { &self.part.id } else { &self.part.name }
    }

    fn place(&self) -> Place {
        Place { part: Some(self.name().to_owned()), ..Place::default() }
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
        let place = part.staves.iter().position(|staff| staff.number == note.staff).unwrap_or_else(|| {
            part.staves.push(Staff { number: note.staff, notes: 0, midi: 0 });
            part.staves.len() - 1
        });
        let staff = &mut part.staves[place];
        staff.notes += 1;
        staff.midi += u64::from(note.midi.number());
    }
    for candidate in &mut candidates {
        candidate.staves.sort_by_key(|staff| staff.number);
    }
    candidates.retain(|candidate| !candidate.staves.is_empty());
    candidates
}

/// The parts that make up the piano, from the top.
fn choose_piano<'c, 's>(
    candidates: &'c [Candidate<'s>],
    remarks: &mut Remarks,
) -> Result<Vec<&'c Candidate<'s>>, Error> {
    let of = |instrument| candidates.iter().filter(move |c| c.instrument == instrument);
    let grand: Vec<_> = candidates.iter().filter(|c| c.grand()).collect();
    // A part on two staves is the piano; the best named one where there are several.
    let chosen = [Instrument::Keyboard, Instrument::Unknown, Instrument::Other]
        .into_iter()
        .find_map(|instrument| grand.iter().find(|c| c.instrument == instrument));
    if let Some(main) = chosen {
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
        // One-staff parts that are more of the same piano: joined by a brace, or named as one, or nothing speaks against.
        let same = |c: &&Candidate<'_>| {
            c.index == main.index
                || !c.part.lyrics
                    && (c.instrument == Instrument::Keyboard && main.instrument == Instrument::Keyboard
                        || c.part.brace.is_some() && c.part.brace == main.part.brace
                        || c.instrument == Instrument::Unknown && c.name().eq_ignore_ascii_case(main.name()))
        };
        return Ok(candidates.iter().filter(same).collect());
    }
    let keyboards: Vec<_> = of(Instrument::Keyboard).collect();
    if !keyboards.is_empty() {
        return Ok(keyboards);
    }
    let unknown: Vec<_> = of(Instrument::Unknown).collect();
    match (unknown.as_slice(), candidates) {
        ([], [only]) => Err(Error::NothingToRead(format!("no piano part: the only part is `{}`", only.name()))),
        ([], [upper, lower]) if upper.part.brace.is_some() && upper.part.brace == lower.part.brace => {
            Ok(vec![upper, lower])
        }
        ([], all) => {
            let names: Vec<&str> = all.iter().map(Candidate::name).collect();
            Err(Error::NothingToRead(format!("no piano part among {}", listed(&names))))
        }
        (_, [only]) => {
            remarks.add(only.place(), "one part on one staff, not named as a piano", "read as a piano part");
            Ok(vec![only])
        }
        (unknown, all) => {
            if unknown.len() < all.len() || unknown.len() > 2 {
                remarks.add(
                    unknown[0].place(),
                    "no part is named as a piano",
                    "the parts without the name of another instrument were read as one",
                );
            }
            Ok(unknown.to_vec())
        }
    }
}

/// Gives each staff of the piano a hand: the top one right, the bottom one left, others by where they lie.
fn seat_staves(score: &Score, piano: &[&Candidate<'_>]) -> Vec<Seat> {
    let all: Vec<(u16, &Staff)> = piano.iter().flat_map(|c| c.staves.iter().map(|staff| (c.index, staff))).collect();
    let mean = |staff: &Staff| staff.midi / staff.notes.max(1) as u64;
    let last = all.len().saturating_sub(1);
    let hands = all.iter().enumerate().map(|(row, (part, staff))| {
        let by_pitch = if mean(staff) >= u64::from(MIDDLE_C) { Hand::Right } else { Hand::Left };
        let declared = score.parts.get(usize::from(*part)).map_or(1, |part| part.staves);
        let hand = match (piano.len(), declared) {
            // One part on two staves, whether or not both have notes.
            (1, 2) => {
                if staff.number <= 1 {
                    Hand::Right
                } else {
                    Hand::Left
                }
            }
            _ if all.len() == 1 => by_clef(score, *part, staff.number).unwrap_or(by_pitch),
            _ if row == 0 => Hand::Right,
            _ if row == last => Hand::Left,
            _ => by_clef(score, *part, staff.number).unwrap_or(by_pitch),
        };
        Seat { part: *part, staff: staff.number, hand }
    });
    hands.collect()
}

/// MIDI number of middle C.
const MIDDLE_C: u8 = 60;

/// Staff position of the line of middle C, in steps from C0: a clef whose middle line lies above is for the right hand.
const MIDDLE_C_POSITION: i16 = 28;

fn by_clef(score: &Score, part: u16, staff: u8) -> Option<Hand> {
    let clef = score.clefs.iter().find(|clef| clef.part == part && clef.staff == staff)?;
    Some(if clef.middle_line > MIDDLE_C_POSITION { Hand::Right } else { Hand::Left })
}

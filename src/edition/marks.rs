//! Dynamics, articulation, tempo, pedal and ornaments, counted as a reader meets them: system by system.

use serde::{Deserialize, Serialize};

use super::Share;
use crate::hands::Hands;
use crate::score::{DirectionKind, Note, NoteMarks, Score, TempoOrigin};
use crate::units::Hand;

/// Measures taken as one system of music. Chosen by us: exports seldom keep the line breaks of the print, and four
/// measures a line is common in piano music.
const MEASURES_A_SYSTEM: usize = 4;

/// What the print says of the tempo at the beginning.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PrintedTempo {
    /// A metronome mark.
    Metronome,
    /// A term such as `Allegro`.
    Words,
    /// Only a playback speed that the reader of the print does not see.
    PlaybackOnly,
    /// Nothing at all.
    #[default]
    Nothing,
}

/// Marks other than fingering.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Marked {
    /// Systems (of four measures) with a dynamic mark or a hairpin.
    pub systems_with_dynamics: Share,
    /// Systems with notes under a slur, or with staccato, tenuto or accent.
    pub systems_with_articulation: Share,
    /// Dynamic marks and hairpins.
    pub dynamics: usize,
    /// Slurs begun, and notes with staccato, tenuto or accent.
    pub articulations: usize,
    /// Pedal marks.
    pub pedal: usize,
    /// How the tempo is given.
    pub tempo: PrintedTempo,
    /// Ornament signs explained on the page, of all: by two or more digits on the note, or by words or a small staff
    /// that speak of the execution.
    pub ornaments_explained: Share,
}

const ARTICULATION: NoteMarks =
    NoteMarks::STACCATO.union(NoteMarks::TENUTO).union(NoteMarks::ACCENT).union(NoteMarks::SLUR_START);
const ORNAMENT: NoteMarks =
    NoteMarks::TRILL.union(NoteMarks::MORDENT).union(NoteMarks::TURN).union(NoteMarks::OTHER_ORNAMENT);

/// Words that tell how an ornament is played, in the languages that editions are printed in.
const EXECUTION: [&str; 8] =
    ["ossia", "execution", "exécution", "esecuzione", "ausführung", "realization", "realisation", "ornament"];

/// Counts the marks of the parts that the two hands play.
pub(super) fn count(score: &Score, hands: &Hands) -> Marked {
    let systems = score.measures.len().div_ceil(MEASURES_A_SYSTEM);
    let mut dynamics = vec![false; systems];
    let mut articulation = vec![false; systems];
    let mut marked = Marked { tempo: printed_tempo(score), ..Marked::default() };
    let explained_on_page = explains_ornaments(score);
    let mut parts = vec![false; score.parts.len()];

    for note in played(score, hands) {
        if let Some(part) = parts.get_mut(usize::from(note.part)) {
            *part = true;
        }
        marked.articulations += usize::from(note.marks.intersects(ARTICULATION));
        // A slur that began a system earlier shapes this one too.
        if note.marks.intersects(ARTICULATION.union(NoteMarks::LEGATO)) {
            mark(&mut articulation, note.measure);
        }
        if note.marks.intersects(ORNAMENT) {
            marked.ornaments_explained.count(explained_on_page || note.written.len() > 1);
        }
    }
    for direction in &score.directions {
        if !parts.get(usize::from(direction.part)).is_some_and(|played| *played) {
            continue;
        }
        match direction.kind {
            DirectionKind::Dynamic(_) | DirectionKind::Hairpin(_) => {
                marked.dynamics += 1;
                mark(&mut dynamics, direction.measure);
            }
            DirectionKind::Pedal(true) => marked.pedal += 1,
            _ => {}
        }
    }
    let share = |systems: &[bool]| Share { with: systems.iter().filter(|has| **has).count(), of: systems.len() };
    marked.systems_with_dynamics = share(&dynamics);
    marked.systems_with_articulation = share(&articulation);
    marked
}

/// The notes of both hands.
pub(super) fn played<'a>(score: &'a Score, hands: &'a Hands) -> impl Iterator<Item = &'a Note> {
    Hand::BOTH.into_iter().flat_map(|hand| &hands.line(hand).notes).filter_map(|id| score.notes.get(*id))
}

fn mark(systems: &mut [bool], measure: usize) {
    if let Some(system) = systems.get_mut(measure / MEASURES_A_SYSTEM) {
        *system = true;
    }
}

/// The strongest statement within the first system, since a later change does not help at the start.
fn printed_tempo(score: &Score) -> PrintedTempo {
    let first = score.tempos.iter().filter(|mark| mark.measure < MEASURES_A_SYSTEM).map(|mark| mark.origin).fold(
        None,
        |best: Option<PrintedTempo>, origin| {
            let this = match origin {
                TempoOrigin::Metronome => PrintedTempo::Metronome,
                TempoOrigin::Term => PrintedTempo::Words,
                TempoOrigin::Sound => PrintedTempo::PlaybackOnly,
            };
            Some(match (best, this) {
                (Some(PrintedTempo::Metronome), _) | (_, PrintedTempo::Metronome) => PrintedTempo::Metronome,
                (Some(PrintedTempo::Words), _) | (_, PrintedTempo::Words) => PrintedTempo::Words,
                _ => PrintedTempo::PlaybackOnly,
            })
        },
    );
    first.unwrap_or_default()
}

fn explains_ornaments(score: &Score) -> bool {
    let speaks = |text: &str| {
        let text = text.to_lowercase();
        EXECUTION.iter().any(|word| text.contains(word))
    };
    score.parts.iter().any(|part| speaks(&part.name))
        || score.credits.iter().any(|(_, text)| speaks(text))
        || score.directions.iter().any(|d| matches!(&d.kind, DirectionKind::Words(text) if speaks(text)))
}

impl Marked {
    pub(super) fn observations(&self) -> Vec<String> {
        let mut said = Vec::new();
        let mut systems = |what: &str, share: Share| {
            said.push(match share {
                Share { with: 0, .. } => format!("no {what} is printed"),
                Share { with, of } => format!("{what} in {with} of {of} systems (taken as four measures each)"),
            });
        };
        systems("dynamics", self.systems_with_dynamics);
        systems("articulation", self.systems_with_articulation);
        said.push(
            match self.tempo {
                PrintedTempo::Metronome => "the tempo is printed as a metronome mark",
                PrintedTempo::Words => "the tempo is printed in words, without a metronome mark",
                PrintedTempo::PlaybackOnly => "no tempo is printed; the file holds a playback speed",
                PrintedTempo::Nothing => "no tempo is given at the beginning",
            }
            .to_owned(),
        );
        if let Share { with, of: of @ 1.. } = self.ornaments_explained {
            said.push(match (with, of) {
                (0, 1) => "one ornament sign, not explained on the page".to_owned(),
                (0, _) => format!("{of} ornament signs, none explained on the page"),
                _ => format!("{with} of {of} ornament signs explained on the page"),
            });
        }
        said
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::{Direction, TempoMark};
    use crate::testing;
    use crate::units::Quarters;

    #[test]
    fn marks_are_counted_system_by_system() {
        let (mut score, hands) = testing::score("R: C4/1!slur D4 E4 F4 G4 A4!slur B4 C5 C5");
        for (measure, kind) in [(0, DirectionKind::Dynamic("p".into())), (1, DirectionKind::Hairpin(true))] {
            score.directions.push(Direction { onset: Quarters::ZERO, measure, part: 0, staff: 1, kind });
        }
        let marked = count(&score, &hands);
        assert_eq!(marked.systems_with_dynamics, Share { with: 1, of: 3 });
        assert_eq!(marked.systems_with_articulation, Share { with: 2, of: 3 });
        assert_eq!(marked.dynamics, 2);
    }

    #[test]
    fn marks_of_a_voice_above_the_piano_are_not_the_pianists() {
        let (mut score, hands) = testing::score("R: C4/1 D4");
        let kind = DirectionKind::Dynamic("f".into());
        score.directions.push(Direction { onset: Quarters::ZERO, measure: 0, part: 7, staff: 1, kind });
        assert_eq!(count(&score, &hands).dynamics, 0);
    }

    #[test]
    fn a_metronome_mark_is_more_than_a_word_and_a_playback_speed_is_not_print() {
        let (mut score, hands) = testing::score("R: C4/1");
        assert_eq!(count(&score, &hands).tempo, PrintedTempo::Nothing);
        for (origin, expected) in [
            (TempoOrigin::Sound, PrintedTempo::PlaybackOnly),
            (TempoOrigin::Term, PrintedTempo::Words),
            (TempoOrigin::Metronome, PrintedTempo::Metronome),
            (TempoOrigin::Sound, PrintedTempo::Metronome),
        ] {
            let mark = TempoMark { onset: Quarters::ZERO, measure: 0, origin, quarter_bpm: None, text: String::new() };
            score.tempos.push(mark);
            assert_eq!(count(&score, &hands).tempo, expected);
        }
    }

    #[test]
    fn two_digits_explain_an_ornament_and_one_does_not() {
        let (score, hands) = testing::score("R: C4-2~3!trill D4-2!trill E4");
        assert_eq!(count(&score, &hands).ornaments_explained, Share { with: 1, of: 2 });
    }
}

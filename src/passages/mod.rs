//! Stretches of one hand that have a name: a scale run, an arpeggio, octaves.
//!
//! In: a line with its fingering and movements, the keys and the tempo. Out: [`Passage`]s in playing order. One file for
//! each kind of passage; every detector says what it finds, how it is measured and against which limit, and runs in one pass.

mod arpeggio;
mod awkward;
mod broken_chord;
mod chain;
mod chord;
mod double_notes;
mod leaps;
mod octaves;
mod ornaments;
mod passage;
mod repeated_notes;
mod scale_run;
mod trill;
mod view;
mod wide_stretch;

pub use chord::{Chord, Quality};
pub use passage::{Doubling, Finding, Material, Passage, PassageKind};

use self::view::View;
use crate::fingering::Fingering;
use crate::hands::Line;
use crate::keys::LocalKeys;
use crate::movements::Movement;
use crate::score::Score;
use crate::tempo::Tempo;

/// Finds the passages of one hand, in the order in which they begin.
pub fn detect_passages(
    score: &Score,
    line: &Line,
    fingering: &Fingering,
    movements: &[Movement],
    keys: &LocalKeys,
    tempo: &Tempo,
) -> Vec<Passage> {
    let view = View::new(score, line, fingering, movements, keys, tempo);
    let mut found = Vec::new();
    scale_run::detect(&view, &mut found);
    broken_chord::detect(&view, arpeggio::find(&view), &mut found);
    repeated_notes::detect(&view, &mut found);
    double_notes::detect(&view, &mut found);
    octaves::detect(&view, &mut found);
    leaps::detect(&view, &mut found);
    wide_stretch::detect(&view, &mut found);
    trill::detect(&view, &mut found);
    ornaments::detect(&view, &mut found);
    awkward::detect(&view, &mut found);
    found.sort_by_key(|passage| (passage.first_slice, passage.kind, passage.last_slice));
    found
}

#[cfg(test)]
mod tests {
    use crate::fingering::{FingerSource, Fingering};
    use crate::keys::find_keys;
    use crate::movements::measure_movements;
    use crate::passages::{Passage, detect_passages};
    use crate::testing::{line, steady};
    use crate::units::{Finger, Hand};

    /// The passages of one line of text at 120 quarters a minute. Notes without a printed finger are taken in order of
    /// the hand: a chord from the thumb outward, a single note by the third finger.
    pub(super) fn passages(text: &str) -> Vec<Passage> {
        let (score, line) = line(text);
        let mut fingers = vec![None; line.notes.len()];
        for slice in &line.slices {
            for place in 0..slice.count {
                let written = score.notes[line.notes[slice.first + place]].written.first().map(|w| w.finger);
                let outward = if line.hand == Hand::Right { place } else { slice.count - 1 - place };
                let digit = if slice.count == 1 { 2 } else { outward * 4 / (slice.count - 1) };
                fingers[slice.first + place] = written.or(Some(Finger::ALL[digit.min(4)]));
            }
        }
        let sources = vec![FingerSource::Inferred; line.notes.len()];
        let fingering = Fingering { fingers, sources, slice_costs: vec![0; line.slices.len()] };
        let tempo = steady(120.0);
        let movements = measure_movements(&score, &line, &fingering, &tempo);
        detect_passages(&score, &line, &fingering, &movements, &find_keys(&score), &tempo)
    }

    /// One line of words for each passage.
    pub(super) fn told(text: &str) -> Vec<String> {
        let tell = |passage: &Passage| {
            let mut words = vec![passage.kind.to_string()];
            let key = passage.material.map(|material| material.key_name());
            match (key, passage.detail()) {
                (Some(key), Some(detail)) => words.push(format!("{key} ({detail})")),
                (key, detail) => words.extend(key.or(detail.map(str::to_owned))),
            }
            words.extend(passage.direction.map(|direction| direction.name().to_owned()));
            words.push(format!("{}-{}", passage.first_measure + 1, passage.last_measure + 1));
            words.push(format!("{} notes", passage.notes));
            words.join(", ")
        };
        passages(text).iter().map(tell).collect()
    }

    #[test]
    fn a_line_without_notes_has_no_passages() {
        assert!(passages("R: r/1 r").is_empty());
    }

    #[test]
    fn passages_come_in_playing_order_with_their_rate_and_crossings() {
        let text = "R: key=0 C4-1/16 D4-2 E4-3 F4-1 G4-2 A4-3 B4-4 C5-5 G4/4 G4/8 G4 G4 G4";
        let found = passages(text);
        assert_eq!(found.len(), 2);
        assert!((found[0].rate - 8.0).abs() < 1e-9 && found[0].crossings == 1, "{found:?}");
        assert!((found[1].rate - 4.0).abs() < 1e-9 && found[1].crossings == 0, "{found:?}");
    }
}

//! What a player should take care of in this piece: piano practice can injure, and an estimate is not a teacher.
//!
//! In: the passages of both hands. Out: sentences for the report, first those that this piece gives a reason for, then
//! those that always hold. All of it is common practice, no source; none of it is medical advice.

use crate::drills::advice::CAUTIONS;
use crate::passages::{Passage, PassageKind};
use crate::score::Score;

/// Notes of octaves, double notes or repeated notes in one passage that call for a warning. Chosen by us: about two lines
/// of music without a rest for the wrist.
const LONG: usize = 48;

/// The cautions for a piece.
pub fn cautions(score: &Score, right: &[Passage], left: &[Passage]) -> Vec<String> {
    let first_of = |wanted: &dyn Fn(&Passage) -> bool| {
        let measures = right.iter().chain(left).filter(|passage| wanted(passage)).map(|passage| passage.first_measure);
        measures.min().and_then(|measure| score.measures.get(measure)).map(|measure| measure.number.clone())
    };
    let mut said = Vec::new();
    if let Some(measure) = first_of(&|passage| passage.kind == PassageKind::WideStretch) {
        said.push(format!("Some chords are wider than an octave, the first in measure {measure}."));
    }
    if let Some(measure) = first_of(&|passage| is_tiring(passage.kind) && passage.notes >= LONG) {
        said.push(format!(
            "Long stretches of the same movement tire the wrist (the first begins in measure {measure}): practise them in \
             short pieces, with a loose arm, and rest in between."
        ));
    }
    said.extend(CAUTIONS.iter().map(|caution| caution.text.to_owned()));
    said
}

fn is_tiring(kind: PassageKind) -> bool {
    match kind {
        PassageKind::Octaves
        | PassageKind::BrokenOctaves
        | PassageKind::DoubleNotes(_)
        | PassageKind::RepeatedNotes => true,
        PassageKind::ScaleRun
        | PassageKind::Arpeggio
        | PassageKind::BrokenChord
        | PassageKind::Leaps
        | PassageKind::WideStretch
        | PassageKind::Trill
        | PassageKind::Ornaments
        | PassageKind::AwkwardCrossing(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::Analysis;
    use crate::options::Options;

    fn said(text: &str) -> Vec<String> {
        let analysis = Analysis::of(text, &Options::default()).unwrap();
        cautions(&analysis.score, &analysis.right.passages, &analysis.left.passages)
    }

    #[test]
    fn every_piece_has_the_cautions_that_always_hold() {
        let said = said("R: C4 D4 E4 F4");
        assert_eq!(said.len(), CAUTIONS.len());
        assert!(said.iter().any(|text| text.contains("doctor")));
    }

    #[test]
    fn a_wide_chord_names_its_measure() {
        let said = said("R: C4/1 D4 [C4 F5] [D4 G5]");
        assert_eq!(said[0], "Some chords are wider than an octave, the first in measure 3.");
    }
}

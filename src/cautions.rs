//! What a player should take care of: piano practice can injure, and an estimate is not a teacher.
//!
//! In: the passages of both hands. Out: sentences for the report, first those that this piece gives a reason for. All of
//! it is common practice, no source; none of it is medical advice.

use crate::passages::{Passage, PassageKind};
use crate::score::Score;

/// Strokes of octaves, double notes or repeated notes in a row that call for a warning. Chosen by us: about two lines of
/// music without a rest for the wrist.
const LONG: usize = 48;

/// The cautions for a piece.
pub fn cautions(score: &Score, right: &[Passage], left: &[Passage]) -> Vec<String> {
    let first_of = |wanted: &dyn Fn(&Passage) -> bool| {
        let measures = right.iter().chain(left).filter(|passage| wanted(passage)).map(|passage| passage.first_measure);
        measures.min().and_then(|measure| score.measures.get(measure)).map(|measure| measure.number.clone())
    };
    let mut said = Vec::new();
    if let Some(measure) = first_of(&|passage| passage.kind == PassageKind::WideStretch) {
        said.push(format!(
            "Do not force a stretch beyond your own span (the first wide one is in measure {measure}): roll the chord, \
             share it between the hands or leave a note out."
        ));
    } else {
        said.push("Do not force a stretch beyond your own span.".to_owned());
    }
    let tiring = |passage: &Passage| {
        let kind = matches!(
            passage.kind,
            PassageKind::Octaves
                | PassageKind::DoubleNotes(_)
                | PassageKind::RepeatedNotes
                | PassageKind::BrokenOctaves
        );
        kind && passage.notes >= LONG
    };
    if let Some(measure) = first_of(&tiring) {
        said.push(format!(
            "Long stretches of the same movement tire the wrist (the first begins in measure {measure}): practise them in \
             short pieces, with a loose arm, and rest in between."
        ));
    }
    said.push("Warm up, rest often, and stop at pain.".to_owned());
    said.push("Ask a teacher about tension that stays, and a doctor about pain or numbness.".to_owned());
    said.push("The level is an estimate; the judgement of a teacher who knows the player comes first.".to_owned());
    said
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
        assert!(said.iter().any(|text| text.contains("stop at pain")));
        assert!(said.iter().any(|text| text.contains("doctor")));
        assert!(!said.iter().any(|text| text.contains("measure")));
    }

    #[test]
    fn a_wide_chord_names_its_measure() {
        let said = said("R: C4/1 D4 [C4 F5] [D4 G5]");
        assert!(said[0].contains("the first wide one is in measure 3"), "{said:?}");
    }
}

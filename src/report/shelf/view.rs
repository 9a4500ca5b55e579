//! What the reports of a shelf show alike: a piece in the words of its columns.

use crate::shelf::{Entry, NextScale, Shelf};
use crate::summary::{LevelRange, Milli, PieceSummary};
use crate::tempo::TempoSource;
use crate::units::Hand;

/// Demands shown of one piece. Chosen by us: what a teacher would name first.
const DEMANDS: usize = 3;

/// `4 (3-5)`.
pub fn level(level: &LevelRange) -> String {
    let (low, high) = (whole(level.low), whole(level.high));
    if low == high { whole(level.value).to_string() } else { format!("{} ({low}-{high})", whole(level.value)) }
}

/// The nearest whole level, 1 to 9.
pub fn whole(level: Milli) -> Milli {
    ((level + 500) / 1000).clamp(1, 9)
}

/// `elementary`, `intermediate`, `advanced`: levels 1 to 3, 4 to 6, 7 to 9.
pub fn band(level: Milli) -> &'static str {
    match whole(level) {
        ..=3 => "elementary",
        4..=6 => "intermediate",
        _ => "advanced",
    }
}

/// `96`, and in what sense, where that is not the print's.
pub fn tempo(piece: &PieceSummary) -> String {
    let bpm = piece.quarter_bpm.round();
    match piece.tempo_source {
        TempoSource::Written | TempoSource::Option => format!("{bpm}"),
        TempoSource::Term => format!("{bpm} by its term"),
        TempoSource::Assumed => format!("{bpm} assumed"),
    }
}

/// `2:05` minutes and seconds.
pub fn duration(seconds: f64) -> String {
    let seconds = seconds.round().max(0.0) as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// The demands that stand out: `speed (right hand), leaps`.
pub fn demands(piece: &PieceSummary) -> String {
    let name = |demand: &crate::summary::Demand| match demand.hand {
        Some(hand) => format!("{} ({})", demand.name, hand.name()),
        None => demand.name.clone(),
    };
    piece.main_demands(DEMANDS).into_iter().map(name).collect::<Vec<_>>().join(", ")
}

/// Kinds of passages with their keys, each once: `scale run in E-flat major, octaves`.
pub fn passages(piece: &PieceSummary) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for passage in &piece.passages {
        let name = match (&passage.key, passage.kind.as_str()) {
            (Some(key), "scale run" | "arpeggio" | "broken chord") => format!("{} in {key}", passage.kind),
            _ => passage.kind.clone(),
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The hand that bears more: `right`, `left` or `both` when neither bears three fifths.
pub fn heavier_hand(piece: &PieceSummary) -> &'static str {
    match piece.right_share {
        600.. => "right",
        ..=400 => "left",
        _ => "both",
    }
}

/// Hands that a passage kind is found in, for filters: `R`, `L` or `RL`.
pub fn hands_of(piece: &PieceSummary, kind: &str) -> String {
    let has = |hand: Hand| piece.passages.iter().any(|passage| passage.hand == hand && passage.kind == kind);
    Hand::BOTH.into_iter().filter(|hand| has(*hand)).map(Hand::letter).collect()
}

/// `1 piece`, `3 pieces`.
pub fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

/// What is on the shelf: `33 pieces; 1 left out by the filters; 2 files could not be read`.
pub fn heading(shelf: &Shelf) -> String {
    let mut parts = vec![count(shelf.entries.len(), "piece")];
    if shelf.left_out > 0 {
        parts.push(format!("{} left out by the filters", shelf.left_out));
    }
    if !shelf.broken.is_empty() {
        parts.push(format!("{} could not be read", count(shelf.broken.len(), "file")));
    }
    parts.join("; ")
}

/// What one new scale does: `to 80 %, serves 12 pieces, opens 4`.
pub fn next_scale(scale: &NextScale) -> String {
    let opens = match scale.opens {
        0 => String::new(),
        opens => format!(", opens {opens}"),
    };
    format!("to {} %, serves {}{opens}", scale.share / 10, count(scale.serves, "piece"))
}

/// Readiness in a word, empty without a player.
pub fn readiness(entry: &Entry) -> &'static str {
    entry.standing.as_ref().map_or("", |standing| standing.verdict.name())
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::readiness::Ability;
    use crate::readiness::testing::{learner, piece};
    use crate::shelf::{Broken, Query, arrange};
    use crate::summary::{DrillNeed, Era};

    /// A shelf of two pieces, one with a title that means harm, and a broken file, for a learner.
    pub fn shelf() -> Shelf {
        let learner = learner("name = \"Wren <Ashlock>\"\nlevel = 4\n");
        let ability = Ability::new(&learner, &[]);
        let drill = DrillNeed {
            scale: "E-flat major".into(),
            hands: [true, true],
            octaves: 2,
            rate: 6_000,
            covers: 900,
            isolate: None,
            measures: vec!["5".into()],
        };
        let mut harm = piece(4_600).titled("=1+1").runs("E-flat major", 6_000).demand("leaps", 600);
        harm.composer = Some("<script>alert(1)</script>".into());
        harm.drills.push(drill);
        harm.era = Some(Era::Baroque);
        let plain = piece(2_100).titled("A plain tune");
        let entries = vec![("a/harm.mxl", harm), ("a/plain.mxl", plain)];
        let entries = entries.into_iter().map(|(file, piece)| Entry::new(file.into(), piece, Some(&ability))).collect();
        let broken = Broken { file: "a/broken.xml".into(), reason: "not well-formed XML at line 3: cut off".into() };
        arrange(entries, vec![broken], &Query::default(), Some((learner.name.clone(), &ability)), 2)
    }

    #[test]
    fn levels_tempi_and_lengths_read_as_a_person_says_them() {
        assert_eq!(level(&LevelRange { value: 4_400, low: 3_300, high: 5_200 }), "4 (3-5)");
        assert_eq!(level(&LevelRange { value: 1_100, low: 900, high: 1_400 }), "1");
        assert_eq!((band(3_499), band(3_500), band(6_500)), ("elementary", "intermediate", "advanced"));
        assert_eq!(duration(125.4), "2:05");
        let mut piece = piece(3_000);
        piece.tempo_source = TempoSource::Assumed;
        assert_eq!(tempo(&piece), "96 assumed");
        assert_eq!(passages(&piece.runs("G major", 5_000)), ["scale run in G major"]);
    }

    #[test]
    fn the_heading_counts_everything() {
        assert_eq!(heading(&shelf()), "2 pieces; 1 file could not be read");
    }
}

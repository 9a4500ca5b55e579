//! From an analysis to what a shelf keeps of it.

use std::collections::{BTreeMap, BTreeSet};

use super::era::{find_composer, find_era, names_an_arranger};
use super::{CrossingDemand, Demand, DrillNeed, LevelRange, Milli, PassageGroup, PieceSummary, Reach, milli};
use crate::analysis::Analysis;
use crate::crossing::Crossing;
use crate::drills::Drill;
use crate::level::{Level, Reason, Whose};
use crate::passages::{Material, Passage};
use crate::scales::NoteName;
use crate::score::{MeasureIndex, NoteMarks};
use crate::units::Hand;

/// Narrowest chord that is kept, in semitones: a fifth. Chosen by us: no hand that plays at all finds less a stretch.
const NARROWEST: i32 = 7;

/// Passages of one kind and key are one group; so many groups are kept. Chosen by us: the rest is never looked at.
const MOST_GROUPS: usize = 64;

/// Seconds that a passage lasts at least for its speed to count. Chosen by us: six notes at ten a second.
const SHORTEST_SECONDS: f64 = 0.6;

/// Measures kept of what a drill serves. Chosen by us: enough to open the music at the place.
const MOST_MEASURES: usize = 4;

/// Characters kept of a title or a name. Chosen by us: longer ones are prose.
const MOST_CHARACTERS: usize = 160;

/// Keeps what a shelf needs.
pub fn summarise(analysis: &Analysis) -> PieceSummary {
    let score = &analysis.score;
    let composer = score.composer.as_deref().filter(|name| !names_an_arranger(name));
    let composer = composer.or_else(|| find_composer(&score.credits)).or(score.composer.as_deref());
    let mut keys = analysis.keys.signatures(score).into_iter().map(|(_, key)| key);
    // Many exports call every signature major; the key in which the music ends tells minor from its relative.
    let key =
        keys.next().map(|first| analysis.keys.home().filter(|home| home.fifths() == first.fifths()).unwrap_or(first));
    let mut later_keys: Vec<String> = keys.filter(|later| Some(*later) != key).map(|key| key.to_string()).collect();
    let key = key.map(|key| key.to_string());
    later_keys.sort();
    later_keys.dedup();
    let end = score.measures.last().map_or(0.0, |last| analysis.tempo.seconds(last.onset + last.duration));
    PieceSummary {
        title: score.title.as_deref().and_then(one_line),
        composer: composer.and_then(one_line),
        era: find_era(composer, &score.credits),
        measures: score.measures.len(),
        notes: Hand::BOTH.map(|hand| analysis.line(hand).notes.len()),
        seconds: if end.is_finite() { end } else { 0.0 },
        quarter_bpm: analysis.tempo.quarter_bpm,
        tempo_source: analysis.tempo.source,
        key,
        later_keys,
        level: level_range(&analysis.level),
        demands: demands(analysis),
        right_share: right_share(analysis),
        crossings: crossings(analysis),
        passages: passages(analysis),
        drills: drills(analysis),
        reaches: Hand::BOTH.map(|hand| reaches(analysis, hand)),
        edition: analysis.edition.clone(),
        remarks: analysis.remarks.len(),
    }
}

/// Text on one line, cut where it is prose; nothing for nothing.
fn one_line(text: &str) -> Option<String> {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(MOST_CHARACTERS).collect();
    (!line.is_empty()).then_some(line)
}

fn level_range(level: &Level) -> LevelRange {
    let whole = |level: u8| Milli::from(level) * 1000;
    LevelRange { value: milli(level.value), low: whole(level.low), high: whole(level.high) }
}

/// The reasons of the level, strongest first.
fn demands(analysis: &Analysis) -> Vec<Demand> {
    let demand = |reason: &Reason| Demand {
        name: reason.name.to_owned(),
        hand: match reason.hand {
            Whose::R => Some(Hand::Right),
            Whose::L => Some(Hand::Left),
            Whose::Both => None,
        },
        value: reason.value,
        unit: reason.unit.to_owned(),
        points: milli(reason.points),
        measures: ends(analysis, reason.rows),
    };
    analysis.level.reasons.iter().map(demand).collect()
}

/// Printed numbers of the first and the last measure, one where they are the same.
fn ends(analysis: &Analysis, (first, last): (MeasureIndex, MeasureIndex)) -> Vec<String> {
    let mut ends = vec![number(analysis, first), number(analysis, last)];
    ends.dedup();
    ends
}

fn number(analysis: &Analysis, measure: MeasureIndex) -> String {
    analysis.score.measures.get(measure).map_or_else(String::new, |measure| measure.number.clone())
}

/// Share of the fingering's effort that falls on the right hand, in thousandths.
fn right_share(analysis: &Analysis) -> i64 {
    let effort = |hand| {
        let costs = &analysis.playing(hand).fingering.slice_costs;
        costs.iter().fold(0_i64, |sum, cost| sum.saturating_add(i64::from((*cost).max(0))))
    };
    let [right, left] = Hand::BOTH.map(effort);
    right.saturating_mul(1000).checked_div(right.saturating_add(left)).unwrap_or(500)
}

fn crossings(analysis: &Analysis) -> Vec<CrossingDemand> {
    let mut all: BTreeMap<Crossing, (usize, u64, f64, MeasureIndex)> = BTreeMap::new();
    for movement in Hand::BOTH.iter().flat_map(|hand| &analysis.playing(*hand).movements) {
        let Some(crossing) = movement.crossing() else { continue };
        let measure = analysis.score.notes.get(movement.to).map_or(0, |note| note.measure);
        let (count, effort, hardest, place) = all.entry(crossing).or_insert((0, 0, -1.0, measure));
        *count += 1;
        *effort = effort.saturating_add(milli(movement.effort.max(0.0)).unsigned_abs());
        if movement.effort > *hardest {
            (*hardest, *place) = (movement.effort, measure);
        }
    }
    all.into_iter()
        .map(|(crossing, (count, effort, _, place))| CrossingDemand {
            crossing,
            count,
            effort,
            measure: number(analysis, place),
        })
        .collect()
}

/// The drills of the piece, in the order in which they help most.
fn drills(analysis: &Analysis) -> Vec<DrillNeed> {
    let need = |drill: &Drill| {
        let measures: BTreeSet<MeasureIndex> =
            drill.because.iter().flat_map(|reason| reason.measures.iter().copied()).collect();
        DrillNeed {
            scale: drill.scale.to_string(),
            hands: Hand::BOTH.map(|hand| drill.hand.is_none_or(|own| own == hand)),
            octaves: drill.octaves,
            rate: milli(drill.rate),
            covers: milli(drill.covers),
            isolate: drill.isolate.map(|step| format!("{} to {}", NoteName::from(step.from), NoteName::from(step.to))),
            measures: measures.into_iter().take(MOST_MEASURES).map(|measure| number(analysis, measure)).collect(),
        }
    };
    analysis.drills.list.iter().map(need).collect()
}

/// Groups of passages, those of most notes first.
fn passages(analysis: &Analysis) -> Vec<PassageGroup> {
    let mut groups: BTreeMap<(Hand, &'static str, Option<String>), Vec<&Passage>> = BTreeMap::new();
    for passage in Hand::BOTH.iter().flat_map(|hand| &analysis.playing(*hand).passages) {
        // A run is named by its scale, with the form; a chord or a key by its key.
        let key = passage.material.as_ref().map(|material| match material {
            Material::Scale(scale) => scale.to_string(),
            other => other.key_name(),
        });
        groups.entry((passage.hand, passage.kind.name(), key)).or_default().push(passage);
    }
    let mut groups: Vec<PassageGroup> = groups
        .into_iter()
        .map(|((hand, kind, key), passages)| {
            // A flourish of small notes is over before it is a speed.
            let lasting = passages.iter().copied().filter(|p| p.notes as f64 >= p.rate * SHORTEST_SECONDS);
            let fastest = lasting.reduce(|a, b| if b.rate > a.rate { b } else { a });
            PassageGroup {
                hand,
                kind: kind.to_owned(),
                key,
                count: passages.len(),
                notes: passages.iter().map(|passage| passage.notes).sum(),
                rate: fastest.map_or(0, |passage| milli(passage.rate)),
                measures: fastest.map_or_else(Default::default, |passage| {
                    [number(analysis, passage.first_measure), number(analysis, passage.last_measure)]
                }),
            }
        })
        .collect();
    // A stable sort: equals stay by hand, kind and key.
    groups.sort_by_key(|group| std::cmp::Reverse(group.notes));
    groups.truncate(MOST_GROUPS);
    groups
}

/// Chords struck by one hand at once, by width; rolled ones ask for no span.
fn reaches(analysis: &Analysis, hand: Hand) -> Vec<Reach> {
    let score = &analysis.score;
    let line = analysis.line(hand);
    let mut widths: BTreeMap<i32, (usize, MeasureIndex)> = BTreeMap::new();
    for slice in &line.slices {
        let ids = line.notes.get(slice.first..slice.first.saturating_add(slice.count)).unwrap_or_default();
        let notes = || ids.iter().filter_map(|id| score.notes.get(*id));
        let keys = || notes().map(|note| i32::from(note.midi.number()));
        let (Some(low), Some(high), Some(first)) = (keys().min(), keys().max(), notes().next()) else { continue };
        if high - low >= NARROWEST && !notes().any(|note| note.marks.contains(NoteMarks::ARPEGGIO)) {
            widths.entry(high - low).or_insert((0, first.measure)).0 += 1;
        }
    }
    widths
        .into_iter()
        .map(|(semitones, (count, measure))| Reach { semitones, count, measure: number(analysis, measure) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;

    fn of(text: &str) -> PieceSummary {
        summarise(&Analysis::of(text, &Options { quarter_bpm: Some(60.0), ..Options::default() }).unwrap())
    }

    #[test]
    fn a_scale_run_is_kept_with_its_scale_its_speed_and_its_crossings() {
        let piece = of("R: C4/16 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6/4");
        let run = piece.passages.iter().find(|group| group.kind == "scale run").unwrap();
        assert_eq!((run.hand, run.key.as_deref(), run.rate), (Hand::Right, Some("C major"), 4_000));
        assert_eq!(piece.crossings.iter().map(|crossing| crossing.count).sum::<usize>(), 3);
        assert!(piece.crossings.iter().all(|crossing| crossing.effort > 0 && crossing.measure == "1"));
        assert_eq!(piece.right_share, 1000);
        assert_eq!((piece.notes, piece.measures), ([15, 0], 2));
    }

    #[test]
    fn wide_chords_are_counted_by_width_and_rolled_ones_are_not() {
        let piece = of("L: [C3 C4] [C3 C4] [C2 E3]!roll [C3 E4]");
        let widths: Vec<(i32, usize)> = piece.reaches[1].iter().map(|reach| (reach.semitones, reach.count)).collect();
        assert_eq!(widths, [(12, 2), (16, 1)]);
        assert_eq!(piece.reaches[0], []);
    }

    #[test]
    fn names_are_one_line_and_not_endless() {
        assert_eq!(one_line(" Wolfgang\n Amadeus  Mozart "), Some("Wolfgang Amadeus Mozart".into()));
        assert_eq!(one_line(" \n"), None);
        assert_eq!(one_line(&"x".repeat(10_000)).unwrap().len(), MOST_CHARACTERS);
    }
}

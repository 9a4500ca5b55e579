//! What several reports show alike: measures by their printed numbers, beats, ranges of pitch, the hardest crossings.

use std::collections::BTreeMap;
use std::ops::Range;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::analysis::Analysis;
use crate::crossing::CrossingKind;
use crate::hands::{Line, Slice};
use crate::movements::{Movement, MovementKind};
use crate::passages::{Material, Passage};
use crate::scales::{Form, Key};
use crate::score::{MeasureIndex, NoteId, Score, TimeMark};
use crate::tempo::TempoSource;
use crate::units::{Finger, Hand, Motion, Pitch};

/// The printed number of a measure.
pub fn number(score: &Score, measure: MeasureIndex) -> &str {
    score.measures.get(measure).map_or("", |measure| measure.number.as_str())
}

/// The beat of a note in its measure, counted from 1 in the note value of the time signature.
///
/// In a pickup the beats are those at the end of a full measure, and the second piece of a measure that is split in two
/// (at a repeat, for instance) goes on counting.
pub fn beat(score: &Score, note: NoteId) -> f64 {
    let Some(note) = score.notes.get(note) else { return 1.0 };
    let Some(measure) = score.measures.get(note.measure) else { return 1.0 };
    let known = score.times.partition_point(|time| time.onset <= measure.onset);
    let time = known.checked_sub(1).and_then(|last| score.times.get(last));
    let (beats, unit) = time.map_or((4, 4), |time| (time.beats.max(1), time.beat_type.max(1)));
    let beats_in = |quarters: f64| quarters * f64::from(unit) / 4.0;
    let before = match note.measure.checked_sub(1).and_then(|previous| score.measures.get(previous)) {
        None if !measure.onset.is_zero() => 0.0,
        None => (f64::from(beats) - beats_in(measure.duration.to_f64())).max(0.0),
        Some(previous) if previous.number == measure.number => beats_in(previous.duration.to_f64()),
        Some(_) => 0.0,
    };
    1.0 + before + beats_in((note.onset - measure.onset).to_f64())
}

/// A beat as a person says it: `3`, `2.5`, `1.33`.
pub fn beat_text(beat: f64) -> String {
    let text = format!("{beat:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Printed numbers of measures, neighbours drawn together, at most `most` pieces: `3, 7-9, 12 and 4 more`.
pub fn measure_list(score: &Score, measures: impl IntoIterator<Item = MeasureIndex>, most: usize) -> String {
    let mut runs: Vec<(MeasureIndex, MeasureIndex)> = Vec::new();
    for measure in measures {
        match runs.last_mut() {
            Some((_, last)) if measure == *last => {}
            Some((_, last)) if measure == *last + 1 => *last = measure,
            _ => runs.push((measure, measure)),
        }
    }
    let shown = runs.iter().take(most).map(|(first, last)| measure_range(score, *first, *last));
    let mut text = shown.collect::<Vec<_>>().join(", ");
    let hidden: usize = runs.iter().skip(most).map(|(first, last)| last - first + 1).sum();
    if hidden > 0 {
        text.push_str(&format!(" and {hidden} more"));
    }
    text
}

/// The same in at most so many columns, as many pieces as fit.
pub fn measure_list_within(score: &Score, measures: &[MeasureIndex], columns: usize) -> String {
    let mut text = measure_list(score, measures.iter().copied(), 1);
    for most in 2.. {
        let longer = measure_list(score, measures.iter().copied(), most);
        if longer.width() > columns || longer == text {
            break;
        }
        text = longer;
    }
    text
}

/// `7` or `7-9`.
pub fn measure_range(score: &Score, first: MeasureIndex, last: MeasureIndex) -> String {
    let (from, to) = (number(score, first), number(score, last));
    if from == to { from.to_owned() } else { format!("{from}-{to}") }
}

/// Lowest and highest key a hand plays, as spelled.
pub fn reach(analysis: &Analysis, hand: Hand) -> Option<(Pitch, Pitch)> {
    let notes = || analysis.line(hand).notes.iter().map(|id| &analysis.score.notes[*id]);
    let low = notes().min_by_key(|note| note.midi)?;
    let high = notes().max_by_key(|note| note.midi)?;
    Some((low.pitch, high.pitch))
}

/// The measure in which a hand strikes most notes a second, and how many.
pub fn busiest(analysis: &Analysis, hand: Hand) -> Option<(MeasureIndex, f64)> {
    let loads = &analysis.playing(hand).loads;
    let (at, load) = loads.iter().enumerate().rev().max_by(|(_, a), (_, b)| {
        a.notes_per_second.total_cmp(&b.notes_per_second) // the first of equals, since the order is reversed
    })?;
    (load.notes > 0).then_some((at, load.notes_per_second))
}

/// How many crossings of one kind a hand makes.
pub fn crossings(analysis: &Analysis, hand: Hand, kind: CrossingKind) -> usize {
    analysis.playing(hand).movements.iter().filter(|movement| movement.kind == MovementKind::Crossing(kind)).count()
}

/// Spots that a page shows. Chosen by us: three are what a learner can take home.
pub const SPOTS: usize = 3;

/// Slices shown on either side of a spot on a page. Chosen by us: enough to see where the hand comes from and goes to.
pub const AROUND: usize = 3;

/// A crossing and everywhere it comes.
#[derive(Clone, Debug)]
pub struct Spot<'a> {
    /// The hardest time it comes.
    pub movement: &'a Movement,
    /// Which kind.
    pub kind: CrossingKind,
    /// The measure of every time it comes, in order.
    pub measures: Vec<MeasureIndex>,
}

/// The hardest crossings of both hands, hardest first, each pair of keys and fingers once.
///
/// Equal efforts are ordered by the place in the score, the right hand first.
pub fn hardest(analysis: &Analysis, most: usize) -> Vec<Spot<'_>> {
    let mut spots: BTreeMap<(Hand, u8, u8, Finger, Finger), Spot<'_>> = BTreeMap::new();
    for hand in Hand::BOTH {
        for movement in &analysis.playing(hand).movements {
            let MovementKind::Crossing(kind) = movement.kind else { continue };
            let (from, to) = (&analysis.score.notes[movement.from], &analysis.score.notes[movement.to]);
            let key = (hand, from.midi.number(), to.midi.number(), movement.from_finger, movement.to_finger);
            let spot = spots.entry(key).or_insert_with(|| Spot { movement, kind, measures: Vec::new() });
            spot.measures.push(to.measure);
            if movement.effort > spot.movement.effort {
                spot.movement = movement;
            }
        }
    }
    let mut spots: Vec<Spot<'_>> = spots.into_values().collect();
    spots.sort_by(|a, b| {
        let (hardest, place) = (b.movement.effort.total_cmp(&a.movement.effort), a.movement.to.cmp(&b.movement.to));
        hardest.then(place)
    });
    spots.truncate(most);
    spots
}

/// One note of a strip that shows a spot: pitch, finger, and whether it is reached by the crossing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StripNote {
    /// As spelled.
    pub pitch: Pitch,
    /// The finger on it.
    pub finger: Option<Finger>,
    /// True for the note that the crossing reaches.
    pub reached: bool,
}

/// Every note of a hand around a movement, `around` slices before and after it.
pub fn notes_around(analysis: &Analysis, movement: &Movement, around: usize) -> Vec<NoteId> {
    let line = analysis.line(movement.hand);
    let notes = slices_around(line, movement, around).filter_map(|(_, slice)| line.notes.get(notes_of(slice)));
    notes.flatten().copied().collect()
}

/// Where the notes of a slice lie in their line.
fn notes_of(slice: &Slice) -> Range<usize> {
    slice.first..slice.first + slice.count
}

/// The slices around a movement with their index.
fn slices_around<'a>(
    line: &'a Line,
    movement: &Movement,
    around: usize,
) -> impl Iterator<Item = (usize, &'a Slice)> + use<'a> {
    let first = movement.slice.saturating_sub(around + 1);
    line.slices.iter().enumerate().skip(first).take(movement.slice + around + 1 - first)
}

/// The notes of a hand around a movement, `around` slices before and after, the top note of a right-hand chord and the
/// bottom note of a left-hand one.
pub fn strip(analysis: &Analysis, movement: &Movement, around: usize) -> Vec<StripNote> {
    let line = analysis.line(movement.hand);
    let fingering = &analysis.playing(movement.hand).fingering;
    let note = |(index, slice): (usize, &Slice)| {
        let range = notes_of(slice);
        let named = if index == movement.slice { Some(movement.to) } else { None };
        let named = if index + 1 == movement.slice { Some(movement.from) } else { named };
        let outer = if movement.hand == Hand::Right { range.end.checked_sub(1)? } else { range.start };
        let at = named.and_then(|id| range.clone().find(|at| line.notes.get(*at) == Some(&id))).unwrap_or(outer);
        let pitch = analysis.score.notes.get(*line.notes.get(at)?)?.pitch;
        Some(StripNote {
            pitch,
            finger: fingering.fingers.get(at).copied().flatten(),
            reached: index == movement.slice,
        })
    };
    slices_around(line, movement, around).filter_map(note).collect()
}

/// Passages of one hand that have the same name.
#[derive(Clone, Debug)]
pub struct PassageGroup<'a> {
    /// Whose.
    pub hand: Hand,
    /// `scale run, E-flat major`.
    pub name: String,
    /// All of them, in playing order.
    pub passages: Vec<&'a Passage>,
}

impl PassageGroup<'_> {
    /// Notes of the longest.
    pub fn longest(&self) -> usize {
        self.passages.iter().map(|passage| passage.notes).max().unwrap_or(0)
    }

    /// `up`, `down`, or `both`; nothing where they have no direction.
    pub fn way(&self) -> &'static str {
        let goes = |motion| self.passages.iter().any(|passage| passage.direction == Some(motion));
        match (goes(Motion::Up), goes(Motion::Down)) {
            (true, true) => "both",
            (true, false) => Motion::Up.name(),
            (false, true) => Motion::Down.name(),
            (false, false) => "",
        }
    }

    /// Strokes a second of the fastest.
    pub fn fastest(&self) -> f64 {
        self.passages.iter().map(|passage| passage.rate).fold(0.0, f64::max)
    }

    /// Every measure they touch, in order.
    pub fn measures(&self) -> Vec<MeasureIndex> {
        let mut measures: Vec<MeasureIndex> =
            self.passages.iter().flat_map(|passage| passage.first_measure..=passage.last_measure).collect();
        measures.sort_unstable();
        measures.dedup();
        measures
    }
}

/// The passages of both hands by name: kinds in the order of [`PassageKind`](crate::passages::PassageKind), in each those
/// with most notes first, then by place.
pub fn passages(analysis: &Analysis) -> Vec<PassageGroup<'_>> {
    let mut groups: Vec<PassageGroup<'_>> = Vec::new();
    for hand in Hand::BOTH {
        for passage in &analysis.playing(hand).passages {
            let name = passage_name(passage);
            match groups.iter_mut().find(|group| group.hand == hand && group.name == name) {
                Some(group) => group.passages.push(passage),
                None => groups.push(PassageGroup { hand, name, passages: vec![passage] }),
            }
        }
    }
    groups.sort_by_key(|group| {
        let notes: usize = group.passages.iter().map(|passage| passage.notes).sum();
        (group.passages[0].kind, std::cmp::Reverse(notes))
    });
    groups
}

/// What a passage is, by what one practises: `scale run, C harmonic minor`, `double notes, thirds`, `arpeggio`.
fn passage_name(passage: &Passage) -> String {
    match (passage.material, passage.detail()) {
        (Some(Material::Scale(scale)), _) if scale.form() == Form::Chromatic => {
            format!("{}, {}", passage.kind, scale.form())
        }
        (Some(Material::Scale(scale)), _) => format!("{}, {scale}", passage.kind),
        (_, Some(detail)) => format!("{}, {detail}", passage.kind),
        (_, None) => passage.kind.to_string(),
    }
}

/// The keys of the signatures with the measures where they begin.
pub fn keys(analysis: &Analysis) -> Vec<(MeasureIndex, Key)> {
    analysis.keys.signatures(&analysis.score)
}

/// Time signatures, the first and where it changes: `4/4`, `3/8 from measure 17`.
pub fn times(score: &Score) -> Vec<String> {
    let marks = score.times.iter().map(|time| (time.measure, time.text.clone()));
    changes(score, marks.filter(|(_, text)| !text.is_empty()))
}

/// What changes over the measures: the first as it is, the others with the measure they begin in.
fn changes(score: &Score, marks: impl Iterator<Item = (MeasureIndex, String)>) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let mut current = None;
    for (measure, text) in marks {
        if current.as_ref() != Some(&text) {
            let from = if measure == 0 { String::new() } else { format!(" from measure {}", number(score, measure)) };
            said.push(format!("{text}{from}"));
            current = Some(text);
        }
    }
    said
}

/// The title, or the name of the file where the score has none.
pub fn title<'a>(analysis: &'a Analysis, file: &'a str) -> String {
    let title = analysis.score.title.as_deref().map(clean).filter(|title| !title.is_empty());
    title.unwrap_or_else(|| clean(file))
}

/// The composer, if the score names one.
pub fn composer(analysis: &Analysis) -> Option<String> {
    analysis.score.composer.as_deref().map(clean).filter(|composer| !composer.is_empty())
}

/// Short facts: measures, keys, times.
pub fn facts(analysis: &Analysis) -> Vec<String> {
    let score = &analysis.score;
    let count = score.measures.len();
    let mut facts = vec![match &analysis.excerpt {
        Some(excerpt) => {
            let measures = measure_range(score, 0, count.saturating_sub(1));
            format!("excerpt: measures {measures} ({count} of {})", excerpt.of)
        }
        None if count == 1 => "1 measure".to_owned(),
        None => format!("{count} measures"),
    }];
    let keys = keys(analysis).into_iter().map(|(measure, key)| (measure, key.to_string()));
    facts.extend(changes(score, keys));
    facts.extend(times(score));
    facts
}

/// The tempo and where it comes from, in the beat of the first time signature: `dotted quarter note = 92 a minute`.
pub fn tempo(analysis: &Analysis) -> String {
    let source = match analysis.tempo.source {
        TempoSource::Written => "as the score says",
        TempoSource::Term => "from the words of the score",
        TempoSource::Assumed => {
            "assumed, for the score gives no tempo: take everything that depends on speed with care"
        }
        TempoSource::Option => "as asked for",
    };
    let (beat, quarters) = first_beat(analysis);
    format!("{beat} = {:.0} a minute, {source}", analysis.tempo.quarter_bpm / quarters)
}

/// The beat of the first time signature: its name and its length in quarters.
pub fn first_beat(analysis: &Analysis) -> (&'static str, f64) {
    let compound = |time: &TimeMark| time.beat_type == 8 && time.beats > 3 && time.beats.is_multiple_of(3);
    match analysis.score.times.first() {
        Some(time) if compound(time) => ("dotted quarter note", 1.5),
        Some(time) if time.beat_type == 2 => ("half note", 2.0),
        _ => ("quarter note", 1.0),
    }
}

/// The text with a capital letter in front.
pub fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// Where a spot is: `right hand, finger over, measure 31 beat 2.5`.
pub fn spot_place(analysis: &Analysis, spot: &Spot<'_>) -> String {
    let kind = match spot.kind {
        CrossingKind::ThumbUnder => "thumb under",
        CrossingKind::FingerOver => "finger over",
    };
    let to = spot.movement.to;
    let measure = analysis.score.notes.get(to).map_or(0, |note| note.measure);
    let (measure, beat) = (number(&analysis.score, measure), beat_text(beat(&analysis.score, to)));
    format!("{}, {kind}, measure {measure} beat {beat}", spot.movement.hand.name())
}

/// How often a spot comes, and where: `7 times: measures 3, 7-9`.
pub fn spot_times(analysis: &Analysis, spot: &Spot<'_>) -> String {
    /// Pieces of the list that are shown before the rest is only counted.
    const MOST: usize = 8;
    let list = measure_list(&analysis.score, spot.measures.iter().copied(), MOST);
    format!("{} times: measures {list}", spot.measures.len())
}

/// The first measure in which the load of a hand is highest, and how high, in effort a second.
pub fn peak(analysis: &Analysis, hand: Hand) -> Option<(MeasureIndex, f64)> {
    let loads = analysis.playing(hand).loads.iter().enumerate();
    let (at, load) = loads.rev().max_by(|(_, a), (_, b)| a.effort_per_second.total_cmp(&b.effort_per_second))?;
    (load.notes > 0).then_some((at, load.effort_per_second))
}

/// Text of a score on one line and without characters that could steer a terminal or turn the text around them: control
/// and format characters become spaces.
pub fn clean(text: &str) -> String {
    let harmless = |c: char| if c.is_control() || is_format(c) { ' ' } else { c };
    text.chars().map(harmless).collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Characters that turn the direction of the text around them (Unicode Standard Annex 9, table 1), or show nothing.
fn is_format(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// The text cut to a number of columns, with an ellipsis where something is missing.
pub fn cut(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut width = 0;
    for c in text.chars() {
        width += c.width().unwrap_or(0);
        if width >= columns {
            break;
        }
        kept.push(c);
    }
    kept.push('…');
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;
    use crate::testing;

    #[test]
    fn a_title_cannot_steer_the_terminal() {
        assert_eq!(clean("Waltz\u{1b}[2J\n\u{9b}31m for\u{202e} two"), "Waltz [2J 31m for two");
    }

    #[test]
    fn cut_text_says_that_something_is_missing() {
        assert_eq!(cut("sonatina", 8), "sonatina");
        assert_eq!(cut("sonatina", 6), "sonat…");
    }

    #[test]
    fn beats_are_counted_in_the_time_signature_and_a_pickup_counts_from_its_end() {
        let (mut score, _) = testing::score("R: time=3/4 C4/8 D4 E4 F4 G4 A4");
        assert_eq!(beat_text(beat(&score, 3)), "2.5");
        score.measures[0].duration = crate::units::Quarters::whole(1);
        assert_eq!(beat_text(beat(&score, 1)), "3.5");
    }

    #[test]
    fn neighbouring_measures_are_drawn_together() {
        let (score, _) = testing::score("R: C4/1 C4 C4 C4 C4 C4 C4");
        assert_eq!(measure_list(&score, [0, 0, 2, 3, 4, 6], 8), "1, 3-5, 7");
        assert_eq!(measure_list(&score, [0, 2, 3, 6], 1), "1 and 3 more");
    }

    #[test]
    fn the_same_crossing_is_one_spot_with_all_its_measures() {
        let text = "R: C4-1 D4-2 E4-3 F4-1 C4-1 D4-2 E4-3 F4-1";
        let analysis = Analysis::of(text, &Options::default()).unwrap();
        let spots = hardest(&analysis, 3);
        assert_eq!(spots.len(), 1);
        assert_eq!(spots[0].measures, [0, 1]);
        let strip = strip(&analysis, spots[0].movement, 1);
        let fingers: Vec<u8> = strip.iter().filter_map(|note| note.finger).map(Finger::number).collect();
        assert_eq!(fingers, [2, 3, 1, 1]);
        assert!(strip[2].reached);
    }
}

//! Which tempo a score has.
//!
//! A printed metronome mark says it; without one the playback tempo of the file; without that the term in words; without
//! any the texture. What is asked for goes before all of them.

use super::meter::quarter_bpm;
use super::texture::assume_speed;
use super::{Tempo, TempoSource};
use crate::error::{Place, Remarks};
use crate::hands::Hands;
use crate::score::{DirectionKind, Measure, Score, TempoMark, TempoOrigin, TimeMark};
use crate::terms::{is_passing_change, read_pace};
use crate::units::Quarters;

/// Two statements about one place contradict each other from this ratio on. Chosen by us: a metronome mark and its playback
/// are rounded differently, by a few hundredths at most.
const CONTRADICTION: f64 = 1.05;

/// A term and a playback tempo contradict each other from this ratio on. Chosen by us: terms are wide.
const TERM_CONTRADICTION: f64 = 1.7;

/// Chooses the tempo of a score; `asked` is in quarter notes a minute.
pub fn choose_tempo(score: &Score, hands: &Hands, asked: Option<f64>, remarks: &mut Remarks) -> Tempo {
    if let Some(asked) = asked.filter(|asked| asked.is_finite() && *asked > 0.0) {
        return Tempo::constant(asked, TempoSource::Option);
    }
    let end = score.measures.last().map_or(Quarters::ZERO, |last| last.onset + last.duration);
    let mut speeds: Vec<(Quarters, f64, TempoSource)> = Vec::new();
    let mut rest = score.tempos.as_slice();
    while let Some(first) = rest.first() {
        let here = rest.iter().take_while(|mark| mark.onset == first.onset).count();
        let (marks, later) = rest.split_at(here);
        rest = later;
        if let Some((speed, source)) = speed_here(score, marks, speeds.is_empty(), remarks) {
            speeds.push((first.onset, speed, source));
        }
    }
    if let Some(tempo) = Tempo::changing(&speeds, end) {
        if tempo.source == TempoSource::Term {
            let term = score.tempos.iter().find(|mark| mark.origin == TempoOrigin::Term);
            let text = term.map(|mark| mark.text.clone()).unwrap_or_default();
            remarks.add(
                Place::default(),
                format!("no metronome mark; the tempo is named `{text}`"),
                format!(
                    "taken as {:.0} quarter notes a minute; the real speed changes what is hard",
                    tempo.quarter_bpm
                ),
            );
        }
        return tempo;
    }
    let assumed = assume_speed(score, hands);
    remarks.add(
        Place::default(),
        "no tempo in the file",
        format!("assumed {assumed:.0} quarter notes a minute from the note values; set it with `--tempo`"),
    );
    Tempo::constant(assumed, TempoSource::Assumed)
}

/// The speed that the marks at one place ask for.
fn speed_here(score: &Score, marks: &[TempoMark], first: bool, remarks: &mut Remarks) -> Option<(f64, TempoSource)> {
    let written = |origin| marks.iter().filter(move |mark| mark.origin == origin).filter_map(|mark| mark.quarter_bpm);
    let metronome = written(TempoOrigin::Metronome).next();
    // Playback obeys the last of several commands at one place.
    let sound = written(TempoOrigin::Sound).next_back();
    if metronome.is_none() && !first && marks.first().is_some_and(|mark| is_passing(score, mark.onset)) {
        return None;
    }
    let time = marks.first().and_then(|mark| time_at(&score.times, mark.onset));
    let term = marks
        .iter()
        .filter(|mark| mark.origin == TempoOrigin::Term)
        .filter_map(|mark| read_pace(&mark.text))
        // In the middle of a piece a word of character asks for expression.
        .find(|pace| first || !pace.character)
        .map(|pace| quarter_bpm(pace, time));
    let place = || place_of(&score.measures, marks);
    if let (Some(printed), Some(played)) = (metronome, sound)
        && ratio(printed, played) > CONTRADICTION
    {
        remarks.add(
            place(),
            format!("the metronome mark says {printed:.0} quarter notes a minute and the playback {played:.0}"),
            "the printed one was taken",
        );
    }
    if let (None, Some(played), Some(meant)) = (metronome, sound, term)
        && ratio(played, meant) > TERM_CONTRADICTION
    {
        remarks.add(
            place(),
            format!("the playback tempo, {played:.0} quarter notes a minute, does not fit the word beside it"),
            "the playback tempo was taken",
        );
    }
    match (metronome.or(sound), term) {
        (Some(speed), _) => Some((speed, TempoSource::Written)),
        (None, Some(speed)) => Some((speed, TempoSource::Term)),
        (None, None) => None,
    }
}

/// True where the words say that the tempo only gives way or presses on: the playback tempo beside `rit.` or `ten.` is a
/// moment of a performance, and in real files often stays in force by mistake.
fn is_passing(score: &Score, onset: Quarters) -> bool {
    let from = score.directions.partition_point(|direction| direction.onset < onset);
    let here = score.directions[from..].iter().take_while(|direction| direction.onset == onset);
    here.filter_map(|direction| match &direction.kind {
        DirectionKind::Words(words) => Some(words),
        _ => None,
    })
    .any(|words| is_passing_change(words))
}

/// The time signature in force.
fn time_at(times: &[TimeMark], onset: Quarters) -> Option<&TimeMark> {
    times.get(times.partition_point(|time| time.onset <= onset).checked_sub(1)?)
}

fn ratio(a: f64, b: f64) -> f64 {
    if a > b { a / b } else { b / a }
}

fn place_of(measures: &[Measure], marks: &[TempoMark]) -> Place {
    let measure = marks.first().and_then(|mark| measures.get(mark.measure));
    Place { measure: measure.map(|measure| measure.number.clone()), ..Place::default() }
}

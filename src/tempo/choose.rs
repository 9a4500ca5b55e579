//! Which tempo a score has.
//!
//! A printed metronome mark says it; without one the playback tempo of the file, unless it is what programs write where
//! nobody chose one; without that the term in words; without any the texture. What is asked for goes before all of them.

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

/// What programs write where nobody chose a tempo, in quarter notes a minute: the tempo of a Standard MIDI File 1.0 that
/// sets none.
const UNCHOSEN: f64 = 120.0;

/// Chooses the tempo of a score; `asked` is in quarter notes a minute.
pub fn choose_tempo(score: &Score, hands: &Hands, asked: Option<f64>, remarks: &mut Remarks) -> Tempo {
    if let Some(asked) = asked.filter(|asked| asked.is_finite() && *asked > 0.0) {
        return Tempo::constant(asked, TempoSource::Option);
    }
    let end = score.measures.last().map_or(Quarters::ZERO, |last| last.onset + last.duration);
    let unchosen = is_unchosen(&score.tempos);
    let counted = score.tempos.iter().filter(|mark| !unchosen || mark.origin == TempoOrigin::Term);
    let counted: Vec<&TempoMark> = counted.collect();
    let mut speeds: Vec<(Quarters, f64, TempoSource)> = Vec::new();
    for marks in counted.chunk_by(|a, b| a.onset == b.onset) {
        if let (Some(first), Some((speed, source))) =
            (marks.first(), speed_here(score, marks, speeds.is_empty(), remarks))
        {
            speeds.push((first.onset, speed, source));
        }
    }
    if let Some(tempo) = Tempo::changing(&speeds, end) {
        if tempo.source == TempoSource::Term {
            let term = score.tempos.iter().find(|mark| mark.origin == TempoOrigin::Term);
            let text = term.map_or("", |mark| mark.text.as_str());
            let speed = format!("{:.0} quarter notes a minute", tempo.quarter_bpm);
            let (found, assumed) = if unchosen {
                (PASSED_OVER.to_owned(), format!("taken from `{text}` as {speed}; set it with `--tempo`"))
            } else {
                (
                    format!("no metronome mark; the tempo is named `{text}`"),
                    format!("taken as {speed}; the real speed changes what is hard"),
                )
            };
            remarks.add(Place::default(), found, assumed);
        }
        return tempo;
    }
    let assumed = assume_speed(score, hands);
    remarks.add(
        Place::default(),
        if unchosen { PASSED_OVER } else { "no tempo in the file" },
        format!("assumed {assumed:.0} quarter notes a minute from the note values; set it with `--tempo`"),
    );
    Tempo::constant(assumed, TempoSource::Assumed)
}

/// What is said of [`UNCHOSEN`].
const PASSED_OVER: &str =
    "no metronome mark, and the only playback tempo is 120, which programs write where none was chosen";

/// True when the file holds one speed, [`UNCHOSEN`] for playback at its beginning, for one part or several. A file with
/// a metronome mark or with another speed later was written by somebody who thought of tempo, and means its 120.
fn is_unchosen(tempos: &[TempoMark]) -> bool {
    let mut speeds = tempos.iter().filter(|mark| mark.origin != TempoOrigin::Term).peekable();
    speeds.peek().is_some()
        && speeds.all(|mark| {
            mark.origin == TempoOrigin::Sound
                && mark.onset == Quarters::ZERO
                && mark.quarter_bpm.is_some_and(|speed| speed.total_cmp(&UNCHOSEN).is_eq())
        })
}

/// The speed that the marks at one place ask for.
fn speed_here(score: &Score, marks: &[&TempoMark], first: bool, remarks: &mut Remarks) -> Option<(f64, TempoSource)> {
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

fn place_of(measures: &[Measure], marks: &[&TempoMark]) -> Place {
    let measure = marks.first().and_then(|mark| measures.get(mark.measure));
    Place { measure: measure.map(|measure| measure.number.clone()), ..Place::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    const METRONOME: TempoOrigin = TempoOrigin::Metronome;
    const SOUND: TempoOrigin = TempoOrigin::Sound;

    /// The tempo of two measures of quarters with these speeds, each after so many quarters, and a term at the beginning;
    /// and what is remarked.
    fn chosen(speeds: &[(i64, TempoOrigin, f64)], term: Option<&str>) -> (Tempo, Vec<String>) {
        let (mut score, hands) = testing::score("R: C4 D4 E4 F4 G4 A4 B4 C5");
        for (quarter, origin, speed) in speeds {
            let (onset, measure) = (Quarters::whole(*quarter), 0);
            let mark = TempoMark { onset, measure, origin: *origin, quarter_bpm: Some(*speed), text: String::new() };
            score.tempos.push(mark);
        }
        if let Some(text) = term {
            let (onset, origin) = (Quarters::ZERO, TempoOrigin::Term);
            let mark = TempoMark { onset, measure: 0, origin, quarter_bpm: None, text: text.to_owned() };
            score.tempos.insert(0, mark);
        }
        let mut remarks = Remarks::default();
        let tempo = choose_tempo(&score, &hands, None, &mut remarks);
        (tempo, remarks.into_list().iter().map(ToString::to_string).collect())
    }

    #[test]
    fn a_term_decides_beside_the_tempo_that_programs_write_where_none_was_chosen() {
        for term in ["Langsam", "Allegretto"] {
            let (tempo, remarks) = chosen(&[(0, SOUND, 120.0)], Some(term));
            let (named, _) = chosen(&[], Some(term));
            assert_eq!((tempo.source, tempo.quarter_bpm), (TempoSource::Term, named.quarter_bpm), "{term}");
            let speed = named.quarter_bpm;
            let said = format!(
                "no metronome mark, and the only playback tempo is 120, which programs write where none was chosen; \
                 taken from `{term}` as {speed:.0} quarter notes a minute; set it with `--tempo`"
            );
            assert_eq!(remarks, [said]);
        }
    }

    #[test]
    fn without_a_term_the_note_values_decide() {
        let (nothing, _) = chosen(&[], None);
        // A program may write it for each part.
        for speeds in [&[(0, SOUND, 120.0)][..], &[(0, SOUND, 120.0), (0, SOUND, 120.0)]] {
            let (tempo, remarks) = chosen(speeds, None);
            assert_eq!((tempo.source, tempo.quarter_bpm), (TempoSource::Assumed, nothing.quarter_bpm));
            let said = format!(
                "no metronome mark, and the only playback tempo is 120, which programs write where none was chosen; \
                 assumed {:.0} quarter notes a minute from the note values; set it with `--tempo`",
                nothing.quarter_bpm
            );
            assert_eq!(remarks, [said]);
        }
    }

    #[test]
    fn a_metronome_mark_another_playback_tempo_or_another_place_means_its_120() {
        for speeds in [
            &[(0, SOUND, 120.0), (0, METRONOME, 120.0)][..],
            &[(0, SOUND, 120.0), (7, METRONOME, 60.0)],
            &[(0, SOUND, 120.0), (7, SOUND, 60.0)],
            &[(0, SOUND, 120.0), (4, SOUND, 120.0)],
            &[(0, SOUND, 60.0), (1, SOUND, 120.0)],
        ] {
            let (tempo, remarks) = chosen(speeds, None);
            assert_eq!((tempo.source, tempo.quarter_bpm), (TempoSource::Written, 120.0), "{speeds:?}");
            assert_eq!(remarks, [""; 0], "{speeds:?}");
        }
        // After the beginning somebody chose it.
        let (tempo, _) = chosen(&[(1, SOUND, 120.0)], Some("Langsam"));
        assert_eq!((tempo.source, tempo.quarter_bpm), (TempoSource::Written, 120.0));
        // Any other speed is a choice.
        let (tempo, _) = chosen(&[(0, SOUND, 120.5)], Some("Langsam"));
        assert_eq!((tempo.source, tempo.quarter_bpm), (TempoSource::Written, 120.5));
    }
}

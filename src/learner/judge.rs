//! Whether the values of a learner file make sense, and the [`Learner`] they make.
//!
//! In: the tables as written. Out: the learner, or all faults at once, so that a file is mended in one go.

use toml::Spanned;

use super::fault::{Collector, Faults, nearest};
use super::file::{AvoidSpan, File, HandTable, HandsTable, Interval, PieceTable, ScaleTable};
use super::{HandsKnown, KnownScale, Learner, LearnerHand, PlayedPiece, Went, intervals};
use crate::player::{HandShape, PairLimit};
use crate::scales::{Form, Scale};
use crate::units::Finger;

/// Notes a beat where the file gives a speed only: a scale is usually set in sixteenths (common practice, no source).
const USUAL_NOTES_A_BEAT: i64 = 4;

/// Semitones that a span may have: from a third to two octaves. Chosen by us to catch slips such as centimetres; every
/// hand that plays falls within.
const SPANS: (i64, i64) = (3, 24);

/// Pieces or scales of one learner at most. Chosen by us: a life's worth, and it bounds the work.
const MOST_ENTRIES: usize = 5_000;

pub(super) fn judge(text: &str, file: File) -> Result<Learner, Faults> {
    let mut faults = Collector::new(text);
    let usual = Learner::default();
    if file.scales.len().max(file.pieces.len()) > MOST_ENTRIES {
        faults.add(0, format!("more than {MOST_ENTRIES} scales or pieces"), None);
        return faults.finish(usual);
    }
    let minutes = number(file.minutes_a_day, "minutes_a_day", (1.0, 1_440.0), "a number of minutes", &mut faults);
    let days = whole(file.days_a_week, "days_a_week", (1, 7), &mut faults);
    let learner = Learner {
        name: file.name.map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()),
        minutes_a_day: minutes.unwrap_or(usual.minutes_a_day),
        days_a_week: days.map_or(usual.days_a_week, |days| days as u8),
        level: number(file.level, "level", (1.0, 9.0), "a level", &mut faults),
        right: hand(&file.hands, &file.hands.right, &mut faults),
        left: hand(&file.hands, &file.hands.left, &mut faults),
        scales: file.scales.into_iter().filter_map(|scale| known_scale(&scale, &mut faults)).collect(),
        pieces: file.pieces.into_iter().map(|piece| played_piece(piece, &mut faults)).collect(),
    };
    faults.finish(learner)
}

fn number(
    value: Option<Spanned<f64>>,
    key: &str,
    (least, most): (f64, f64),
    what: &str,
    faults: &mut Collector<'_>,
) -> Option<f64> {
    let value = value?;
    if (least..=most).contains(value.get_ref()) {
        return Some(value.into_inner());
    }
    faults.add(
        value.span().start,
        format!("`{key}` is {}, expected {what} from {least} to {most}", value.get_ref()),
        None,
    );
    None
}

fn whole(value: Option<Spanned<i64>>, key: &str, (least, most): (i64, i64), faults: &mut Collector<'_>) -> Option<i64> {
    let value = value?;
    if (least..=most).contains(value.get_ref()) {
        return Some(value.into_inner());
    }
    faults.add(
        value.span().start,
        format!("`{key}` is {}, expected a whole number from {least} to {most}", value.get_ref()),
        None,
    );
    None
}

fn span(value: Option<&Spanned<Interval>>, key: &str, faults: &mut Collector<'_>) -> Option<i32> {
    let value = value?;
    let (semitones, shown) = match value.get_ref() {
        Interval::Semitones(number) => (Some(*number), number.to_string()),
        Interval::Name(name) => (intervals::semitones(name).map(i64::from), format!("\"{name}\"")),
    };
    match semitones {
        Some(semitones) if (SPANS.0..=SPANS.1).contains(&semitones) => Some(semitones as i32),
        Some(_) => {
            let what = format!("`{key}` is {shown}, expected an interval from a minor third to two octaves");
            faults.add(value.span().start, what, Some("an octave is 12 semitones".to_owned()));
            None
        }
        None => {
            let what = format!("`{key}` is {shown}, which names no interval");
            let hint = "write it as \"octave\", \"minor ninth\" or a number of semitones";
            faults.add(value.span().start, what, Some(hint.to_owned()));
            None
        }
    }
}

/// A hand: what is said of it alone goes before what is said of both.
fn hand(both: &HandsTable, own: &HandTable, faults: &mut Collector<'_>) -> LearnerHand {
    let usual = HandShape::default();
    let mut of = |own: Option<&Spanned<Interval>>, both: Option<&Spanned<Interval>>, key| {
        span(own, key, faults).or_else(|| span(both, key, faults))
    };
    let comfortable = of(own.comfortable_span.as_ref(), both.comfortable_span.as_ref(), "comfortable_span");
    let largest = of(own.largest_span.as_ref(), both.largest_span.as_ref(), "largest_span");
    let place = own.comfortable_span.as_ref().or(both.comfortable_span.as_ref()).map_or(0, |value| value.span().start);
    // One span says something about the other: the gap between the two is that of an average hand.
    let gap = usual.largest_span - usual.comfortable_span;
    let (comfortable_span, largest_span) = match (comfortable, largest) {
        (Some(comfortable), Some(largest)) => {
            if comfortable > largest {
                let what = format!(
                    "`comfortable_span` ({}) is wider than `largest_span` ({})",
                    intervals::name(comfortable),
                    intervals::name(largest)
                );
                faults.add(place, what, Some("exchange the two".to_owned()));
            }
            (comfortable, largest)
        }
        (Some(comfortable), None) => (comfortable, comfortable + gap),
        (None, Some(largest)) => (largest - gap, largest),
        (None, None) => (usual.comfortable_span, usual.largest_span),
    };
    let mut avoid = Vec::new();
    for number in &own.avoid_fingers {
        if let Some(finger) = u8::try_from(*number.get_ref()).ok().and_then(Finger::new) {
            avoid.push(finger);
        } else {
            let what = format!("finger {} in `avoid_fingers`, expected 1 (thumb) to 5", number.get_ref());
            faults.add(number.span().start, what, None);
        }
    }
    avoid.sort_unstable();
    avoid.dedup();
    let pair_limits = own.avoid_spans.iter().filter_map(|avoid| pair_limit(avoid, faults)).collect();
    LearnerHand {
        shape: HandShape { comfortable_span, largest_span, avoid, pair_limits },
        span_given: comfortable.or(largest).is_some(),
        plays: own.plays.unwrap_or(true),
    }
}

fn pair_limit(avoid: &AvoidSpan, faults: &mut Collector<'_>) -> Option<PairLimit> {
    let text = avoid.fingers.get_ref();
    let digits: Vec<Finger> =
        text.split(['-', ',', ' ']).filter_map(|digit| digit.parse().ok().and_then(Finger::new)).collect();
    let semitones = match avoid.wider_than.get_ref() {
        Interval::Semitones(number) => i32::try_from(*number).ok(),
        Interval::Name(name) => intervals::semitones(name),
    };
    let semitones = semitones.filter(|semitones| (0..=24).contains(semitones));
    if semitones.is_none() {
        let what = "`wider_than` names no interval up to two octaves".to_owned();
        faults.add(avoid.wider_than.span().start, what, Some("write it as \"third\" or in semitones".to_owned()));
    }
    match digits.as_slice() {
        [one, other] if one != other => {
            Some(PairLimit { inner: *one.min(other), outer: *one.max(other), semitones: semitones? })
        }
        _ => {
            let what = format!("`fingers` is \"{text}\", expected two fingers such as \"2-4\"");
            faults.add(avoid.fingers.span().start, what, None);
            None
        }
    }
}

/// A word out of a short list.
fn choice<T: Copy>(
    value: Option<&Spanned<String>>,
    key: &str,
    words: &[(&str, T)],
    usual: T,
    faults: &mut Collector<'_>,
) -> T {
    let Some(value) = value else { return usual };
    let text = value.get_ref().trim().to_lowercase();
    if let Some((_, found)) = words.iter().find(|(word, _)| *word == text) {
        return *found;
    }
    let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    let what = format!("`{key}` is \"{}\", expected {}", value.get_ref(), known.join(", "));
    faults.add(value.span().start, what, nearest(&text, &known));
    usual
}

fn known_scale(table: &ScaleTable, faults: &mut Collector<'_>) -> Option<KnownScale> {
    let hands = choice(
        table.hands.as_ref(),
        "hands",
        &[
            ("right", HandsKnown::Right),
            ("left", HandsKnown::Left),
            ("apart", HandsKnown::Apart),
            ("together", HandsKnown::Together),
        ],
        HandsKnown::Together,
        faults,
    );
    let octaves = whole(table.octaves.clone(), "octaves", (1, 7), faults).unwrap_or(1) as u8;
    let a_beat = whole(table.notes_a_beat.clone(), "notes_a_beat", (1, 16), faults).unwrap_or(USUAL_NOTES_A_BEAT);
    let bpm = number(table.quarter_bpm.clone(), "quarter_bpm", (10.0, 600.0), "quarter notes a minute", faults);
    if let (Some(notes), None) = (&table.notes_a_beat, &table.quarter_bpm) {
        let hint = Some("add `quarter_bpm`, the comfortable speed".to_owned());
        faults.add(notes.span().start, "`notes_a_beat` without `quarter_bpm` says no speed", hint);
    }
    let form = match table.form.as_ref().map(|form| (Form::parse(form.get_ref()), form.span().start)) {
        Some((Ok(form), _)) => Some(form),
        Some((Err(error), at)) => {
            faults.add(at, error.to_string(), None);
            return None;
        }
        None => None,
    };
    match Scale::parse(table.key.get_ref(), form) {
        Ok(scale) => {
            Some(KnownScale { scale, hands, octaves, notes_per_second: bpm.map(|bpm| bpm * a_beat as f64 / 60.0) })
        }
        Err(error) => {
            faults.add(table.key.span().start, error.to_string(), None);
            None
        }
    }
}

fn played_piece(table: PieceTable, faults: &mut Collector<'_>) -> PlayedPiece {
    let went = choice(
        table.went.as_ref(),
        "went",
        &[("well", Went::Well), ("fairly", Went::Fairly), ("badly", Went::Badly)],
        Went::Well,
        faults,
    );
    PlayedPiece {
        title: table.title.map(Spanned::into_inner),
        composer: table.composer,
        file: table.file.map(Spanned::into_inner),
        level: number(table.level, "level", (1.0, 9.0), "a level", faults),
        went,
    }
}

#[cfg(test)]
mod tests {
    use super::super::TEMPLATE;
    use super::*;
    use crate::units::Hand;

    fn read(text: &str) -> Learner {
        Learner::from_toml(text).unwrap()
    }

    fn faults(text: &str) -> String {
        Learner::from_toml(text).unwrap_err().to_string()
    }

    #[test]
    fn an_empty_file_is_a_learner_of_whom_nothing_is_known() {
        assert_eq!(read(""), Learner::default());
        assert_eq!(read(TEMPLATE), Learner::default());
    }

    #[test]
    fn every_line_of_the_new_file_works_once_its_mark_is_taken_away() {
        let text: String = TEMPLATE
            .lines()
            .map(|line| line.strip_prefix('#').filter(|rest| !rest.starts_with(' ')).unwrap_or(line))
            .fold(String::new(), |all, line| all + line + "\n");
        let learner = read(&text);
        assert_eq!(learner.name.as_deref(), Some("Wren Ashlock"));
        assert_eq!((learner.minutes_a_day, learner.days_a_week, learner.level), (30.0, 5, Some(4.5)));
        assert_eq!(learner.right.shape.avoid, [Finger::new(5).unwrap()]);
        assert_eq!((learner.right.shape.comfortable_span, learner.right.shape.largest_span), (12, 16));
        assert_eq!((learner.left.shape.comfortable_span, learner.left.shape.largest_span), (12, 14));
        assert_eq!(learner.left.shape.pair_limits.len(), 2);
        assert_eq!(learner.scales.len(), 3);
        assert_eq!(learner.scales[0].notes_per_second, Some(80.0 * 4.0 / 60.0));
        assert_eq!(learner.scales[1].scale.to_string(), "A harmonic minor");
        assert!(learner.scales[2].hands.has(Hand::Right) && !learner.scales[2].hands.has(Hand::Left));
        assert_eq!(learner.pieces.len(), 2);
        assert_eq!(learner.pieces[1].went, Went::Fairly);
    }

    #[test]
    fn unknown_keys_are_refused_with_the_nearest_known_one() {
        assert_eq!(
            faults("name = \"A\"\nminutes = 20\n"),
            "line 2: unknown key `minutes` in the file; did you mean `minutes_a_day`?"
        );
        assert_eq!(
            faults("[[scales]]\nkey = \"C\"\noctavs = 2\n"),
            "line 3: unknown key `octavs` in `[[scales]]`; did you mean `octaves`?"
        );
        assert_eq!(
            faults("[hands.left]\navoid-spans = []\n"),
            "line 2: unknown key `avoid-spans` in a hand; did you mean `avoid_spans`?"
        );
        assert_eq!(
            faults("[hands.left]\navoid_spans = [{ fingers = \"2-4\", wider = 3 }]\n"),
            "line 2: unknown key `wider` in `avoid_spans`; did you mean `wider_than`?"
        );
        assert_eq!(
            faults("[[pieces]]\nxyzzy = 1\n"),
            "line 2: unknown key `xyzzy` in `[[pieces]]`; `[[pieces]]` may hold title, composer, file, level, went"
        );
    }

    #[test]
    fn all_faults_are_told_at_once_in_the_order_of_the_file() {
        let text = "level = 12\ndays_a_week = 9\n[hands]\ncomfortable_span = \"wide\"\n[[scales]]\nkey = \"H major\"\n\
                    [[scales]]\nkey = \"C\"\nhands = \"toghether\"\n[[pieces]]\nwent = \"ok\"\n";
        assert_eq!(
            faults(text).lines().collect::<Vec<_>>(),
            [
                "line 1: `level` is 12, expected a level from 1 to 9",
                "line 2: `days_a_week` is 9, expected a whole number from 1 to 7",
                "line 4: `comfortable_span` is \"wide\", which names no interval; write it as \"octave\", \"minor \
                 ninth\" or a number of semitones",
                "line 6: `H major` is no key; did you mean `C major`?",
                "line 9: `hands` is \"toghether\", expected right, left, apart, together; did you mean `together`?",
                "line 11: `went` is \"ok\", expected well, fairly, badly",
            ]
        );
    }

    #[test]
    fn text_that_is_no_toml_or_of_the_wrong_kind_is_told_by_its_line() {
        assert!(faults("name = \"A\"\n= 3\n").starts_with("line 2: "), "{}", faults("name = \"A\"\n= 3\n"));
        let wrong = faults("\nminutes_a_day = \"half an hour\"\n");
        assert!(wrong.starts_with("line 2: invalid type: string"), "{wrong}");
        assert!(faults("[hands]\nlargest_span = true\n").starts_with("line 2: "));
        assert!(faults("[[scales]]\nhands = \"right\"\n").contains("missing field `key`"));
        assert!(faults("level = nan\n").starts_with("line 1: `level` is NaN"));
    }

    #[test]
    fn one_span_lets_the_other_follow_and_both_are_told_apart_by_hand() {
        let learner = read(
            "[hands]\nlargest_span = \"octave\"\n[hands.right]\ncomfortable_span = \"tenth\"\nlargest_span = 18\n",
        );
        assert_eq!((learner.left.shape.comfortable_span, learner.left.shape.largest_span), (10, 12));
        assert_eq!((learner.right.shape.comfortable_span, learner.right.shape.largest_span), (16, 18));
        assert!(
            faults("[hands]\ncomfortable_span = \"tenth\"\nlargest_span = \"octave\"\n").contains("exchange the two")
        );
    }

    #[test]
    fn one_hand_alone_is_a_learner_like_any_other() {
        let learner = read("[hands.left]\nplays = false\n[hands.right]\navoid_fingers = [4, 5, 4]\n");
        assert!(!learner.left.plays && learner.right.plays);
        assert_eq!(learner.right.shape.avoid.len(), 2);
    }
}

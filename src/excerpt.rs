//! An excerpt of a score, by printed measure numbers.
//!
//! In: a [`Score`], its [`Hands`] and the numbers asked for. Out: a score and hands that hold only those measures, with
//! the marks that are in force where they begin; onsets stay as they were. Everything after this point sees only the
//! excerpt. The hands and the tempo are chosen before, from the whole.

use crate::error::{Error, Place, Remarks};
use crate::hands::{Hands, Line};
use crate::score::{MeasureIndex, Score};
use crate::units::Quarters;

/// The measures that are looked at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Excerpt {
    /// Index of the first measure in the whole score.
    pub first: MeasureIndex,
    /// How many measures, at least one.
    pub count: usize,
    /// Measures of the whole score.
    pub of: usize,
}

impl Excerpt {
    /// The measures from printed number `from` to `to`.
    ///
    /// A number that is printed more than once (numbering that starts again, a measure split at a repeat) means its
    /// first measure at the start, and at the end the first one from there, with all pieces of a split measure. An end
    /// beyond the last number means the end of the score, with a remark.
    ///
    /// # Errors
    /// When the score has no such measure.
    pub fn find(score: &Score, from: &str, to: &str, remarks: &mut Remarks) -> Result<Self, Error> {
        let position = |number: &str, after: usize| {
            score.measures.iter().skip(after).position(|measure| measure.number == number).map(|at| at + after)
        };
        let unknown = |number: &str| {
            let numbered = match (score.measures.first(), score.measures.last()) {
                (Some(first), Some(last)) => format!("{} to {}", first.number, last.number),
                _ => "not at all".to_owned(),
            };
            Error::Options(format!("measure {number} is not in the score, whose measures are numbered {numbered}"))
        };
        let first = position(from, 0).ok_or_else(|| unknown(from))?;
        let mut last = match position(to, first) {
            Some(last) => last,
            None if position(to, 0).is_some() => {
                return Err(Error::Options(format!("measure {to} comes before measure {from}")));
            }
            None if is_beyond(score, to) => {
                let found = format!("the score ends before measure {to}");
                remarks.add(Place::default(), found, "the excerpt goes to its end");
                score.measures.len().saturating_sub(1)
            }
            None => return Err(unknown(to)),
        };
        while score.measures.get(last + 1).is_some_and(|measure| measure.number == to) {
            last += 1;
        }
        Ok(Self { first, count: last + 1 - first, of: score.measures.len() })
    }

    /// The excerpt alone.
    pub fn cut(&self, score: Score, hands: Hands) -> (Score, Hands) {
        let measures = self.first..self.first + self.count;
        // Where each note goes, so that the lines of the hands still point at their notes.
        let mut moved = Vec::with_capacity(score.notes.len());
        let mut notes = Vec::new();
        for mut note in score.notes {
            let inside = measures.contains(&note.measure);
            moved.push(inside.then_some(notes.len()));
            if inside {
                note.measure -= self.first;
                notes.push(note);
            }
        }
        let start = score.measures.get(self.first).map_or(Quarters::ZERO, |measure| measure.onset);
        let cut = Score {
            keys: self.in_force(score.keys, start, |key| (&mut key.measure, &mut key.onset), |key| (key.part, 0)),
            times: self.in_force(score.times, start, |time| (&mut time.measure, &mut time.onset), |_| (0, 0)),
            clefs: self.in_force(
                score.clefs,
                start,
                |clef| (&mut clef.measure, &mut clef.onset),
                |clef| (clef.part, clef.staff),
            ),
            tempos: inside(score.tempos, &measures, |tempo| &mut tempo.measure),
            directions: inside(score.directions, &measures, |direction| &mut direction.measure),
            measures: score.measures.into_iter().skip(self.first).take(self.count).collect(),
            notes,
            ..score
        };
        let line = |line: Line| {
            let notes = line.notes.iter().filter_map(|id| moved.get(*id).copied().flatten()).collect();
            Line::from_notes(line.hand, notes, &cut)
        };
        let hands = Hands { right: line(hands.right), left: line(hands.left) };
        (cut, hands)
    }

    /// The marks inside, and at the start the last one before it of each kind.
    fn in_force<T, K: PartialEq>(
        &self,
        marks: Vec<T>,
        start: Quarters,
        place: impl Fn(&mut T) -> (&mut MeasureIndex, &mut Quarters),
        kind: impl Fn(&T) -> K,
    ) -> Vec<T> {
        let mut kept: Vec<T> = Vec::new();
        for mut mark in marks {
            let (measure, onset) = place(&mut mark);
            if *measure >= self.first + self.count {
                continue;
            }
            *measure = measure.saturating_sub(self.first);
            let before = *onset <= start;
            *onset = (*onset).max(start);
            if before {
                kept.retain(|earlier| kind(earlier) != kind(&mark));
            }
            kept.push(mark);
        }
        kept
    }
}

/// True for a number greater than every printed number.
fn is_beyond(score: &Score, number: &str) -> bool {
    let Ok(number) = number.parse::<u32>() else { return false };
    score.measures.iter().filter_map(|measure| measure.number.parse::<u32>().ok()).all(|printed| printed < number)
}

fn inside<T>(
    marks: Vec<T>,
    measures: &std::ops::Range<MeasureIndex>,
    place: impl Fn(&mut T) -> &mut MeasureIndex,
) -> Vec<T> {
    let keep = |mut mark: T| {
        let measure = place(&mut mark);
        let kept = measures.contains(measure);
        *measure = measure.saturating_sub(measures.start);
        kept.then_some(mark)
    };
    marks.into_iter().filter_map(keep).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Measure;
    use crate::testing;

    fn numbered(numbers: &[&str]) -> Score {
        let measures = numbers.iter().map(|number| Measure {
            number: (*number).to_owned(),
            onset: Quarters::ZERO,
            duration: Quarters::whole(4),
            repeat_start: false,
            repeat_end: false,
            ending: None,
        });
        Score { measures: measures.collect(), ..Score::default() }
    }

    fn find(numbers: &[&str], from: &str, to: &str) -> Result<std::ops::Range<usize>, String> {
        Excerpt::find(&numbered(numbers), from, to, &mut Remarks::default())
            .map(|excerpt| excerpt.first..excerpt.first + excerpt.count)
            .map_err(|error| error.to_string())
    }

    #[test]
    fn printed_numbers_are_found_with_pickups_and_split_measures() {
        assert_eq!(find(&["0", "1", "2", "2", "3"], "0", "2"), Ok(0..4));
        assert_eq!(find(&["0", "1", "2", "2", "3"], "2", "3"), Ok(2..5));
        assert_eq!(find(&["1", "2", "1", "2"], "2", "2"), Ok(1..2));
    }

    #[test]
    fn an_end_beyond_the_last_number_is_the_end_with_a_remark() {
        let mut remarks = Remarks::default();
        let excerpt = Excerpt::find(&numbered(&["1", "2", "3"]), "2", "16", &mut remarks).unwrap();
        assert_eq!((excerpt.first, excerpt.count), (1, 2));
        let said: Vec<String> = remarks.into_list().iter().map(ToString::to_string).collect();
        assert_eq!(said, ["the score ends before measure 16; the excerpt goes to its end"]);
    }

    #[test]
    fn a_measure_beyond_the_score_is_named_with_the_numbers_there_are() {
        let beyond = "measure 9 is not in the score, whose measures are numbered 1 to 3";
        assert_eq!(find(&["1", "2", "3"], "2", "X9"), Err(beyond.replace('9', "X9")));
        assert_eq!(find(&["1", "2", "3"], "9", "2"), Err(beyond.to_owned()));
        assert_eq!(find(&["1", "2", "3"], "3", "2"), Err("measure 2 comes before measure 3".to_owned()));
    }

    #[test]
    fn an_excerpt_keeps_its_notes_and_the_marks_in_force() {
        let text = "R: key=-3 C4/1 D4 key=2 E4 F4\nL: C3/1 D3 E3 F3";
        let (score, hands) = testing::score(text);
        let excerpt = Excerpt::find(&score, "2", "3", &mut Remarks::default()).unwrap();
        let (score, hands) = excerpt.cut(score, hands);
        assert_eq!(score.measures.iter().map(|measure| measure.number.as_str()).collect::<Vec<_>>(), ["2", "3"]);
        let names = |line: &Line| line.notes.iter().map(|id| score.notes[*id].pitch.to_string()).collect::<Vec<_>>();
        assert_eq!(
            (names(&hands.right), names(&hands.left)),
            (vec!["D4".into(), "E4".into()], vec!["D3".into(), "E3".into()])
        );
        assert_eq!(score.notes[hands.right.notes[1]].measure, 1);
        let keys: Vec<_> = score.keys.iter().map(|key| (key.measure, key.fifths, key.onset.to_f64())).collect();
        assert_eq!(keys, [(0, -3, 4.0), (1, 2, 8.0)]);
        assert_eq!(score.times.len(), 1);
    }
}

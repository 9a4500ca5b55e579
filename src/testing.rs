//! Lines of music typed as text, for unit tests only.
//!
//! In: one hand a line, `R: key=-3 C4-1/8 D4-2 [E4-1 G4-3]/4 r F4>8`. Out: a [`Score`] with the [`Line`]s of its hands.
//! - `C4`, `Bb3`, `F#5`: a note; `[C4 E4 G4]` a chord; `r` a rest; `g:D4` a grace note before what follows.
//! - `-3` after a pitch is a printed finger; `-4~5` a substitution on the held key.
//! - `/8` is the note value (`/8.` dotted, `/8t` a triplet); it stays in force. A line begins with quarters.
//! - `>8` after the value: the next token comes after an eighth already, and the note is held on.
//! - `!trill`, `!mordent`, `!turn`, `!slur`, `!roll`, `!acc`: signs on the note or chord.
//! - `key=-3`, `key=-3minor`, `time=3/4`: marks, in force from there. Measures count from 1 and follow the time.

use crate::fingering::{FingerSource, Fingering};
use crate::hands::{Hands, Line};
use crate::score::{KeyMark, Measure, Mode, Note, NoteMarks, Part, Score, TimeMark, WrittenFinger};
use crate::tempo::{Tempo, TempoSource};
use crate::units::{Finger, Hand, Pitch, Quarters, Step};

/// One hand's line in a score of its own.
pub fn line(text: &str) -> (Score, Line) {
    let (score, hands) = score(text);
    let hand = if text.trim_start().starts_with('L') { hands.left } else { hands.right };
    (score, hand)
}

/// A score of one or two lines of text, one for each hand.
pub fn score(text: &str) -> (Score, Hands) {
    let mut score = Score::default();
    score.parts.push(Part { id: "P1".into(), name: "Piano".into(), staves: 2, ..Part::default() });
    score.times.push(TimeMark { onset: Quarters::ZERO, measure: 0, text: "4/4".into(), beats: 4, beat_type: 4 });
    let mut end = Quarters::ZERO;
    for row in text.lines().map(str::trim).filter(|row| !row.is_empty()) {
        let (hand, tokens) = row.split_once(':').expect("a line begins with `R:` or `L:`");
        let staff = if hand == "L" { 2 } else { 1 };
        let row_end = Row { at: Quarters::ZERO, value: Quarters::whole(1), graces: 0, staff }.read(tokens, &mut score);
        end = end.max(row_end);
    }
    add_measures(&mut score, end);
    score.notes.sort_by_key(|note| {
        let grace = if note.grace == 0 { u16::MAX } else { note.grace };
        (note.onset, grace, note.midi, note.staff)
    });
    let of_staff = |staff| (0..score.notes.len()).filter(|id| score.notes[*id].staff == staff).collect();
    let (right, left) = (of_staff(1), of_staff(2));
    let hands =
        Hands { right: Line::from_notes(Hand::Right, right, &score), left: Line::from_notes(Hand::Left, left, &score) };
    (score, hands)
}

/// The printed fingers of a line as its fingering; every note must have one.
pub fn printed(score: &Score, line: &Line) -> Fingering {
    Fingering {
        fingers: line.notes.iter().map(|id| score.notes[*id].written.first().map(|w| w.finger)).collect(),
        sources: vec![FingerSource::Written; line.notes.len()],
        slice_costs: vec![0; line.slices.len()],
    }
}

/// A steady tempo.
pub fn steady(quarter_bpm: f64) -> Tempo {
    Tempo::constant(quarter_bpm, TempoSource::Written)
}

struct Row {
    at: Quarters,
    value: Quarters,
    graces: u16,
    staff: u8,
}

impl Row {
    fn read(mut self, text: &str, score: &mut Score) -> Quarters {
        // A chord is one token, blanks and all.
        let mut tokens: Vec<String> = Vec::new();
        let mut in_chord = false;
        for word in text.split_whitespace() {
            match tokens.last_mut() {
                Some(open) if in_chord => *open = format!("{open} {word}"),
                _ => tokens.push(word.into()),
            }
            in_chord = (in_chord || word.contains('[')) && !word.contains(']');
        }
        for token in &tokens {
            self.token(token, score);
        }
        self.at
    }

    fn token(&mut self, token: &str, score: &mut Score) {
        if let Some(key) = token.strip_prefix("key=") {
            let (fifths, mode) = match key {
                key if key.ends_with("minor") => (key.trim_end_matches("minor"), Some(Mode::Minor)),
                key if key.ends_with("major") => (key.trim_end_matches("major"), Some(Mode::Major)),
                key => (key, None),
            };
            let fifths = fifths.parse().expect("fifths");
            score.keys.push(KeyMark { onset: self.at, measure: 0, part: 0, fifths, mode });
            return;
        }
        if let Some(time) = token.strip_prefix("time=") {
            let (beats, beat_type) = time.split_once('/').expect("a time such as 3/4");
            let (beats, beat_type) = (beats.parse().expect("beats"), beat_type.parse().expect("beat type"));
            score.times.retain(|mark| mark.onset != self.at);
            score.times.push(TimeMark { onset: self.at, measure: 0, text: time.into(), beats, beat_type });
            return;
        }
        let mut signs = token.split('!');
        let body = signs.next().unwrap_or_default();
        let marks = signs.map(sign).fold(NoteMarks::empty(), |all, one| all | one);
        let (body, grace) = body.strip_prefix("g:").map_or((body, false), |body| (body, true));
        let (body, step) = body.split_once('>').map_or((body, None), |(body, step)| (body, Some(value(step))));
        let body = body.split_once('/').map_or(body, |(body, text)| {
            self.value = value(text);
            body
        });
        if body != "r" {
            self.graces = if grace { self.graces + 1 } else { 0 };
            for name in body.trim_matches(['[', ']']).split_whitespace() {
                let mut note = self.note(name);
                note.marks = marks;
                score.notes.push(note);
            }
        }
        if !grace {
            self.at = self.at + step.unwrap_or(self.value);
        }
    }

    fn note(&self, name: &str) -> Note {
        let (name, fingers) = name.split_once('-').unwrap_or((name, ""));
        let written = fingers
            .split('~')
            .filter(|digit| !digit.is_empty())
            .enumerate()
            .map(|(index, digit)| WrittenFinger {
                finger: Finger::new(digit.parse().expect("a finger")).expect("a finger from 1 to 5"),
                substitution: index > 0,
                alternate: false,
            })
            .collect();
        let pitch = pitch(name);
        Note {
            part: 0,
            staff: self.staff,
            voice: u16::from(self.staff),
            element: 0,
            measure: 0,
            onset: self.at,
            duration: if self.graces > 0 { Quarters::ZERO } else { self.value },
            grace: self.graces,
            pitch,
            midi: pitch.midi().expect("a key of the keyboard"),
            staff_position: pitch.staff_position() as i16,
            cue: false,
            tuplet: (1, 1),
            marks: NoteMarks::empty(),
            written,
        }
    }
}

/// A pitch such as `Bb4`.
pub fn pitch(name: &str) -> Pitch {
    let mut letters = name.chars();
    let step = letters.next().and_then(Step::from_letter).expect("a letter from A to G");
    let rest = letters.as_str();
    let octave = rest.trim_start_matches(['#', 'b']);
    let alter = rest[..rest.len() - octave.len()].chars().map(|sign| if sign == '#' { 1 } else { -1 }).sum();
    Pitch { octave: octave.parse().expect("an octave"), step, alter }
}

fn value(text: &str) -> Quarters {
    let number: i64 = text.trim_end_matches(['.', 't']).parse().expect("a note value");
    let plain = Quarters::new(4, number).expect("a note value");
    match text.chars().last() {
        Some('.') => plain.scaled(3, 2),
        Some('t') => plain.scaled(2, 3),
        _ => plain,
    }
}

fn sign(name: &str) -> NoteMarks {
    match name {
        "trill" => NoteMarks::TRILL,
        "mordent" => NoteMarks::MORDENT,
        "turn" => NoteMarks::TURN,
        "slur" => NoteMarks::LEGATO,
        "roll" => NoteMarks::ARPEGGIO,
        "acc" => NoteMarks::ACCIDENTAL,
        other => panic!("no sign is called `{other}`"),
    }
}

fn add_measures(score: &mut Score, end: Quarters) {
    score.times.sort_by_key(|mark| mark.onset);
    score.keys.sort_by_key(|mark| mark.onset);
    let mut at = Quarters::ZERO;
    while at < end || score.measures.is_empty() {
        let time = score.times.iter().rfind(|mark| mark.onset <= at).expect("a time at the start");
        let duration = Quarters::whole(i64::from(time.beats)).scaled(4, i64::from(time.beat_type));
        let number = (score.measures.len() + 1).to_string();
        let (repeat_start, repeat_end) = (false, false);
        score.measures.push(Measure { number, onset: at, duration, repeat_start, repeat_end, ending: None });
        at = at + duration;
    }
    let index = |onset| score.measures.partition_point(|measure| measure.onset <= onset) - 1;
    score.notes.iter_mut().for_each(|note| note.measure = index(note.onset));
    score.keys.iter_mut().for_each(|mark| mark.measure = index(mark.onset));
    score.times.iter_mut().for_each(|mark| mark.measure = index(mark.onset));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_text_becomes_a_score() {
        let (score, line) = line("R: key=-3minor C4-1/8 Eb4-4~5 [E4 G4]/4. g:A4 B4/2t!trill r/4 C5>8 D5/8 C6");
        assert_eq!(line.slices.len(), 8);
        assert_eq!(score.keys[0].mode, Some(Mode::Minor));
        let names: Vec<_> = line.notes.iter().map(|id| score.notes[*id].pitch.to_string()).collect();
        assert_eq!(names, ["C4", "Eb4", "E4", "G4", "A4", "B4", "C5", "D5", "C6"]);
        let onsets: Vec<_> = line.slices.iter().map(|slice| slice.onset.to_f64()).collect();
        assert_eq!(onsets[..5], [0.0, 0.5, 1.0, 2.5, 2.5]);
        assert_eq!(line.slices[3].grace, 1);
        assert!(score.notes[line.notes[5]].marks.contains(NoteMarks::TRILL));
        assert_eq!(score.notes[line.notes[1]].written.len(), 2);
        let held = &score.notes[line.notes[6]];
        assert_eq!(held.duration, Quarters::whole(1));
        assert_eq!(line.slices[6].onset - line.slices[5].onset, Quarters::new(1, 2).unwrap());
        assert_eq!(score.measures.len(), 2);
        let digits: Vec<_> = printed(&score, &line).fingers.iter().map(|f| f.map_or(0, Finger::number)).collect();
        assert_eq!(digits, [1, 4, 0, 0, 0, 0, 0, 0, 0]);
        assert!((steady(120.0).seconds(Quarters::whole(4)) - 2.0).abs() < 1e-9);
    }
}

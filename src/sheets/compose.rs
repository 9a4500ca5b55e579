//! What is played: runs up and down, arpeggios, broken chords, the loop around one crossing, and rhythms that make a run
//! even.
//!
//! In: a [`Assignment`]. Out: [`Exercise`]s in the order to practise: hands apart, together, the hardest transition alone, then
//! the variants. The order and the advice are common practice, no source.

use super::figure::Figure;
use super::model::{Exercise, Nuance, Tone, Value, ValueKind};
use super::rhythm::{Rhythm, tones};
use super::write::FASTEST_BEAT;
use crate::scales::{Key, NoteName, Scale, ScaleCrossing, ScaleLine};
use crate::units::{Finger, Hand, Motion, Pitch};

/// What to put on a sheet for one drill.
#[derive(Clone, PartialEq, Debug)]
pub struct Assignment {
    /// Scale or chord.
    pub figure: Figure,
    /// Hands to drill, right first; both are also put together.
    pub hands: Vec<Hand>,
    /// Octaves, clamped to 1..=[`Scale::MOST_OCTAVES`].
    pub octaves: u8,
    /// Speed to arrive at, in notes a second.
    pub notes_per_second: Option<f64>,
    /// The transition to isolate; else the most awkward of the hands.
    pub isolate: Option<ScaleCrossing>,
    /// Add the variants for evenness.
    pub variants: bool,
    /// What the drill is for, one line each: `measures 12, 31-34`.
    pub serves: Vec<String>,
}

impl Assignment {
    /// Both hands, with everything.
    pub fn new(figure: Figure, octaves: u8) -> Self {
        let hands = Hand::BOTH.to_vec();
        Self { figure, hands, octaves, notes_per_second: None, isolate: None, variants: true, serves: Vec::new() }
    }

    /// The speed at which the sheet shows so many quarter notes a minute.
    pub fn notes_per_second_at(&self, quarter_bpm: f64) -> f64 {
        quarter_bpm / 60.0 * f64::from(self.notes_per_quarter())
    }

    fn octaves(&self) -> u8 {
        self.octaves.clamp(1, Scale::MOST_OCTAVES)
    }

    /// As many as there are octaves, so that the tonic comes on a beat and a scale takes the same time over any number of
    /// octaves; three for the triads of a broken chord.
    fn notes_per_quarter(&self) -> u8 {
        if matches!(self.figure, Figure::BrokenChord(_)) { 3 } else { self.octaves() }
    }

    /// Quarter notes a minute, between what a metronome has for quarters at the slow end and for halves at the fast one.
    fn quarter_bpm(&self) -> Option<u32> {
        let per_minute = |rate: f64| 60.0 * rate / f64::from(self.notes_per_quarter());
        self.notes_per_second.map(|rate| per_minute(rate).round().clamp(30.0, 2.0 * f64::from(FASTEST_BEAT)) as u32)
    }

    fn even(&self) -> Rhythm {
        Rhythm::even(self.notes_per_quarter())
    }

    /// The run up and down, by these hands, in this rhythm.
    fn exercise(&self, heading: String, hands: &[Hand], rhythm: &Rhythm) -> Exercise {
        let mut exercise = blank(self.figure, heading);
        exercise.quarter_bpm = self.quarter_bpm();
        for hand in hands {
            exercise.place(*hand, tones(*hand, &self.up_and_down(*hand), rhythm));
        }
        exercise
    }

    fn up_and_down(&self, hand: Hand) -> Vec<(Pitch, Finger)> {
        let mut notes = self.figure.run(hand, Motion::Up, self.octaves());
        let down = self.figure.run(hand, Motion::Down, self.octaves());
        if let Figure::BrokenChord(_) = self.figure {
            // Both directions play the top position, and the root comes once more, on a beat, to end on.
            notes.extend(down);
            notes.extend(notes.last().copied());
        } else {
            notes.extend(down.into_iter().skip(1));
        }
        notes
    }
}

/// A run in one direction in even notes and without practice notes, as one exercise; fingers printed or not. A broken
/// chord ends on its last note once more, on a beat.
pub fn plain_run(figure: Figure, hand: Hand, motion: Motion, octaves: u8, fingered: bool) -> Exercise {
    let rhythm = Assignment::new(figure, octaves).even();
    let mut notes = figure.run(hand, motion, octaves);
    if let Figure::BrokenChord(_) = figure {
        notes.extend(notes.last().copied());
    }
    let mut tones = tones(hand, &notes, &rhythm);
    if !fingered {
        for tone in &mut tones {
            (tone.finger, tone.crossing) = (None, None);
        }
    }
    let mut exercise = blank(figure, String::new());
    exercise.place(hand, tones);
    exercise
}

/// The exercises of a assignment.
pub fn compose(assignment: &Assignment) -> Vec<Exercise> {
    let title = capital(&assignment.figure.name());
    let apart = |hand: &Hand| assignment.exercise(format!("{title}, {}", hand.name()), &[*hand], &assignment.even());
    let mut exercises: Vec<Exercise> = assignment.hands.iter().map(apart).collect();
    if assignment.hands.len() > 1 {
        let mut together =
            assignment.exercise(format!("{title}, hands together"), &assignment.hands, &assignment.even());
        together.notes.push("Going up the right hand leads: listen to the left.".into());
        together.notes.push("Coming down the left hand leads: listen to the right.".into());
        exercises.push(together);
    }
    exercises.extend(isolated(assignment));
    if assignment.variants {
        exercises.extend(variants(assignment));
    }
    if let Some(first) = exercises.first_mut() {
        first.notes = preface(assignment, first);
        first.new_page = true;
    }
    exercises
}

/// What is said before anything is played.
fn preface(assignment: &Assignment, first: &Exercise) -> Vec<String> {
    let mut notes = assignment.serves.clone();
    if first.right.iter().chain(&first.left).any(|tone| tone.crossing.is_some()) {
        notes.push("A dashed arc marks a crossing: below, the thumb passes under; above, a finger goes over.".into());
    }
    if assignment.hands.len() > 1 {
        notes.push("Hands apart for a week or two, then together, and apart again now and then.".into());
    }
    notes.push("Begin at half the speed, every note as loud as the next.".into());
    notes.push("Stop and rest as soon as anything hurts.".into());
    notes
}

/// Rhythms, accents and dynamics that make a run even.
fn variants(assignment: &Assignment) -> Vec<Exercise> {
    let played = |heading: &str, rhythm: &Rhythm, advice: &str| {
        let mut exercise = assignment.exercise(heading.into(), &assignment.hands, rhythm);
        exercise.notes.push(advice.into());
        exercise
    };
    vec![
        played("Long, short", &Rhythm::LongShort, "Light on the short notes, and no accent on the long ones."),
        played("Short, long", &Rhythm::ShortLong, "Throw the short note onto the long one, from a quiet hand."),
        accented(played(
            "Accents that wander over the fingers",
            &assignment.even(),
            "The accents from the finger alone; everything between them soft and even.",
        )),
        swelling(played(
            "Louder going up, softer coming down",
            &assignment.even(),
            "Grow evenly to the top and fade evenly to the end, without hurrying.",
        )),
    ]
}

/// An exercise of four quarters a measure, without notes.
fn blank(figure: Figure, heading: String) -> Exercise {
    Exercise {
        heading,
        notes: Vec::new(),
        fifths: figure.key().map_or(0, Key::fifths),
        mode: figure.key().map(Key::mode),
        beats: 4,
        quarter_bpm: None,
        right: Vec::new(),
        left: Vec::new(),
        nuances: Vec::new(),
        repeats: Vec::new(),
        new_page: false,
    }
}

impl Exercise {
    fn place(&mut self, hand: Hand, tones: Vec<Tone>) {
        match hand {
            Hand::Right => self.right = tones,
            Hand::Left => self.left = tones,
        }
    }
}

/// One crossing between repeat signs: its two keys alone, then with a neighbour on each side, then within seven notes;
/// each there and back, in three quarters.
fn isolated(assignment: &Assignment) -> Option<Exercise> {
    let Figure::Scale(scale) = assignment.figure else { return None };
    let crossing = assignment.isolate.or_else(|| hardest(scale, &assignment.hands))?;
    let (hand, motion) = (crossing.crossing.hand, crossing.motion);
    let run = assignment.figure.run(hand, motion, 3);
    let place = nearest_to_staff(&run, &crossing)?;
    let mut notes = Vec::new();
    for (length, times) in [(2, 3), (4, 1), (7, 1)] {
        // Centred on the crossing, or as near as the ends of the run allow.
        let start = (place + 1).saturating_sub(length / 2).min(run.len().saturating_sub(length));
        let around = run.get(start..start + length)?;
        let there_and_back = || around.iter().chain(around[1..length - 1].iter().rev()).copied();
        notes.extend((0..times).flat_map(|_| there_and_back()));
    }
    let mut exercise = blank(assignment.figure, format!("Isolated: {}", crossing.place_in_words()));
    exercise.notes = vec![crossing.why(), crossing.how()];
    exercise.beats = 3;
    exercise.repeats = vec![1, 1, 2];
    exercise.quarter_bpm = assignment.quarter_bpm().map(|bpm| (bpm / 2).max(30));
    let eighth = Value::plain(ValueKind::Eighth);
    let mut looped = tones(hand, &notes, &Rhythm::Even(eighth));
    if let Some(last) = looped.last_mut() {
        last.value = eighth;
    }
    exercise.place(hand, looped);
    Some(exercise)
}

/// The most awkward crossing of the hands; of equals the first, right hand and upwards first.
fn hardest(scale: Scale, hands: &[Hand]) -> Option<ScaleCrossing> {
    let ways = hands.iter().flat_map(|hand| Motion::BOTH.map(|motion| (*hand, motion)));
    let all = ways.filter_map(|(hand, motion)| ScaleLine::new(scale, hand, motion).hardest().copied());
    all.min_by_key(|crossing| std::cmp::Reverse(crossing.awkwardness.total()))
}

/// Where a crossing is in a run: in the octave nearest to the middle of the hand's own staff.
fn nearest_to_staff(run: &[(Pitch, Finger)], crossing: &ScaleCrossing) -> Option<usize> {
    let wanted = (NoteName::from(crossing.from), crossing.crossing.from_finger, crossing.crossing.to_finger);
    let here = |pair: &[(Pitch, Finger)]| (NoteName::from(pair[0].0), pair[0].1, pair[1].1) == wanted;
    // The middle lines are B4 and D3.
    let middle = if crossing.crossing.hand == Hand::Right { 34 } else { 22 };
    let places = run.windows(2).enumerate().filter(|(_, pair)| here(pair));
    places.min_by_key(|(_, pair)| (pair[0].0.staff_position() - middle).abs()).map(|(place, _)| place)
}

/// Accents every third note, or every fourth in groups of three, so that each finger gets one in turn.
fn accented(mut exercise: Exercise) -> Exercise {
    for tones in [&mut exercise.right, &mut exercise.left] {
        let every = if tones.first().is_some_and(|tone| tone.value.tuplet.0 == 3) { 4 } else { 3 };
        for tone in tones.iter_mut().step_by(every) {
            tone.accent = true;
        }
    }
    exercise
}

/// A hairpin open to the top note and closed to the end.
fn swelling(mut exercise: Exercise) -> Exercise {
    let tones = if exercise.right.is_empty() { &exercise.left } else { &exercise.right };
    let half: u32 = tones.iter().take(tones.len() / 2).map(|tone| tone.value.ticks()).sum();
    let last: u32 = tones.iter().take(tones.len().saturating_sub(1)).map(|tone| tone.value.ticks()).sum();
    exercise.nuances = vec![
        (0, Nuance::Mark("p")),
        (0, Nuance::Crescendo),
        (half, Nuance::End),
        (half, Nuance::Mark("f")),
        (half, Nuance::Diminuendo),
        (last, Nuance::End),
        (last, Nuance::Mark("p")),
    ];
    exercise
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

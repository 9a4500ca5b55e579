//! What is played: runs up and down, arpeggios, broken chords, the loop around one crossing, and rhythms that make a run
//! even.
//!
//! In: a [`Plan`]. Out: [`Exercise`]s in the order to practise: hands apart, together, the hardest transition alone, then
//! the variants. The order and the advice are common practice, no source.

use super::model::{Exercise, Nuance, TICKS_PER_QUARTER, Tone, Value, ValueKind};
use crate::crossing::Crossing;
use crate::scales::{Key, NoteName, Scale, ScaleCrossing, ScaleLine, accepted_fingerings, arpeggio_fingerings};
use crate::score::Mode;
use crate::units::{Finger, Hand, Motion, Pitch};

/// What a drill is made of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Material {
    /// A scale.
    Scale(Scale),
    /// The triad of a key from its root, through the octaves.
    Arpeggio(Key),
    /// The triad of a key and its inversions, note after note under one hand position each.
    BrokenChord(Key),
}

/// What to put on a sheet for one drill.
#[derive(Clone, PartialEq, Debug)]
pub struct Plan {
    /// Scale or chord.
    pub material: Material,
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

impl Plan {
    /// Both hands, with everything.
    pub fn new(material: Material, octaves: u8) -> Self {
        let hands = Hand::BOTH.to_vec();
        Self { material, hands, octaves, notes_per_second: None, isolate: None, variants: true, serves: Vec::new() }
    }
}

impl Plan {
    /// The speed at which the sheet shows so many quarter notes a minute.
    pub fn notes_per_second_at(&self, quarter_bpm: f64) -> f64 {
        let octaves = self.octaves.clamp(1, Scale::MOST_OCTAVES);
        quarter_bpm / 60.0 * f64::from(notes_per_beat(self.material, octaves))
    }
}

impl Material {
    /// `E-flat major scale`, `C minor arpeggio`, `C minor broken chord`.
    pub fn name(self) -> String {
        match self {
            Self::Scale(scale) => format!("{scale} scale"),
            Self::Arpeggio(key) => format!("{key} arpeggio"),
            Self::BrokenChord(key) => format!("{key} broken chord"),
        }
    }

    fn key(self) -> Option<Key> {
        match self {
            Self::Scale(scale) => scale.key(),
            Self::Arpeggio(key) | Self::BrokenChord(key) => Some(key),
        }
    }

    /// Keys and fingers of one hand in one direction.
    fn run(self, hand: Hand, motion: Motion, octaves: u8) -> Vec<(Pitch, Finger)> {
        match self {
            Self::Scale(scale) => {
                let pitches = scale.run(motion, octaves, scale.lowest_key(hand, octaves));
                pitches.into_iter().zip(accepted_fingerings(scale, hand, motion, octaves).swap_remove(0)).collect()
            }
            Self::Arpeggio(key) => {
                let fingers = arpeggio_fingerings(key, hand, motion, octaves).swap_remove(0);
                let mut pitches = chord_tones(key, hand, octaves);
                if motion == Motion::Down {
                    pitches.reverse();
                }
                pitches.into_iter().zip(fingers).collect()
            }
            Self::BrokenChord(key) => broken_chord(key, hand, motion, octaves),
        }
    }
}

/// The scale of a key that its chords are taken from.
fn scale_of(key: Key) -> Option<Scale> {
    let form = match key.mode() {
        Mode::Major => crate::scales::Form::Major,
        Mode::Minor => crate::scales::Form::NaturalMinor,
    };
    Scale::new(key, form)
}

/// Root, third and fifth through the octaves, and the root on top, from the lowest.
fn chord_tones(key: Key, hand: Hand, octaves: u8) -> Vec<Pitch> {
    let Some(scale) = scale_of(key) else { return Vec::new() };
    let run = scale.run(Motion::Up, octaves, scale.lowest_key(hand, octaves));
    run.into_iter().enumerate().filter(|(index, _)| matches!(index % 7, 0 | 2 | 4)).map(|(_, pitch)| pitch).collect()
}

/// The chord and its inversions, one after the other, each from its lowest note (coming down from its highest).
///
/// Fingers are those of close triads in any primer (common practice, no source): 1 3 5 in the right hand and 5 3 1 in the
/// left, but the second finger in the middle of the right hand's first and the left hand's second inversion.
fn broken_chord(key: Key, hand: Hand, motion: Motion, octaves: u8) -> Vec<(Pitch, Finger)> {
    // The last inversion reaches beyond the run by two chord tones.
    let tones = chord_tones(key, hand, octaves.saturating_add(1));
    let positions = 3 * usize::from(octaves) + 1;
    let mut notes = Vec::new();
    for (position, chord) in tones.windows(3).take(positions).enumerate() {
        let middle = match (hand, position % 3) {
            (Hand::Right, 1) | (Hand::Left, 2) => 2,
            _ => 3,
        };
        let digits = if hand == Hand::Right { [1, middle, 5] } else { [5, middle, 1] };
        notes.extend(chord.iter().copied().zip(digits.into_iter().filter_map(Finger::new)));
    }
    if motion == Motion::Down {
        notes.reverse();
    }
    notes
}

/// A run in one direction in even notes and without practice notes, as one exercise; fingers printed or not.
pub fn plain_run(material: Material, hand: Hand, motion: Motion, octaves: u8, fingered: bool) -> Exercise {
    let mut tones = tones(hand, &material.run(hand, motion, octaves), &Rhythm::even(octaves));
    if !fingered {
        for tone in &mut tones {
            (tone.finger, tone.crossing) = (None, None);
        }
    }
    let mut exercise = blank(material, String::new());
    exercise.place(hand, tones);
    exercise
}

/// The exercises of a plan.
pub fn compose(plan: &Plan) -> Vec<Exercise> {
    let octaves = plan.octaves.clamp(1, Scale::MOST_OCTAVES);
    let material = plan.material;
    let bpm = plan.notes_per_second.map(|rate| metronome(rate, notes_per_beat(material, octaves)));
    let up_and_down = |hand: Hand, rhythm: &Rhythm| {
        let mut notes = material.run(hand, Motion::Up, octaves);
        if let Material::BrokenChord(_) = material {
            // Both directions play the top position, and the root comes once more, on a beat, to end on.
            notes.extend(material.run(hand, Motion::Down, octaves));
            notes.extend(notes.last().copied());
        } else {
            notes.extend(material.run(hand, Motion::Down, octaves).into_iter().skip(1));
        }
        tones(hand, &notes, rhythm)
    };
    let even = if matches!(material, Material::BrokenChord(_)) { Rhythm::even(3) } else { Rhythm::even(octaves) };
    let played = |heading: String, hands: &[Hand], rhythm: &Rhythm| {
        let mut exercise = blank(material, heading);
        exercise.quarter_bpm = bpm;
        for hand in hands {
            exercise.place(*hand, up_and_down(*hand, rhythm));
        }
        exercise
    };
    let mut exercises = Vec::new();
    let title = capital(&material.name());
    for hand in &plan.hands {
        exercises.push(played(format!("{title}, {}", hand.name()), &[*hand], &even));
    }
    if let [_, _, ..] = plan.hands[..] {
        let mut together = played(format!("{title}, hands together"), &Hand::BOTH, &even);
        together.notes.push("Going up the right hand leads: listen to the left.".into());
        together.notes.push("Coming down the left hand leads: listen to the right.".into());
        exercises.push(together);
    }
    exercises.extend(isolated(plan, bpm));
    if plan.variants {
        let all = &plan.hands[..];
        for (rhythm, heading, advice) in [
            (Rhythm::LongShort, "Long, short", "Light on the short notes, and no accent on the long ones."),
            (Rhythm::ShortLong, "Short, long", "Throw the short note onto the long one, from a quiet hand."),
        ] {
            let mut exercise = played(heading.into(), all, &rhythm);
            exercise.notes.push(advice.into());
            exercises.push(exercise);
        }
        exercises.push(accented(played("Accents that wander over the fingers".into(), all, &even)));
        exercises.push(swelling(played("Louder going up, softer coming down".into(), all, &even)));
    }
    let crosses = exercises
        .iter()
        .any(|exercise| exercise.right.iter().chain(&exercise.left).any(|tone| tone.crossing.is_some()));
    if let Some(first) = exercises.first_mut() {
        first.notes.extend(plan.serves.iter().cloned());
        if crosses {
            first.notes.push(
                "A dashed arc marks a crossing: below, the thumb passes under; above, a finger goes over.".into(),
            );
        }
        first
            .notes
            .push("Hands apart for a week or two. Begin at half the speed, every note as loud as the next.".into());
        first.notes.push("Stop and rest as soon as anything hurts.".into());
        first.new_page = true;
    }
    exercises
}

/// Notes in a quarter, as [`Rhythm::even`] sets them.
fn notes_per_beat(material: Material, octaves: u8) -> u8 {
    if matches!(material, Material::BrokenChord(_)) { 3 } else { octaves }
}

/// Quarter notes a minute; between 30 and 240, which is what metronomes have.
fn metronome(notes_per_second: f64, notes_per_beat: u8) -> u32 {
    (60.0 * notes_per_second / f64::from(notes_per_beat.max(1))).round().clamp(30.0, 240.0) as u32
}

/// An exercise of four quarters a measure, without notes.
fn blank(material: Material, heading: String) -> Exercise {
    Exercise {
        heading,
        notes: Vec::new(),
        fifths: material.key().map_or(0, Key::fifths),
        mode: material.key().map(Key::mode),
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

/// How a run is set.
enum Rhythm {
    /// The same value throughout.
    Even(Value),
    /// Dotted eighth, sixteenth.
    LongShort,
    /// Sixteenth, dotted eighth.
    ShortLong,
}

impl Rhythm {
    /// As many notes in a quarter as there are octaves, so that the tonic comes on a beat and a scale takes the same time
    /// over any number of octaves.
    fn even(octaves: u8) -> Self {
        let plain = Value::plain;
        Self::Even(match octaves {
            0 | 1 => plain(ValueKind::Quarter),
            2 => plain(ValueKind::Eighth),
            3 => Value { tuplet: (3, 2), ..plain(ValueKind::Eighth) },
            4 => plain(ValueKind::Sixteenth),
            _ => Value { tuplet: (5, 4), ..plain(ValueKind::Sixteenth) },
        })
    }

    fn value(&self, index: usize) -> Value {
        let (dotted, short) = (Value::dotted(ValueKind::Eighth), Value::plain(ValueKind::Sixteenth));
        match (self, index % 2) {
            (Self::Even(value), _) => *value,
            (Self::LongShort, 0) | (Self::ShortLong, 1) => dotted,
            _ => short,
        }
    }
}

/// Sets a run in a rhythm; the last note is held to the barline, or for as long as one note can be, if that is sooner.
fn tones(hand: Hand, notes: &[(Pitch, Finger)], rhythm: &Rhythm) -> Vec<Tone> {
    let mut tones: Vec<Tone> = Vec::with_capacity(notes.len());
    let mut at = 0;
    for (index, (pitch, finger)) in notes.iter().enumerate() {
        let value = rhythm.value(index);
        let before = index.checked_sub(1).and_then(|before| notes.get(before));
        let crossing = before.and_then(|(before, with)| {
            let from = (before.midi()?, *with);
            Crossing::between(hand, from, (pitch.midi()?, *finger)).map(|crossing| crossing.kind)
        });
        tones.push(Tone { pitch: *pitch, value, finger: Some(*finger), crossing, accent: false });
        at += value.ticks();
    }
    if let Some(last) = tones.last_mut() {
        let start = at - last.value.ticks();
        last.value = match 4 - start / TICKS_PER_QUARTER % 4 {
            1 => Value::plain(ValueKind::Quarter),
            2 => Value::plain(ValueKind::Half),
            3 => Value::dotted(ValueKind::Half),
            _ => Value::plain(ValueKind::Whole),
        };
    }
    tones
}

/// One crossing between repeat signs: its two keys alone, then with a neighbour on each side, then within seven notes;
/// each there and back, in three quarters.
fn isolated(plan: &Plan, bpm: Option<u32>) -> Option<Exercise> {
    let Material::Scale(scale) = plan.material else { return None };
    let crossing = plan.isolate.or_else(|| hardest(scale, &plan.hands))?;
    let (hand, motion) = (crossing.crossing.hand, crossing.motion);
    let run = plan.material.run(hand, motion, 3);
    let place = nearest_to_staff(&run, &crossing)?;
    let mut notes = Vec::new();
    for (length, times) in [(2, 3), (4, 1), (7, 1)] {
        // Centred on the crossing, or as near as the ends of the run allow.
        let start = (place + 1).saturating_sub(length / 2).min(run.len().saturating_sub(length));
        let around = run.get(start..start + length)?;
        let there_and_back = || around.iter().chain(around[1..length - 1].iter().rev()).copied();
        notes.extend((0..times).flat_map(|_| there_and_back()));
    }
    let mut exercise = blank(plan.material, format!("Isolated: {}", crossing.place_in_words()));
    exercise.notes = vec![crossing.why(), crossing.how()];
    exercise.beats = 3;
    exercise.repeats = vec![1, 1, 2];
    exercise.quarter_bpm = bpm.map(|bpm| (bpm / 2).max(30));
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
    exercise.notes.push("The accents from the finger alone; everything between them soft and even.".into());
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
    exercise.notes.push("Grow evenly to the top and fade evenly to the end, without hurrying.".into());
    exercise
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

//! What a hand does from one slice to the next.
//!
//! In: a line and its fingering. Out: [`Movement`]s, the crossings among them, in playing order.

mod kind;
mod strokes;

pub use strokes::{Stroke, measure_strokes};

pub use crate::crossing::CrossingKind;

use self::kind::{Fingers, Placed};
use crate::crossing::Crossing;
use crate::fingering::spans::Spans;
use crate::fingering::{Fingering, POINT};
use crate::hands::Line;
use crate::player::HandShape;
use crate::scales::awkwardness;
use crate::score::{NoteId, Score};
use crate::tempo::Tempo;
use crate::units::{Finger, Hand, KeyColour};

/// What kind of movement.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum MovementKind {
    /// The hand stays; another finger plays.
    Step,
    /// The thumb passes under or a finger over it.
    Crossing(CrossingKind),
    /// The fingers open beyond their resting span without leaving the keys.
    Stretch,
    /// The hand moves as a whole.
    Shift,
    /// The same key again.
    Repeat,
    /// The finger on a held key changes.
    Substitution,
}

/// One movement of one hand, between the two notes that lead it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Movement {
    /// Whose.
    pub hand: Hand,
    /// Kind.
    pub kind: MovementKind,
    /// Note left.
    pub from: NoteId,
    /// Note reached.
    pub to: NoteId,
    /// Finger on the note left.
    pub from_finger: Finger,
    /// Finger on the note reached.
    pub to_finger: Finger,
    /// Semitones, positive upwards.
    pub interval: i32,
    /// Colour of the key left.
    pub from_colour: KeyColour,
    /// Colour of the key reached.
    pub to_colour: KeyColour,
    /// Seconds the hand has for it: from the stroke before to this one.
    pub seconds: f64,
    /// Index of the slice reached, in the hand's line.
    pub slice: usize,
    /// How awkward a crossing is, in the points of [`crate::scales::Awkwardness`], whatever its speed; otherwise 0.
    pub awkwardness: i32,
    /// How much work it is: its awkwardness, or for other movements what the fingering charges for the slice in points,
    /// times [`pace`].
    pub effort: f64,
}

impl Movement {
    /// The crossing, if it is one.
    pub fn crossing(&self) -> Option<Crossing> {
        let MovementKind::Crossing(kind) = self.kind else { return None };
        Some(Crossing {
            hand: self.hand,
            kind,
            from_finger: self.from_finger,
            to_finger: self.to_finger,
            interval: self.interval,
            from_colour: self.from_colour,
            to_colour: self.to_colour,
        })
    }
}

/// Longest silence over which the hand stays on the keys, in seconds.
///
/// Chosen by us: shorter rests are articulation; in a longer one the hand lifts and is free to go anywhere.
pub const LONGEST_LINK: f64 = 0.2;

/// How much harder a movement is for its speed: 1 at four notes a second, twice as much at twice the speed, within
/// bounds of a quarter and 4.
///
/// Chosen by us: proportional to the rate, as the time to prepare shrinks; below one note a second there is time enough,
/// above sixteen no hand plays.
pub fn pace(seconds: f64) -> f64 {
    (0.25 / seconds.max(1e-3)).clamp(0.25, 4.0)
}

/// Measures what one hand does: one movement for every slice it reaches with a finger, and one for every substitution.
pub fn measure_movements(score: &Score, line: &Line, fingering: &Fingering, tempo: &Tempo) -> Vec<Movement> {
    let strokes = measure_strokes(score, line, tempo);
    let spans = Spans::of(&HandShape::default());
    let mut movements = Vec::with_capacity(strokes.len());
    let mut struck: Fingers = [None; 5];
    // What each finger plays, and until when, in quarters.
    let mut down: [Option<(Placed, f64)>; 5] = [None; 5];
    let mut steps = OuterSteps::default();
    for (index, (stroke, slice)) in strokes.iter().zip(&line.slices).enumerate() {
        let onset = slice.onset.to_f64();
        let arriving = fingers_of(score, line, fingering, stroke);
        let held = std::array::from_fn(|finger| {
            let still = down[finger].filter(|(_, end)| *end > onset + ROUNDING);
            still.map(|(placed, _)| placed).filter(|_| struck[finger].is_none())
        });
        let lifted = stroke.silence > LONGEST_LINK;
        if let Some((kind, from, to)) = kind::classify(line.hand, &spans, &struck, &held, &arriving, lifted) {
            let seconds = stroke.seconds - strokes[index.saturating_sub(1)].seconds;
            movements.push(between(line.hand, kind, from, to, index, seconds));
            steps.note(&mut movements, struck.iter().flatten().count() == 1 && stroke.count == 1);
        }
        for placed in arriving.iter().flatten() {
            down[placed.finger.index()] = Some((*placed, onset + score.notes[placed.note].duration.to_f64()));
        }
        struck = arriving;
        for placed in arriving.into_iter().flatten() {
            substitute(score, placed, &mut struck, &mut down, |from, to| {
                movements.push(between(line.hand, MovementKind::Substitution, from, to, index, 0.0));
            });
        }
    }
    for movement in &mut movements {
        let points = match (movement.kind, fingering.slice_costs.get(movement.slice)) {
            (MovementKind::Crossing(_), _) => f64::from(movement.awkwardness),
            (_, Some(cost)) => f64::from(*cost) / f64::from(POINT),
            _ => 0.0,
        };
        movement.effort = points * pace(movement.seconds);
    }
    movements
}

/// Releases that round to the next onset are no overlap; in quarters. Chosen by us: less than the smallest note in use, a
/// 256th.
const ROUNDING: f64 = 1e-3;

/// The fingers that strike a stroke.
fn fingers_of(score: &Score, line: &Line, fingering: &Fingering, stroke: &Stroke) -> Fingers {
    let mut fingers: Fingers = [None; 5];
    let notes = line.notes[stroke.range()].iter().zip(&fingering.fingers[stroke.range()]);
    for (note, finger) in notes {
        let Some(finger) = finger else { continue };
        let placed = Placed { note: *note, key: score.notes[*note].midi, finger: *finger };
        let slot = &mut fingers[finger.index()];
        let outer = |other: &Placed| line.hand.outward() * other.key.semitones_to(placed.key) > 0;
        if slot.as_ref().is_none_or(outer) {
            *slot = Some(placed);
        }
    }
    fingers
}

/// Changes fingers on a held key as printed: `4-5` means that the fourth strikes and the fifth takes over.
fn substitute(
    score: &Score,
    mut placed: Placed,
    struck: &mut Fingers,
    down: &mut [Option<(Placed, f64)>; 5],
    mut report: impl FnMut(Placed, Placed),
) {
    let changes = score.notes[placed.note].written.iter().filter(|written| written.substitution);
    for finger in changes.map(|written| written.finger) {
        if finger == placed.finger || struck[finger.index()].is_some() {
            continue;
        }
        let next = Placed { finger, ..placed };
        report(placed, next);
        struck[placed.finger.index()] = None;
        struck[finger.index()] = Some(next);
        down[finger.index()] = down[placed.finger.index()].take().map(|(_, end)| (next, end));
        placed = next;
    }
}

fn between(hand: Hand, kind: MovementKind, from: Placed, to: Placed, slice: usize, seconds: f64) -> Movement {
    Movement {
        hand,
        kind,
        from: from.note,
        to: to.note,
        from_finger: from.finger,
        to_finger: to.finger,
        interval: from.key.semitones_to(to.key),
        from_colour: from.key.colour(),
        to_colour: to.key.colour(),
        seconds,
        slice,
        awkwardness: 0,
        effort: 0.0,
    }
}

/// Sets the awkwardness of crossings, for which the step next to them on their outer side counts: the one before a thumb
/// under, the one after a finger over.
#[derive(Default)]
struct OuterSteps {
    /// Semitones of the step before, where single neighbouring fingers took it.
    before: i32,
    /// Place of a finger over whose next step is not known yet.
    over: Option<usize>,
}

impl OuterSteps {
    /// Takes notice of the last movement; `single` says that it led from one note to one note.
    fn note(&mut self, movements: &mut [Movement], single: bool) {
        let Some((movement, earlier)) = movements.split_last_mut() else { return };
        let neighbours = movement.from_finger.number().abs_diff(movement.to_finger.number()) == 1;
        let step = if single && neighbours && movement.crossing().is_none() { movement.interval } else { 0 };
        let along = |crossing: &Crossing, step: i32| if step.signum() == crossing.interval.signum() { step } else { 0 };
        if let Some(over) = self.over.take().and_then(|place| earlier.get_mut(place))
            && let Some(crossing) = over.crossing()
        {
            over.awkwardness = awkwardness(&crossing, along(&crossing, step)).total();
        }
        if let Some(crossing) = movement.crossing() {
            movement.awkwardness = awkwardness(&crossing, along(&crossing, self.before)).total();
            if crossing.kind == CrossingKind::FingerOver {
                // Without a next step: the step before is on the other side and does not count.
                movement.awkwardness = awkwardness(&crossing, 0).total();
                self.over = Some(earlier.len());
            }
        }
        self.before = step;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{line, printed, steady};

    fn movements(text: &str) -> Vec<Movement> {
        let (score, line) = line(text);
        measure_movements(&score, &line, &printed(&score, &line), &steady(120.0))
    }

    fn kinds(text: &str) -> String {
        let letter = |movement: &Movement| match movement.kind {
            MovementKind::Step => "step",
            MovementKind::Crossing(CrossingKind::ThumbUnder) => "under",
            MovementKind::Crossing(CrossingKind::FingerOver) => "over",
            MovementKind::Stretch => "stretch",
            MovementKind::Shift => "shift",
            MovementKind::Repeat => "repeat",
            MovementKind::Substitution => "change",
        };
        movements(text).iter().map(letter).collect::<Vec<_>>().join(" ")
    }

    // Common practice, no source: F, C, F under the thumb going up.
    #[test]
    fn c_major_over_two_octaves_has_three_crossings_each_way() {
        let up = "C4-1/8 D4-2 E4-3 F4-1 G4-2 A4-3 B4-4 C5-1 D5-2 E5-3 F5-1 G5-2 A5-3 B5-4";
        let down = "C6-5 B5-4 A5-3 G5-2 F5-1 E5-3 D5-2 C5-1 B4-4 A4-3 G4-2 F4-1 E4-3 D4-2 C4-1";
        let all = movements(&format!("R: {up} {down}"));
        let crossings: Vec<_> = all.iter().filter_map(Movement::crossing).collect();
        let fingers: Vec<_> = crossings.iter().map(|c| (c.kind.name(), c.finger().number())).collect();
        let (under, over) = ("thumb under", "finger over");
        assert_eq!(fingers, [(under, 3), (under, 4), (under, 3), (over, 3), (over, 4), (over, 3)]);
        assert!(all.iter().all(|m| m.crossing().is_some() || m.kind == MovementKind::Step));
    }

    #[test]
    fn the_left_hand_is_the_mirror_of_the_right() {
        assert_eq!(kinds("L: G3-1/8 A3-3 B3-2 C4-1"), "over step step");
        assert_eq!(kinds("L: C4-1/8 B3-2 A3-3 G3-1"), "step step under");
    }

    #[test]
    fn movements_have_the_kinds_that_a_pianist_gives_them() {
        assert_eq!(kinds("R: C4-1 G4-5 E4-3 E4-3 E4-2"), "step step repeat repeat");
        assert_eq!(kinds("R: C4-1 C5-5 E4-2"), "stretch stretch");
        assert_eq!(kinds("R: C4-1 C6-5"), "shift", "beyond the hand");
        assert_eq!(kinds("R: C4-3 G4-3"), "shift", "the same finger elsewhere");
        assert_eq!(kinds("R: C4-4 D4-3"), "shift", "fingers cross without the thumb");
        assert_eq!(kinds("R: C4-1 D4-5"), "shift", "the hand closes under the fifth");
        assert_eq!(kinds("R: C4-3 A4-1"), "shift", "too far for the thumb");
        assert_eq!(kinds("R: C4-5 D4-1"), "shift", "nobody passes the thumb under the fifth");
        assert_eq!(kinds("R: E4-3/4 r F4-1"), "shift", "a rest lets the hand go where it likes");
    }

    #[test]
    fn a_printed_substitution_is_a_movement_and_the_new_finger_goes_on() {
        let all = movements("R: C5-4~5/2 B4-4 A4-3");
        assert_eq!(kinds("R: C5-4~5/2 B4-4 A4-3"), "change step step");
        assert_eq!((all[1].from_finger.number(), all[1].to_finger.number()), (5, 4));
    }

    #[test]
    fn chords_that_move_are_shifts_and_thirds_can_cross() {
        assert_eq!(kinds("R: [C4-1 E4-3 G4-5] [D4-1 F4-3 A4-5]"), "shift");
        assert_eq!(kinds("R: [D4-2 F4-4]/8 [E4-1 G4-3]"), "under");
        assert_eq!(kinds("R: [C4-1 E4-3]/8 [D4-2 F4-4] [E4-1 G4-3]"), "step under");
        assert_eq!(kinds("R: [C4-1 E4-3]/8 [D4-1 F4-3]"), "shift", "the thumb moves itself");
    }

    #[test]
    fn a_finger_passes_over_a_held_thumb_and_the_thumb_under_a_held_finger() {
        assert_eq!(kinds("R: C5-5/1>4 A4-3/4 B4-1"), "step under");
        assert_eq!(kinds("R: E4-1/1>4 G4-3/4 F4-2 D4-3"), "step step over");
    }

    #[test]
    fn speed_makes_a_crossing_more_work_but_not_more_awkward() {
        let [slow, fast] = ["R: E4-3/4 F4-1", "R: E4-3/16 F4-1"].map(|text| movements(text)[0]);
        assert_eq!(slow.awkwardness, fast.awkwardness);
        assert!(fast.effort > slow.effort && slow.effort > 0.0);
    }

    // Common practice, no source: coming down E-flat major, C to B-flat is by far its hardest moment.
    #[test]
    fn a_crossing_in_a_run_is_as_awkward_as_in_the_scale() {
        use crate::scales::{Key, Scale, ScaleLine};
        use crate::score::Mode;
        use crate::units::Motion;
        let down = "R: Eb5-3/8 D5-2 C5-1 Bb4-4 Ab4-3 G4-2 F4-1 Eb4-3";
        let in_piece: Vec<_> = movements(down).iter().filter(|m| m.awkwardness > 0).map(|m| m.awkwardness).collect();
        let key = Key::from_fifths(-3, Mode::Major).unwrap();
        let scale = Scale::new(key, crate::scales::Form::Major).unwrap();
        let line = ScaleLine::new(scale, Hand::Right, Motion::Down);
        let in_scale: Vec<_> = line.crossings.iter().map(|crossing| crossing.awkwardness.total()).collect();
        assert_eq!(in_piece, in_scale);
        assert!(in_piece[0] > in_piece[1]);
    }
}

//! What a hand does from one slice to the next.
//!
//! In: a line and its fingering. Out: [`Movement`]s, the crossings among them, in playing order.

pub use crate::crossing::CrossingKind;
use crate::score::NoteId;
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
    /// Seconds between the two onsets.
    pub seconds: f64,
    /// Index of the slice reached, in the hand's line.
    pub slice: usize,
    /// How awkward, in cost units of the fingering, and more at speed.
    pub effort: f64,
}

//! What the caller may ask for.

use crate::limits::Limits;
use crate::player::Player;
use crate::scales::Scale;
use crate::units::Hand;

/// Everything that changes a report besides the bytes themselves.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Turn remarks into errors.
    pub strict: bool,
    /// Quarter notes a minute, instead of what the file says.
    pub quarter_bpm: Option<f64>,
    /// Printed numbers of the first and last measure to look at.
    pub measures: Option<(String, String)>,
    /// The hand that plays.
    pub player: Player,
    /// Scales that the player has, by hand.
    pub known_scales: Vec<(Scale, Hand)>,
    /// Bounds on the input.
    pub limits: Limits,
}

//! How far a finger departs from the handbooks at one note.

use super::costs::Cost;
use super::moments::MOST;
use crate::units::Finger;

/// What each finger counts, in halves of the weight: nothing for the printed one, one for another that handbooks accept,
/// two for the rest.
pub type Halves = [Cost; MOST];

/// From the fingers that handbooks accept, the printed one first.
pub fn halves(accepted: impl IntoIterator<Item = Finger>) -> Halves {
    let mut halves = [2; MOST];
    for (rank, finger) in accepted.into_iter().enumerate() {
        let half = &mut halves[finger.index()];
        *half = (*half).min(Cost::from(rank > 0));
    }
    halves
}

/// The costs for a weight.
pub fn costs(halves: Halves, weight: Cost) -> [Cost; MOST] {
    halves.map(|halves| halves * weight / 2)
}

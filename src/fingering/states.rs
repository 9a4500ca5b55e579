//! The ways in which five fingers can take the keys of one moment.
//!
//! In: how many keys are down and which fingers are prescribed. Out: lists of fingers, one for each key, in a fixed
//! order (by the first finger, then the second, and so on) that also decides ties.

use super::moments::MOST;

/// A finger index for each active key, outward; beyond the number of keys it is unused.
pub type Fingers = [u8; MOST];

/// Most states of one moment. Chosen by us: five keys in order have one, two keys ten; only misprinted digits in a
/// chord would need more.
const MOST_STATES: usize = 32;

/// What is known of a key's finger before the search: a finger index, or none.
pub type Prescribed = [Option<u8>; MOST];

/// Appends the states of `count` keys to `states`; returns whether they are possible for a hand (each finger on one
/// key). Prescribed fingers are law: if no order of fingers fits them, crossed hands are taken, then two keys for one
/// finger.
pub fn list_states(count: usize, prescribed: &Prescribed, crossing: bool, states: &mut Vec<Fingers>) -> bool {
    let start = states.len();
    for order in [Order::Outward, Order::Distinct, Order::Any] {
        if order == Order::Outward && crossing && count > 1 {
            fill(count, prescribed, Order::ThumbFree, &mut [0; MOST], 0, start, states);
        } else {
            fill(count, prescribed, order, &mut [0; MOST], 0, start, states);
        }
        if states.len() > start {
            return order != Order::Any;
        }
    }
    states.push([0; MOST]);
    false
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Order {
    /// Fingers rise outward.
    Outward,
    /// As [`Order::Outward`], but the thumb may lie under the others.
    ThumbFree,
    /// Each finger once.
    Distinct,
    /// A finger may take two keys.
    Any,
}

fn fill(
    count: usize,
    prescribed: &Prescribed,
    order: Order,
    state: &mut Fingers,
    at: usize,
    start: usize,
    states: &mut Vec<Fingers>,
) {
    if states.len() - start >= MOST_STATES {
        return;
    }
    if at == count {
        states.push(*state);
        return;
    }
    let earlier = *state;
    let before = &earlier[..at];
    let choices = match prescribed[at] {
        Some(finger) => finger..finger + 1,
        None => 0..MOST as u8,
    };
    for finger in choices {
        let fits = match order {
            Order::Outward => before.iter().all(|f| *f < finger),
            Order::ThumbFree => {
                !before.contains(&finger) && before.iter().all(|f| *f < finger || finger == 0 && count == 2)
            }
            Order::Distinct => !before.contains(&finger),
            Order::Any => true,
        };
        if fits {
            state[at] = finger;
            fill(count, prescribed, order, state, at + 1, start, states);
        }
    }
    state[at] = 0;
}

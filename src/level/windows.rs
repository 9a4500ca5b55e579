//! Eight seconds at a time: how much each demand asks for, from every measure on.
//!
//! In: a [`Table`] and a speed, 1 for the tempo of the piece. Out: for each measure the rates of all demands in the
//! eight seconds that begin with it. The windows at the end are moved back to stay inside the piece, so that a faster
//! tempo only ever widens what a window takes in, and no rate falls when the music goes faster.

use super::demand::{Demand, Pool};
use super::table::Table;

/// Length of a window in seconds. Chosen by us: two to four measures of ordinary music, about as long as a pianist
/// reads and prepares in one piece; 4 and 16 seconds order the pieces of the table equally well.
pub(super) const WINDOW_SECONDS: f64 = 8.0;

/// Share of the other hand that counts beside the busier one. Chosen by us: none, half and all order the pieces of the
/// table equally well.
const OTHER_HAND: f64 = 0.5;

/// Rates of all demands in one window: both hands together, the right alone, the left alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct Window {
    /// Put together as the demand says.
    pub both: [f64; Demand::COUNT],
    /// Each hand alone.
    pub hands: [[f64; Demand::COUNT]; 2],
    /// Counted seconds for a second as played, by which a rate is multiplied to be what a metronome would count.
    pub haste: f64,
    /// Rows that it reaches into, first and last.
    pub rows: (usize, usize),
}

/// The window that begins with each measure.
pub(super) fn windows(table: &Table, speed: f64) -> Vec<Window> {
    let count = table.rows.len();
    let total = table.seconds();
    if count == 0 || total <= 0.0 {
        return Vec::new();
    }
    let origin = table.starts[0];
    let mut running = vec![[[0.0; Demand::COUNT]; 2]; count + 1];
    for (row, sums) in table.rows.iter().enumerate() {
        let mut next = running[row];
        for (total, sum) in next.iter_mut().flatten().zip(sums.sums.iter().flatten()) {
            *total += sum;
        }
        running[row + 1] = next;
    }
    let span = WINDOW_SECONDS * speed;
    // Seconds that the window lasts when it is played.
    let played = span.min(total) / speed;
    let (mut first, mut last) = (0, 0);
    let mut out = Vec::with_capacity(count);
    for row in 0..count {
        let from = (table.starts[row] - origin).min((total - span).max(0.0));
        let to = (from + span).min(total);
        first = advance(table, origin, from, first);
        last = advance(table, origin, to, last);
        let mut both = [0.0; Demand::COUNT];
        let mut hands = [[0.0; Demand::COUNT]; 2];
        let (a, b) = (place(table, origin, from, first), place(table, origin, to, last));
        let sum = |hand: usize, demand: usize| {
            let upto = |(row, part): (usize, f64)| {
                let start = running[row][hand][demand];
                start + part * (running[row + 1][hand][demand] - start)
            };
            (upto(b) - upto(a)).max(0.0)
        };
        let mut keys = [0_u128; 2];
        for inside in &table.rows[first..=last.min(count - 1)] {
            keys[0] |= inside.keys[0];
            keys[1] |= inside.keys[1];
        }
        for demand in Demand::ALL {
            let d = *demand as usize;
            let each = [0, 1].map(|hand: usize| match demand.pool() {
                Pool::Busier | Pool::Sum | Pool::Joint => sum(hand, d) / played,
                Pool::Power => sum(hand, d) * speed / played,
                Pool::Keys => f64::from(keys[hand].count_ones()),
                Pool::Palette => f64::from(palette(keys[hand])),
            });
            both[d] = match demand.pool() {
                Pool::Busier | Pool::Keys => busier(each[0], each[1]),
                Pool::Power => busier(each[0], each[1]).sqrt(),
                Pool::Sum | Pool::Joint => each[0] + each[1],
                Pool::Palette => f64::from(palette(keys[0] | keys[1])),
            };
            hands[0][d] = each[0];
            hands[1][d] = each[1];
            if demand.pool() == Pool::Power {
                hands[0][d] = each[0].sqrt();
                hands[1][d] = each[1].sqrt();
            }
        }
        let rows = (first, last.min(count - 1));
        out.push(Window { both, hands, haste: haste(table, rows), rows });
    }
    out
}

/// Counted seconds for a second as played over some rows.
fn haste(table: &Table, rows: (usize, usize)) -> f64 {
    let span = |times: &[f64]| times[rows.1 + 1] - times[rows.0];
    let (counted, played) = (span(&table.starts), span(&table.played));
    if played > 0.0 { counted / played } else { 1.0 }
}

fn busier(right: f64, left: f64) -> f64 {
    right.max(left) + OTHER_HAND * right.min(left)
}

/// The row that holds a time, searched onwards from `from`.
fn advance(table: &Table, origin: f64, time: f64, from: usize) -> usize {
    let mut row = from;
    while row + 1 < table.rows.len() && table.starts[row + 1] - origin <= time {
        row += 1;
    }
    row
}

/// The row of a time and how far into the row it is, 0 to 1.
fn place(table: &Table, origin: f64, time: f64, row: usize) -> (usize, f64) {
    let (start, end) = (table.starts[row] - origin, table.starts[row + 1] - origin);
    let part = if end > start { ((time - start) / (end - start)).clamp(0.0, 1.0) } else { 1.0 };
    (row, part)
}

/// How many of the twelve notes.
fn palette(keys: u128) -> u32 {
    let mut folded = 0_u128;
    let mut rest = keys;
    while rest > 0 {
        folded |= rest & 0xfff;
        rest >>= 12;
    }
    folded.count_ones()
}

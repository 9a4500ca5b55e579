//! The load of both hands over the measures, drawn in systems as music is: the right hand grows upwards from the middle
//! line and the left hand downwards, and the passages stand as bars outside, each a link to its row in the table.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::keyboard::px;
use crate::analysis::Analysis;
use crate::report::view::{cut, measure_range, number, peak};
use crate::units::Hand;

/// Measures in a system at most. Chosen by us: at phone width a measure is then still twenty pixels wide.
const MOST_IN_SYSTEM: usize = 16;
/// Width of a system, in pixels of the drawing: about the width of a phone, so that letters keep their size there.
const WIDTH: f64 = 340.0;
/// Height of the curve of one hand.
const HEIGHT: f64 = 60.0;
/// Height of a bar that stands for a passage, and the space to the next.
const BAR: f64 = 13.0;
/// Space at the left for the names of the hands.
const LEFT: f64 = 16.0;
/// Space above for the measure numbers.
const NUMBERS: f64 = 16.0;
/// Rows of bars for each hand. Chosen by us: what does not fit is in the table.
const MOST_ROWS: usize = 3;

/// A passage to mark.
#[derive(Clone, Debug)]
pub struct Bar {
    /// Whose.
    pub hand: Hand,
    /// First and last measure, as indices.
    pub measures: (usize, usize),
    /// What is written in the bar, if there is room.
    pub label: String,
    /// What it is, in words.
    pub title: String,
    /// Id of the row it leads to.
    pub id: String,
}

/// Bars that do not meet, by their first measure.
type Row<'a> = BTreeMap<usize, &'a Bar>;

/// Draws all systems.
pub fn draw(analysis: &Analysis, bars: &[Bar]) -> Markup {
    let measures = analysis.score.measures.len();
    let systems = measures.div_ceil(MOST_IN_SYSTEM).max(1);
    let each = measures.div_ceil(systems).max(1);
    let heaviest = Hand::BOTH.into_iter().filter_map(|hand| peak(analysis, hand)).map(|(_, load)| load);
    let heaviest = heaviest.fold(f64::MIN_POSITIVE, f64::max);
    let rows = [Hand::Right, Hand::Left].map(|hand| stack(bars.iter().filter(|bar| bar.hand == hand)));
    html! {
        div.systems.single[systems == 1] {
            @for first in (0..measures).step_by(each) {
                (system(analysis, first, (first + each).min(measures), each, heaviest, &rows))
            }
        }
    }
}

/// Bars in rows so that no two of a row meet; longest first, so that what is left out is short.
fn stack<'a>(bars: impl Iterator<Item = &'a Bar>) -> Vec<Row<'a>> {
    let mut bars: Vec<&Bar> = bars.collect();
    bars.sort_by_key(|bar| (std::cmp::Reverse(bar.measures.1 - bar.measures.0), bar.measures.0));
    let mut rows: Vec<Row<'_>> = Vec::new();
    for bar in bars {
        let (first, last) = bar.measures;
        let free =
            |row: &&mut Row<'_>| row.range(..=last).next_back().is_none_or(|(_, other)| other.measures.1 < first);
        if let Some(row) = rows.iter_mut().find(free) {
            row.insert(first, bar);
        } else if rows.len() < MOST_ROWS {
            rows.push(Row::from([(first, bar)]));
        }
    }
    rows
}

/// The bars of a row that lie in the measures from `first` to before `end`.
fn within<'r, 'a>(row: &'r Row<'a>, first: usize, end: usize) -> impl Iterator<Item = &'a Bar> + use<'r, 'a> {
    let reaches_in = row.range(..first).next_back().filter(|(_, bar)| bar.measures.1 >= first);
    let from = reaches_in.map_or(first, |(from, _)| *from);
    row.range(from..end).map(|(_, bar)| *bar)
}

fn system(
    analysis: &Analysis,
    first: usize,
    end: usize,
    each: usize,
    heaviest: f64,
    rows: &[Vec<Row<'_>>; 2],
) -> Markup {
    let score = &analysis.score;
    let width = (WIDTH - LEFT) / each as f64;
    let x = |measure: usize| LEFT + (measure.clamp(first, end) - first) as f64 * width;
    let above = NUMBERS + rows[0].len() as f64 * BAR + 4.0;
    let middle = above + HEIGHT;
    let below = middle + HEIGHT + 4.0;
    let occupied = |row: &Row<'_>| within(row, first, end).next().is_some();
    let rows_below = rows[1].iter().rposition(occupied).map_or(0, |last| last + 1);
    let height = below + rows_below as f64 * BAR + 2.0;
    let label_every = (30.0 / width).ceil().max(1.0) as usize;
    let id = format!("system-{}", first + 1);
    let outline = |hand: Hand| {
        let towards = if hand == Hand::Right { -1.0 } else { 1.0 };
        let mut path = format!("M{} {}", px(x(first)), px(middle));
        for (measure, load) in analysis.playing(hand).loads.iter().enumerate().take(end).skip(first) {
            let y = px(middle + towards * HEIGHT * (load.effort_per_second / heaviest).clamp(0.0, 1.0));
            path.push_str(&format!("L{} {y}L{} {y}", px(x(measure)), px(x(measure + 1))));
        }
        path.push_str(&format!("L{} {}Z", px(x(end)), px(middle)));
        path
    };
    let range = measure_range(score, first, end.saturating_sub(1));
    html! {
        svg.load role="group" aria-labelledby=(id) viewBox={ "0 0 " (px(WIDTH)) " " (px(height)) } {
            title id=(id) { "Load of both hands in measures " (range) }
            @for measure in first..=end {
                line.bar x1=(px(x(measure))) x2=(px(x(measure))) y1=(px(above)) y2=(px(below - 4.0)) {}
            }
            @for measure in (first..end).step_by(label_every) {
                text.number x=(px(x(measure) + 1.0)) y="11" { (cut(number(score, measure), 5)) }
            }
            path.right d=(outline(Hand::Right)) {}
            path.left d=(outline(Hand::Left)) {}
            line.middle x1=(px(LEFT)) x2=(px(x(end))) y1=(px(middle)) y2=(px(middle)) {}
            text.right x="0" y=(px(middle - 6.0)) { "R" }
            text.left x="0" y=(px(middle + 15.0)) { "L" }
            @for (hand, rows) in Hand::BOTH.into_iter().zip(rows) {
                @for (row, bars) in rows.iter().enumerate() {
                    @let row = row as f64 * BAR;
                    @let y = if hand == Hand::Right { above - 4.0 - row - BAR + 2.0 } else { below + row };
                    @for bar in within(bars, first, end) {
                        @let (from, to) = (x(bar.measures.0), x(bar.measures.1 + 1));
                        a href={ "#" (bar.id) } aria-label=(bar.title) {
                            title { (bar.title) }
                            rect.passage.right[hand == Hand::Right].left[hand == Hand::Left] rx="3"
                                x=(px(from + 1.0)) y=(px(y)) width=(px((to - from - 2.0).max(2.0))) height=(px(BAR - 3.0)) {}
                            @if (bar.label.len() as f64) * 6.0 < to - from - 6.0 {
                                text.label x=(px(f64::midpoint(from, to))) y=(px(y + 8.5)) text-anchor="middle" { (bar.label) }
                            }
                        }
                    }
                }
            }
        }
    }
}

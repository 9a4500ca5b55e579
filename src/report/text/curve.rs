//! The load of both hands over the measures, as a row of blocks for each, wrapped by measures.

use super::page::{Ink, Page};
use crate::analysis::Analysis;
use crate::loads::Load;
use crate::report::view::{clean, cut, number};

/// Eight heights, from a little to the most; a measure without notes is a dot.
const BLOCKS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// Measures of one mark at least, so that a long piece takes no more rows than this. Chosen by us: what is seen at once.
const MOST_ROWS: usize = 4;

/// Columns before the marks.
const LABEL: usize = 11;

/// Marks between two printed measure numbers.
const TICK: usize = 10;

/// Writes the curve.
pub fn write(page: &mut Page, analysis: &Analysis) {
    let (right, left) = (&analysis.right.loads, &analysis.left.loads);
    let heaviest = right.iter().chain(left).map(|load| load.effort_per_second).fold(0.0, f64::max);
    if heaviest <= 0.0 {
        return;
    }
    page.heading("Load, measure by measure");
    let width = (page.columns().saturating_sub(LABEL) / TICK * TICK).max(TICK);
    let per_mark = right.len().div_ceil(width * MOST_ROWS).max(1);
    let marks = |loads: &[Load]| -> Vec<char> {
        let mark = |some: &[Load]| {
            let most = some.iter().map(|load| load.effort_per_second).fold(0.0, f64::max);
            let silent = some.iter().all(|load| load.notes == 0);
            let step = (most / heaviest * BLOCKS.len() as f64).ceil() as usize;
            if silent { '·' } else { BLOCKS[step.clamp(1, BLOCKS.len()) - 1] }
        };
        loads.chunks(per_mark).map(mark).collect()
    };
    let (right, left) = (marks(right), marks(left));
    for (row, (upper, lower)) in right.chunks(width).zip(left.chunks(width)).enumerate() {
        let first = row * width * per_mark;
        let mut ruler = String::from("  measure  ");
        for tick in (0..upper.len()).step_by(TICK) {
            let number = cut(&clean(number(&analysis.score, first + tick * per_mark)), TICK - 1);
            ruler.push_str(&format!("{number:<TICK$}"));
        }
        let ruler = page.ink(Ink::Faint, ruler.trim_end());
        page.line(&ruler);
        for (name, marks) in [("right", upper), ("left", lower)] {
            page.line(&format!("{name:>9}  {}", marks.iter().collect::<String>()));
        }
    }
    let each =
        if per_mark == 1 { "one mark a measure".to_owned() } else { format!("one mark for {per_mark} measures") };
    let key = format!("{each}; █ the heaviest of both hands, ▁ little to do, · nothing to play");
    page.paragraph(LABEL, &key, Some(Ink::Faint));
}

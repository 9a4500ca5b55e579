//! A plot of seconds over notes, both by powers of ten, as SVG.

use std::fmt::Write;

/// Millimetre-like units: the drawing area, and the room around it for words.
const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 360.0;
const LEFT: f64 = 70.0;
const TOP: f64 = 30.0;

/// Powers of ten at the ends of the axes.
const NOTES: (i32, i32) = (2, 6);
const SECONDS: (i32, i32) = (-4, 2);

/// Colours that differ for every kind of sight (Okabe and Ito 2002, from memory), and signs that differ without colour.
const SERIES: [(&str, &str); 3] = [("#0072b2", "●"), ("#d55e00", "▲"), ("#009e73", "■")];

/// A name and its points: notes and seconds.
pub type Series = (&'static str, Vec<(f64, f64)>);

pub fn svg(series: &[Series]) -> String {
    let (full_width, full_height) = (LEFT + WIDTH + 130.0, TOP + HEIGHT + 60.0);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {full_width} {full_height}\" width=\"{full_width}\" \
         height=\"{full_height}\" font-family=\"sans-serif\" font-size=\"13\" fill=\"#222\">\n<title>Seconds for the \
         whole of assess over the number of notes, both axes by powers of ten</title>\n<rect width=\"100%\" \
         height=\"100%\" fill=\"#fff\"/>\n"
    );
    for power in NOTES.0..=NOTES.1 {
        let x = x(10f64.powi(power));
        let bottom = TOP + HEIGHT;
        let label = ["100", "1 000", "10 000", "100 000", "1 000 000"][(power - NOTES.0) as usize];
        let _ = writeln!(out, "<path d=\"M{x:.1} {TOP}V{bottom}\" stroke=\"#ddd\"/>");
        let _ = writeln!(out, "<text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{label}</text>", bottom + 20.0);
    }
    for power in SECONDS.0..=SECONDS.1 {
        let y = y(10f64.powi(power));
        let label = ["0.1 ms", "1 ms", "10 ms", "0.1 s", "1 s", "10 s", "100 s"][(power - SECONDS.0) as usize];
        let _ = writeln!(out, "<path d=\"M{LEFT} {y:.1}H{}\" stroke=\"#ddd\"/>", LEFT + WIDTH);
        let _ = writeln!(out, "<text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{label}</text>", LEFT - 8.0, y + 4.5);
    }
    let middle = LEFT + WIDTH / 2.0;
    let _ = writeln!(out, "<text x=\"{middle}\" y=\"{}\" text-anchor=\"middle\">notes</text>", TOP + HEIGHT + 45.0);
    // Where the time would be if it grew with the number of notes and nothing else, from the middle of the first series.
    if let Some((notes, seconds)) = series.first().and_then(|(_, points)| points.get(points.len() / 2)) {
        let (first, last) = (10f64.powi(NOTES.0), 10f64.powi(NOTES.1));
        let each = seconds / notes;
        let (from, to) = ((x(first), y(first * each)), (x(last), y(last * each)));
        let ends = [format!("{:.1} {:.1}", from.0, from.1), format!("{:.1} {:.1}", to.0, to.1)].join("L");
        let row = TOP + 10.0 + 22.0 * series.len() as f64;
        let key = format!("M{} {row}h24", LEFT + WIDTH + 6.0);
        for path in [format!("M{ends}"), key] {
            let _ = writeln!(out, "<path d=\"{path}\" stroke=\"#666\" stroke-dasharray=\"6 5\"/>");
        }
        let _ = writeln!(out, "<text x=\"{}\" y=\"{}\">linear</text>", LEFT + WIDTH + 34.0, row + 4.0);
    }
    for (row, ((name, points), (colour, sign))) in series.iter().zip(SERIES).enumerate() {
        let line: Vec<String> =
            points.iter().map(|(notes, seconds)| format!("{:.1} {:.1}", x(*notes), y(*seconds))).collect();
        let _ =
            writeln!(out, "<path d=\"M{}\" stroke=\"{colour}\" stroke-width=\"1.6\" fill=\"none\"/>", line.join("L"));
        let mark = |x: f64, y: f64| {
            format!("<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\" fill=\"{colour}\">{sign}</text>\n")
        };
        for (notes, seconds) in points {
            out += &mark(x(*notes), y(*seconds) + 4.5);
        }
        let y = TOP + 14.0 + 22.0 * row as f64;
        out += &mark(LEFT + WIDTH + 22.0, y);
        let _ = writeln!(out, "<text x=\"{}\" y=\"{y}\">{}</text>", LEFT + WIDTH + 34.0, name.replace('-', " "));
    }
    out + "</svg>\n"
}

fn x(notes: f64) -> f64 {
    LEFT + WIDTH * (notes.log10() - f64::from(NOTES.0)) / f64::from(NOTES.1 - NOTES.0)
}

fn y(seconds: f64) -> f64 {
    TOP + HEIGHT * (f64::from(SECONDS.1) - seconds.log10()) / f64::from(SECONDS.1 - SECONDS.0)
}

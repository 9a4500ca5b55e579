//! The whole program, from bytes to every report, before files that are broken or made to hurt.
//!
//! Each test runs a short, fixed selection. `THUMBUNDER_ONSLAUGHT=N` takes N times as many and larger files; then
//! `--nocapture` shows how many were tried and which took longest. What is random here comes from fixed seeds, so that a
//! failure comes again.

#![allow(clippy::format_collect, reason = "inputs are built once")]

use std::fmt::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use thumbunder::Options;
use thumbunder::analysis::{Analysis, analyse};
use thumbunder::musicxml::read_score;
use thumbunder::report::excerpts::excerpts;
use thumbunder::report::{html, json, notes_csv, text};
use thumbunder::units::Hand;

use crate::hostile::{NOTE, element, measure, zipped};
use crate::reading::small_scores;

/// How many times the usual work.
fn times() -> usize {
    std::env::var("THUMBUNDER_ONSLAUGHT").ok().and_then(|n| n.parse().ok()).unwrap_or(1)
}

/// What was tried, and what took longest.
struct Tally {
    name: &'static str,
    tried: usize,
    reported: usize,
    slowest: (Duration, String),
}

impl Tally {
    fn new(name: &'static str) -> Self {
        Self { name, tried: 0, reported: 0, slowest: (Duration::ZERO, String::new()) }
    }

    /// Analyses the bytes and writes every report.
    fn run(&mut self, about: impl Fn() -> String, bytes: &[u8], options: &Options) {
        let start = Instant::now();
        self.tried += 1;
        if let Ok(analysis) = analyse(bytes, options) {
            self.reported += 1;
            write_reports(&analysis);
            pencil_in(&analysis, bytes, options);
        }
        let took = start.elapsed();
        if took > self.slowest.0 {
            self.slowest = (took, about());
        }
    }
}

impl Drop for Tally {
    #[allow(clippy::print_stdout, reason = "figures for the person who runs it longer")]
    fn drop(&mut self) {
        let (took, about) = &self.slowest;
        println!("{}: {} files, {} reported; slowest {took:.2?}: {about}", self.name, self.tried, self.reported);
    }
}

/// Writes all reports and checks what holds for any file.
fn write_reports(analysis: &Analysis) {
    let file = "a \u{1b}[31m<b>&\u{202e}.musicxml";
    let screen = text::render(analysis, file, None, text::Style::default());
    assert!(screen.chars().all(|c| c == '\n' || !c.is_control()), "control characters on the screen");
    let narrow = text::Style { columns: 1, colour: true };
    assert!(!text::render(analysis, file, None, narrow).is_empty());
    let report: serde_json::Value = serde_json::from_str(&json::render(analysis, file, None).unwrap()).unwrap();
    assert!(report.is_object());
    let page = html::render(analysis, file, None, &html::Pictures::default());
    assert!(!page.contains("<b>&"), "markup of a file name on the page");
    let (right, left) = (&analysis.right.fingering, &analysis.left.fingering);
    let table = notes_csv::render(&analysis.score, &analysis.hands, Some(right), Some(left));
    let notes: usize = Hand::BOTH.iter().map(|hand| analysis.line(*hand).notes.len()).sum();
    assert_eq!(csv::Reader::from_reader(table.as_bytes()).records().flatten().count(), notes);
}

/// Writes fingers into the score; what comes out is the same score for our reader, but for parts that no hand plays.
fn pencil_in(analysis: &Analysis, bytes: &[u8], options: &Options) {
    let (whole, _) = read_score(bytes, &options.limits).unwrap();
    for excerpt in excerpts(analysis, bytes, &options.limits).unwrap() {
        let (first, last) = excerpt.measures;
        assert!(first <= last && last < whole.measures.len());
        let (pencilled, _) = read_score(excerpt.musicxml.as_bytes(), &options.limits).unwrap();
        assert!(pencilled.notes.len() <= whole.notes.len());
        assert!(pencilled.parts.len() < whole.parts.len() || pencilled.notes.len() == whole.notes.len());
    }
}

/// A linear congruential generator (Knuth 1997, The Art of Computer Programming 2, 3.3.4, table 1, line 26).
struct Random(u64);

impl Random {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end.max(1)
    }

    fn of<'t, T>(&mut self, list: &'t [T]) -> &'t T {
        &list[self.below(list.len())]
    }
}

/// The pieces of the corpus and the small scores, by name.
fn seeds() -> Vec<(String, Vec<u8>)> {
    let mut found = small_scores();
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| ["musicxml", "xml", "mxl"].iter().any(|known| end == *known)) {
            found.push((path.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(&path).unwrap()));
        }
    }
    found.sort();
    found
}

#[test]
fn scores_with_flipped_bits_are_reported_or_refused() {
    let mut tally = Tally::new("flipped bits");
    let mut random = Random(1);
    for (name, bytes) in seeds() {
        for round in 0..2 * times() {
            let mut bytes = bytes.clone();
            for _ in 0..=random.below(4) {
                let at = random.below(bytes.len());
                bytes[at] ^= 1 << random.below(8);
            }
            tally.run(|| format!("{name}, round {round}"), &bytes, &Options::default());
        }
    }
}

#[test]
fn scores_cut_at_every_kilobyte_are_refused() {
    let mut tally = Tally::new("cuts");
    for (name, bytes) in seeds() {
        // Behind the root there may be white space, which is no loss.
        let root = bytes.iter().rposition(|byte| !byte.is_ascii_whitespace() && *byte != 0).unwrap_or(0);
        for end in (0..=root).step_by((8 << 10) / times().min(8)) {
            tally.run(|| format!("{name} cut at {end}"), &bytes[..end], &Options::default());
        }
    }
    assert_eq!(tally.reported, 0);
}

/// Numbers and words that a file may have where another was expected.
const ODD: &[&str] = &[
    "",
    "0",
    "-0",
    "1",
    "-1",
    "2",
    "3",
    "5",
    "7",
    "8",
    "127",
    "128",
    "255",
    "256",
    "-128",
    "1000",
    "-1000",
    "32767",
    "65535",
    "65536",
    "1000000",
    "-1000000",
    "2147483647",
    "-2147483648",
    "4294967296",
    "9223372036854775807",
    "1e9",
    "1e308",
    "1e-9",
    "0.1",
    "0.3333333333333333",
    "1/3",
    "NaN",
    "inf",
    "-inf",
    "99999999999999999999",
    "C",
    "\u{202e}\u{7f}",
    "start",
    "stop",
    "quarter",
    "1024th",
    "maxima",
    "12345",
    "4-5",
    "5 4 3 2 1",
    "percussion",
    "<rest/>",
    "&#0;",
    "&lt;b&gt;&amp;\u{0}",
];

/// A score with one element a line, whatever its layout was.
fn elements(text: &str) -> Vec<String> {
    text.replace("><", ">\n<").lines().map(|line| line.trim().to_owned()).collect()
}

/// True for an element without children.
fn is_leaf(line: &str) -> bool {
    line.starts_with('<') && !line.starts_with("</") && (line.contains("</") || line.ends_with("/>"))
}

/// Changes some elements of a score, but leaves it well-formed for the most part: puts odd values in, and doubles, drops,
/// swaps and moves elements.
fn disturb(lines: &mut Vec<String>, random: &mut Random) {
    for _ in 0..=random.below(12) {
        let leaf = |random: &mut Random, lines: &[String]| {
            (0..1_000).map(|_| random.below(lines.len())).find(|at| is_leaf(&lines[*at]))
        };
        let (Some(at), Some(other)) = (leaf(random, lines), leaf(random, lines)) else { return };
        match random.below(8) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(at, lines[other].clone()),
            2 => lines.swap(at, other),
            3 => {
                // A whole note, or what else begins here, goes to where another leaf is.
                let opens = |line: &String| line.starts_with('<') && !line.contains("</") && !line.ends_with("/>");
                let Some(start) = lines[..at].iter().rposition(opens) else { continue };
                let name = lines[start].split(['<', '>', ' ']).nth(1).unwrap_or_default();
                let close = format!("</{name}>");
                let Some(length) = lines[start..].iter().position(|line| *line == close) else { continue };
                let copies = vec![lines[start..=start + length].to_vec(); 1 + random.below(30)].concat();
                lines.splice(start..start, copies);
            }
            _ => {
                let odd = random.of(ODD);
                let line = lines[at].clone();
                let mut changed = line.clone();
                if let (Some(open), Some(close)) = (line.find('>'), line.rfind("</"))
                    && open < close
                {
                    changed.replace_range(open + 1..close, odd);
                } else if let Some(open) = line.find('"')
                    && let Some(length) = line[open + 1..].find('"')
                {
                    changed.replace_range(open + 1..open + 1 + length, odd);
                }
                if random.below(3) == 0 {
                    lines.iter_mut().filter(|other| **other == line).for_each(|other| other.clone_from(&changed));
                } else {
                    lines[at] = changed;
                }
            }
        }
    }
}

#[test]
fn nearly_valid_scores_are_reported_or_refused() {
    let mut tally = Tally::new("nearly valid");
    let mut random = Random(2);
    let seeds: Vec<(String, String)> =
        seeds().into_iter().filter_map(|(name, bytes)| Some((name, String::from_utf8(bytes).ok()?))).collect();
    for (name, text) in &seeds {
        let elements = elements(text);
        for round in 0..4 * times() {
            let mut disturbed = elements.clone();
            disturb(&mut disturbed, &mut random);
            let disturbed = disturbed.join("\n");
            let mut options = Options::default();
            if random.below(3) == 0 {
                options.quarter_bpm = Some(*random.of(&[5.0, 1000.0, 1e-9, 1e9, f64::NAN, f64::INFINITY, 0.0, -60.0]));
            }
            if random.below(3) == 0 {
                let number =
                    |random: &mut Random| random.of(&["1", "2", "3", "4", "8", "999", "", "X1"]).to_owned().to_owned();
                options.measures = Some((number(&mut random), number(&mut random)));
            }
            tally.run(|| format!("{name}, round {round}"), disturbed.as_bytes(), &options);
        }
    }
    assert!(tally.reported * 2 > tally.tried, "most are still read");
}

#[test]
fn crowds_are_reported_in_linear_time() {
    // Whatever looks at every note again for every note does not come to an end here.
    let mut tally = Tally::new("crowds");
    let count = 2_000 * times();
    for (name, crowd) in crowds(count) {
        tally.run(|| format!("{count} {name}"), crowd.as_bytes(), &Options::default());
    }
    assert_eq!(tally.reported, tally.tried);
}

/// Scores with very many of one thing.
fn crowds(count: usize) -> Vec<(&'static str, String)> {
    let steps: Vec<String> = ["C", "D", "E", "F", "G", "A", "B"].iter().map(|step| NOTE.replace('C', step)).collect();
    let run = |note: &dyn Fn(&str) -> String| -> String {
        (0..count).map(|at| note(&steps[if at / 7 % 2 == 0 { at % 7 } else { 6 - at % 7 }])).collect()
    };
    let marked =
        |marks: &str| run(&|note: &str| note.replace("</note>", &format!("<notations>{marks}</notations></note>")));
    let sound = "<sound tempo='60'/>";
    let staves = |note: &str, at: usize| note.replace("</note>", &format!("<staff>{}</staff></note>", at % 250 + 1));
    let both = |of: &dyn Fn(&str, usize) -> String| -> String { (0..count).map(|at| of(&steps[at % 7], at)).collect() };
    let words = "<direction><direction-type><words>Allegro m.s.</words></direction-type></direction>";
    let measures = |attributes: &str| -> String {
        (0..count).map(|at| format!("</measure><measure number='{}'>{attributes}{}", at % 9, steps[at % 7])).collect()
    };
    let keys: String = (0..count)
        .map(|at| {
            format!("<attributes><key><fifths>{}</fifths></key></attributes>{}", at as i64 % 15 - 7, steps[at % 7])
        })
        .collect();
    let held = run(&|note: &str| {
        note.replace("<duration>1<", "<duration>1000000<") + "<backup><duration>999999</duration></backup>"
    });
    let score = |name, content: String| (name, measure(&format!("{NOTE}{content}")));
    vec![
        score("notes in a row", run(&str::to_owned)),
        score("notes at one onset", run(&|note: &str| note.replace("<note>", "<note><chord/>"))),
        score(
            "grace notes",
            run(&|note: &str| note.replace("<note>", "<note><grace/>").replace("<duration>1</duration>", "")),
        ),
        score("slurs begun", marked("<slur type='start'/>")),
        score("slurs ended", marked("<slur type='stop'/>")),
        score("ties begun", run(&|note: &str| note.replace("<voice>", "<tie type='start'/><voice>"))),
        score("trills", marked("<ornaments><trill-mark/></ornaments>")),
        score("digits", marked("<technical><fingering>13542</fingering></technical>")),
        score("one digit", marked("<technical><fingering>1</fingering></technical>")),
        score("arpeggio signs at one onset", marked("<arpeggiate/>").replace("<note>", "<note><chord/>")),
        score("repeated notes", NOTE.repeat(count)),
        score("tempo marks", run(&|note: &str| sound.to_owned() + note)),
        score("directions", run(&|note: &str| words.to_owned() + note)),
        score("keys", keys),
        score("staves", both(&staves)),
        score("voices", both(&|note, at| note.replace("<voice>1<", &format!("<voice>{}<", at % 1_000)))),
        score("held notes", held),
        score("tiny notes", format!("<attributes><divisions>1000000</divisions></attributes>{}", run(&str::to_owned))),
        score("long notes", run(&|note: &str| note.replace("<duration>1<", "<duration>1000000000<"))),
        score("measures", measures("")),
        score("metres", measures("<attributes><time><beats>3</beats><beat-type>8</beat-type></time></attributes>")),
        score("clefs", measures("<attributes><clef><sign>F</sign><line>4</line></clef></attributes>")),
        score("backups", run(&|note: &str| note.to_owned() + "<backup><duration>1</duration></backup>")),
        score("octave leaps", both(&|note, at| note.replace("<octave>4<", &format!("<octave>{}<", at % 9)))),
        score(
            "odd accidentals",
            both(&|note, at| note.replace("<octave>", &format!("<alter>{}</alter><octave>", at % 5))),
        ),
    ]
}

#[test]
fn an_excerpt_of_a_crowd_is_reported_in_linear_time() {
    let mut tally = Tally::new("excerpts of crowds");
    for (name, crowd) in crowds(1_000 * times()) {
        let options = Options { measures: Some(("1".into(), "999".into())), ..Options::default() };
        tally.run(|| name.to_owned(), crowd.as_bytes(), &options);
    }
}

#[test]
fn texts_and_numbers_of_any_kind_stay_text() {
    let mut tally = Tally::new("texts");
    let odd = [
        "\u{85}",
        "&#27;[2J",
        "&lt;script&gt;alert(1)&lt;/script&gt;",
        "\u{202e}",
        "\u{200b}",
        "𝄞",
        "e\u{301}",
        "",
        " ",
        "&#9;a&#10;b",
    ];
    for text in odd.iter().map(|odd| (*odd).to_owned()).chain([odd.concat().repeat(300), "m".repeat(100_000)]) {
        let bytes = measure(&NOTE.repeat(20))
            .replace("number='1'", &format!("number='{text}'"))
            .replace("Piano", &format!("Piano {text}"))
            .replacen("<part-list>", &format!("<movement-title>{text}</movement-title><identification><creator type='{text}'>{text}</creator><rights>{text}</rights></identification><part-list>"), 1);
        tally.run(|| text.chars().take(20).collect(), bytes.as_bytes(), &Options::default());
        let analysis = analyse(bytes.as_bytes(), &Options::default()).unwrap();
        assert!(!html::render(&analysis, "x", None, &html::Pictures::default()).contains("<script>alert"), "{text}");
    }
}

#[test]
fn bombs_are_refused_or_read_without_harm() {
    let mut tally = Tally::new("bombs");
    let options = Options::default();
    let piece = measure(NOTE);
    let deep = format!("{}{}", "<a>".repeat(50_000), "</a>".repeat(50_000));
    let mut declared = String::from("<!DOCTYPE score-partwise [<!ENTITY e '");
    let _ = write!(declared, "{}'>]>", "x".repeat(1 << 20));
    let zeros = vec![b' '; 64 << 20];
    let flat = zipped(&[
        ("META-INF/container.xml", b"<container><rootfiles><rootfile full-path='a.xml'/></rootfiles></container>"),
        ("a.xml", &zeros),
    ]);
    let nested = (0..20).fold(piece.clone().into_bytes(), |inner, _| zipped(&[("a.mxl", &inner), ("b.xml", &inner)]));
    let many: Vec<(String, &[u8])> = (0..5_000).map(|at| (format!("{at}.xml"), piece.as_bytes())).collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|(name, bytes)| (name.as_str(), *bytes)).collect();
    for (name, bytes) in [
        ("deep elements", measure(&deep).into_bytes()),
        ("deep root", deep.into_bytes()),
        ("a large entity, used often", (declared + &piece.replace("Piano", &"&e;".repeat(10_000))).into_bytes()),
        ("an archive of blanks", flat),
        ("archives in archives", nested),
        ("many entries", zipped(&many)),
        (
            "attributes",
            piece
                .replace(
                    "<measure",
                    &format!("<measure {}", (0..20_000).map(|at| format!("a{at}='' ")).collect::<String>()),
                )
                .into_bytes(),
        ),
        ("a comment", piece.replace("<note>", &format!("<!--{}--><note>", "- ".repeat(1 << 20))).into_bytes()),
        ("one open tag", b"<score-partwise ".repeat(100_000)),
        ("one long name", format!("<{}/>", "n".repeat(1 << 20)).into_bytes()),
    ] {
        tally.run(|| name.to_owned(), &bytes, &options);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn scores_of_any_numbers_are_reported_or_refused(elements in proptest::collection::vec(element(), 0..80)) {
        if let Ok(analysis) = analyse(measure(&elements.concat()).as_bytes(), &Options::default()) {
            write_reports(&analysis);
        }
    }
}

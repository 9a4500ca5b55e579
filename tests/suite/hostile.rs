//! Files that are broken, by accident or on purpose: one clear line each, and never a panic.

use std::io::Write as _;

use proptest::prelude::*;
use thumbunder::hands::assign_hands;
use thumbunder::score::Score;
use thumbunder::tempo::choose_tempo;
use thumbunder::units::{Hand, Quarters};
use thumbunder::{Error, Limits, musicxml};

use crate::reading::small_scores;

/// Reads with the default limits, all the way to hands and tempo, and checks what always holds.
fn read(bytes: &[u8]) -> Result<Score, Error> {
    read_within(bytes, &Limits::default())
}

fn read_within(bytes: &[u8], limits: &Limits) -> Result<Score, Error> {
    let (score, mut remarks) = musicxml::read_score(bytes, limits)?;
    let sorted = score.notes.is_sorted_by_key(|note| (note.onset, if note.grace == 0 { u16::MAX } else { note.grace }));
    assert!(sorted, "notes are in playing order");
    for note in &score.notes {
        assert!(note.onset >= Quarters::ZERO && note.duration >= Quarters::ZERO);
        assert!(note.measure < score.measures.len() && usize::from(note.part) < score.parts.len());
        assert_eq!(note.pitch.midi(), Some(note.midi));
    }
    assert!(score.measures.windows(2).all(|pair| pair[0].onset + pair[0].duration == pair[1].onset));
    if let Ok(hands) = assign_hands(&score, &mut remarks) {
        let tempo = choose_tempo(&score, &hands, None, &mut remarks);
        assert!(tempo.quarter_bpm.is_finite() && tempo.quarter_bpm > 0.0);
        let mut seconds = 0.0;
        for measure in &score.measures {
            let next = tempo.seconds(measure.onset);
            assert!(next >= seconds, "time goes on");
            seconds = next;
        }
        let both: usize = Hand::BOTH.iter().map(|hand| hands.line(*hand).notes.len()).sum();
        assert!(both <= score.notes.len());
    }
    Ok(score)
}

#[track_caller]
fn fails_with(bytes: &[u8], expected: &str) {
    assert_eq!(read(bytes).unwrap_err().to_string(), expected);
}

pub fn measure(content: &str) -> String {
    format!(
        "<score-partwise><part-list><score-part id='P1'><part-name>Piano</part-name></score-part></part-list>\
         <part id='P1'><measure number='1'>{content}</measure></part></score-partwise>"
    )
}

pub const NOTE: &str = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type></note>";

pub fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

#[test]
fn what_is_no_score_is_told_in_one_line() {
    fails_with(b"", "the file holds no XML element");
    fails_with(b"just words", "the file holds no XML element");
    fails_with(b"<html><body/></html>", "not MusicXML: the root element is `<html>`");
    fails_with(b"<opus/>", "a list of scores (`<opus>`), not a score");
    fails_with(b"<score-partwise/>", "the score has no measures");
    let turned = measure(NOTE).replace("score-partwise", "score-timewise");
    fails_with(turned.as_bytes(), "the score has no measures");
    let turned = format!("<score-partwise><measure><part id='P1'>{NOTE}</part></measure></score-partwise>");
    fails_with(turned.as_bytes(), "the score has no measures");
    fails_with(measure("").as_bytes(), "the score has no notes");
    fails_with(measure("<note><rest/><duration>4</duration></note>").as_bytes(), "the score has no notes");
    fails_with(b"<score-partwise>\n<part>\n", "not well-formed XML at line 3: the file breaks off inside an element");
    fails_with(
        b"<score-partwise>\n<part></score-partwise>",
        "not well-formed XML at line 2: expected `</part>`, but `</score-partwise>` was found",
    );
    fails_with(&zipped(&[]), "the archive holds no score");
    fails_with(&zipped(&[("readme.txt", b"hello")]), "the archive holds no score");
    let broken = read(b"PK\x03\x04 and then nothing").unwrap_err().to_string();
    assert!(broken.starts_with("the archive cannot be opened: "), "{broken}");
}

#[test]
fn a_score_without_a_piano_part_says_so() {
    let violin = measure(NOTE).replace("Piano", "Violin");
    let (score, mut remarks) = musicxml::read_score(violin.as_bytes(), &Limits::default()).unwrap();
    let error = assign_hands(&score, &mut remarks).unwrap_err();
    assert_eq!(error.to_string(), "no piano part among `Violin`");
}

#[test]
fn every_limit_has_its_line() {
    let over = |limits: Limits, bytes: &[u8], expected: &str| {
        let error = read_within(bytes, &limits).unwrap_err().to_string();
        assert_eq!(error, format!("{expected}=N` if the file is trusted"));
    };
    let limits = Limits::default();
    let two = measure(&NOTE.repeat(2));
    over(
        Limits { xml_bytes: 9, ..limits },
        two.as_bytes(),
        "size of the score in bytes is over the limit of 9; raise it with `--limit xml-bytes",
    );
    assert!(read_within(two.as_bytes(), &Limits { xml_bytes: two.len() as u64, ..limits }).is_ok(), "up to the limit");
    over(
        Limits { notes: 1, ..limits },
        two.as_bytes(),
        "number of notes is over the limit of 1; raise it with `--limit notes",
    );
    over(
        Limits { depth: 3, ..limits },
        two.as_bytes(),
        "depth of nested elements is over the limit of 3; raise it with `--limit depth",
    );
    over(
        Limits { parts: 0, ..limits },
        two.as_bytes(),
        "number of parts is over the limit of 0; raise it with `--limit parts",
    );
    over(
        Limits { measures: 0, ..limits },
        two.as_bytes(),
        "number of measures is over the limit of 0; raise it with `--limit measures",
    );
    over(
        Limits { element_size: 5, ..limits },
        two.as_bytes(),
        "number of elements inside one `<note>` is over the limit of 5; raise it with `--limit element-size",
    );
    let marked = measure(&format!("<sound tempo='60'/><sound tempo='70'/>{NOTE}"));
    over(
        Limits { marks: 1, ..limits },
        marked.as_bytes(),
        "number of marks is over the limit of 1; raise it with `--limit marks",
    );
    over(
        Limits { voices: 1, ..limits },
        measure(&[NOTE, &NOTE.replace("<voice>1", "<voice>2")].concat()).as_bytes(),
        "number of voices of a part is over the limit of 1; raise it with `--limit voices",
    );
    over(
        Limits { memory: 2_000, ..limits },
        two.as_bytes(),
        "memory for the score in bytes is over the limit of 2000; raise it with `--limit memory",
    );
    let archive = zipped(&[("a.xml", two.as_bytes()), ("b.xml", two.as_bytes())]);
    over(
        Limits { archive_entries: 1, ..limits },
        &archive,
        "number of entries in the archive is over the limit of 1; raise it with `--limit archive-entries",
    );
    over(
        Limits { xml_bytes: 99, ..limits },
        &archive,
        "size of the unpacked score in bytes is over the limit of 99; raise it with `--limit xml-bytes",
    );
    let bomb = measure(&" ".repeat(3 << 20));
    let bomb = zipped(&[("a.xml", bomb.as_bytes())]);
    over(
        Limits { archive_ratio: 2, ..limits },
        &bomb,
        "ratio of unpacked to packed size is over the limit of 2; raise it with `--limit archive-ratio",
    );
}

#[test]
fn empty_measures_of_the_timewise_layout_keep_their_place() {
    let score = format!(
        "<score-timewise><measure number='1'/><measure number='2'><part id='P1'>{NOTE}</part></measure></score-timewise>"
    );
    let score = read(score.as_bytes()).unwrap();
    assert_eq!(score.measures.iter().map(|measure| measure.number.as_str()).collect::<Vec<_>>(), ["1", "2"]);
    assert_eq!(score.notes[0].measure, 1);
}

#[test]
fn long_texts_are_cut() {
    let title = format!("<work><work-title>{}</work-title></work><part-list>", "la ".repeat(10_000));
    let bytes = measure(NOTE).replacen("<part-list>", &title, 1);
    let score = read(bytes.as_bytes()).unwrap();
    assert_eq!(score.title.unwrap().chars().count() as u64, Limits::default().text_length);
}

#[test]
fn an_entity_bomb_does_not_go_off() {
    let mut bomb = String::from("<?xml version='1.0'?><!DOCTYPE score-partwise [<!ENTITY a0 'ha'>");
    for level in 1..20 {
        let inside = format!("&a{};", level - 1).repeat(10);
        bomb += &format!("<!ENTITY a{level} '{inside}'>");
    }
    bomb += "]>";
    bomb += &measure(NOTE).replace("Piano", "Piano &a19;");
    let score = read(bomb.as_bytes()).unwrap();
    assert_eq!(score.parts[0].name, "Piano");
}

#[test]
fn a_path_in_an_archive_is_only_a_name() {
    let container = b"<container><rootfiles><rootfile full-path='../../etc/passwd'/></rootfiles></container>";
    let archive = zipped(&[("META-INF/container.xml", container), ("piece.xml", measure(NOTE).as_bytes())]);
    assert_eq!(read(&archive).unwrap().notes.len(), 1);
    let nested = zipped(&[("inner.mxl", &archive)]);
    fails_with(&nested, "the archive holds no score");
}

#[test]
fn crowds_are_read_in_linear_time() {
    // Each of these takes hours if anything is searched again for every note.
    let chord = NOTE.replace("<note>", "<note><chord/>");
    let tied = chord.replace("<voice>", "<tie type='start'/><voice>");
    let grace = NOTE.replace("<note>", "<note><grace/>").replace("<duration>1</duration>", "");
    let slurred = NOTE.replace("</note>", "<notations><slur type='start'/></notations></note>");
    let fingered =
        chord.replace("</note>", "<notations><technical><fingering>12345</fingering></technical></notations></note>");
    let asked = format!("<direction><direction-type><words>m.s.</words></direction-type></direction>{chord}");
    let shifted = format!("<direction><direction-type><octave-shift type='down'/></direction-type></direction>{NOTE}");
    let staves: String =
        (1..=255).map(|staff| NOTE.replace("</note>", &format!("<staff>{staff}</staff></note>"))).collect();
    for (crowd, count) in [
        (chord.as_str(), 10_000),
        (&tied, 10_000),
        (&grace, 10_000),
        (&slurred, 10_000),
        (&fingered, 10_000),
        (&asked, 10_000),
        (&shifted, 10_000),
        (&staves, 100),
        ("<sound tempo='60'/><note><rest/><duration>1</duration></note>", 10_000),
        ("<backup><duration>1</duration></backup>", 10_000),
        ("<note><pitch/></note>", 10_000),
    ] {
        let score = read(measure(&format!("{NOTE}{}", crowd.repeat(count))).as_bytes()).unwrap();
        assert!(!score.notes.is_empty());
    }
}

#[test]
fn a_score_cut_anywhere_is_an_error_and_no_panic() {
    for (name, bytes) in small_scores() {
        for end in (0..bytes.len()).step_by(if name.ends_with('a') { 1 } else { 37 }) {
            let cut = read(&bytes[..end]);
            // Only white space after the root may be missing.
            assert!(
                cut.is_err() || bytes[end..].iter().all(|b| b.is_ascii_whitespace() || *b == 0),
                "{name} cut at {end}"
            );
        }
    }
}

#[test]
fn flipped_bits_never_panic() {
    // A linear congruential generator (Knuth 1997, The Art of Computer Programming 2, 3.3.4, table 1, line 26).
    let mut random: u64 = 1;
    let mut next = move || {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (random >> 33) as usize
    };
    for (_, bytes) in small_scores() {
        for _ in 0..60 {
            let mut bytes = bytes.clone();
            for _ in 0..=next() % 4 {
                let at = next() % bytes.len();
                bytes[at] ^= 1 << (next() % 8);
            }
            let _ = read(&bytes);
        }
    }
}

/// A number as a file may have it.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => (0..16i64).prop_map(|n| n.to_string()),
        1 => any::<i64>().prop_map(|n| n.to_string()),
        1 => any::<f64>().prop_map(|n| n.to_string()),
        1 => proptest::sample::select(vec!["", "0", "-1", "NaN", "inf", "1e9", "0.5", "1/2", "99999999999999999999"]).prop_map(String::from),
    ]
}

pub fn element() -> impl Strategy<Value = String> {
    let note = (number(), number(), number(), number(), number(), 0..64u32).prop_map(|(octave, alter, duration, voice, staff, flags)| {
        let has = |bit: u32, text: &str| if flags & (1 << bit) == 0 { String::new() } else { text.to_owned() };
        format!(
            "<note>{}{}<pitch><step>D</step><alter>{alter}</alter><octave>{octave}</octave></pitch><duration>{duration}</duration>\
             {}{}<voice>{voice}</voice>{}<staff>{staff}</staff>{}</note>",
            has(0, "<grace/>"),
            has(1, "<chord/>"),
            has(2, "<tie type='start'/>"),
            has(3, "<tie type='stop'/>"),
            has(4, "<type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"),
            has(5, "<notations><slur type='start'/><technical><fingering>13</fingering></technical></notations>"),
        )
    });
    prop_oneof![
        5 => note,
        1 => number().prop_map(|n| format!("<backup><duration>{n}</duration></backup>")),
        1 => number().prop_map(|n| format!("<forward><duration>{n}</duration></forward>")),
        1 => number().prop_map(|n| format!("<attributes><divisions>{n}</divisions></attributes>")),
        1 => (number(), number()).prop_map(|(a, b)| format!("<attributes><time><beats>{a}</beats><beat-type>{b}</beat-type></time></attributes>")),
        1 => (number(), number()).prop_map(|(a, b)| format!("<attributes><transpose><diatonic>{a}</diatonic><chromatic>{b}</chromatic></transpose></attributes>")),
        1 => number().prop_map(|n| format!("<sound tempo='{n}'/>")),
        1 => (number(), number()).prop_map(|(a, b)| format!("<direction><direction-type><octave-shift type='up' size='{a}'/></direction-type><offset>{b}</offset></direction>")),
        1 => number().prop_map(|n| format!("<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>{n}</per-minute></metronome></direction-type></direction>")),
        1 => Just("</measure><measure number='x'>".to_owned()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn scores_of_any_numbers_are_read_or_refused(elements in proptest::collection::vec(element(), 0..60)) {
        let _ = read(measure(&elements.concat()).as_bytes());
    }
}

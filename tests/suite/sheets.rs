//! Sheets to practise from are read back as they were meant.

use thumbunder::scales::{Key, Scale};
use thumbunder::score::Mode;
use thumbunder::sheets::{Assignment, Figure, Sheet, compose, plain_run, write};
use thumbunder::units::{Hand, Motion, Quarters};

use crate::played;
use crate::run::Run;

fn everything() -> Vec<Figure> {
    let mut all: Vec<Figure> = Scale::all().into_iter().map(Figure::Scale).collect();
    for key in [Mode::Major, Mode::Minor].into_iter().flat_map(Key::twelve) {
        all.extend([Figure::Arpeggio(key), Figure::BrokenChord(key)]);
    }
    all
}

#[test]
fn our_reader_finds_the_same_notes_and_fingers_on_every_sheet() {
    let mut notes = 0;
    for (index, figure) in everything().into_iter().enumerate() {
        // Each over one number of octaves; the check against the reference library takes all of them.
        let octaves = 1 + (index % usize::from(Scale::MOST_OCTAVES)) as u8;
        let name = format!("{} over {octaves} octaves", figure.name());
        let assignment = Assignment { variants: octaves < 3, ..Assignment::new(figure, octaves) };
        let sheet = Sheet { title: name.clone(), exercises: compose(&assignment) };
        let (score, hands) = played::read(&sheet);
        for hand in Hand::BOTH {
            let meant: Vec<_> = sheet.exercises.iter().flat_map(|exercise| exercise.tones(hand)).collect();
            let found = played::played(&score, &hands, hand);
            assert_eq!(found.len(), meant.len(), "{name}");
            for ((pitch, finger), tone) in found.iter().zip(meant) {
                assert_eq!((*pitch, *finger), (tone.pitch, tone.finger), "{name}");
            }
            notes += found.len();
        }
    }
    assert!(notes > 20_000, "{notes}");
}

#[test]
fn a_scale_takes_the_same_time_over_any_number_of_octaves() {
    for octaves in 1..=Scale::MOST_OCTAVES {
        let scale = Scale::parse("G major", None).unwrap();
        let (score, _) = played::run(Figure::Scale(scale), Hand::Right, Motion::Up, octaves, true);
        assert_eq!(score.notes.last().map(|note| note.onset), Some(Quarters::whole(7)));
        assert_eq!(score.measures.iter().map(|measure| measure.duration).max(), Some(Quarters::whole(4)));
        assert_eq!(score.measures.len(), 2);
    }
}

#[test]
fn titles_from_a_file_stay_text() {
    let exercise = plain_run(Figure::Scale(Scale::all()[0]), Hand::Left, Motion::Down, 1, false);
    let title = "<b>&amp; \u{0}]]>";
    let sheet = Sheet { title: title.into(), exercises: vec![exercise] };
    let text = write(&sheet);
    let document = roxmltree::Document::parse_with_options(
        &text,
        roxmltree::ParsingOptions { allow_dtd: true, ..roxmltree::ParsingOptions::default() },
    )
    .unwrap();
    let read = document.descendants().find(|node| node.has_tag_name("work-title")).and_then(|node| node.text());
    assert_eq!(read, Some("<b>&amp;  ]]>"));
}

#[test]
fn the_command_writes_a_sheet_for_what_is_named() {
    let ran = Run::new(["drill", "--scale", "c minor", "--arpeggio", "Eb", "--octaves", "1", "--hand", "left"]).code(0);
    assert!(ran.out.contains("C harmonic minor scale, left hand"));
    assert!(ran.out.contains("E-flat major arpeggio, left hand"));
    assert!(!ran.out.contains("hands together"));
    let brief = Run::new(["drill", "--scale", "c minor", "--brief", "--tempo", "72"]).code(0);
    assert!(brief.out.contains("<per-minute>72</per-minute>"));
    assert!(!brief.out.contains("accent/"));
    Run::new(["drill"]).code(2);
    Run::new(["drill", "--scale", "H"]).code(2).stdout("");
}

#[test]
fn a_sheet_is_compressed_where_its_name_says_so() {
    let folder = tempfile::tempdir().unwrap();
    Run::new(["drill", "--scale", "Eb", "-o", "sheet.mxl"]).in_folder(folder.path()).code(0);
    let archive = std::fs::read(folder.path().join("sheet.mxl")).unwrap();
    assert!(archive.starts_with(b"PK"));
    Run::new(["notes", "sheet.mxl"]).in_folder(folder.path()).code(0);
}

#[test]
fn a_score_gives_the_drills_that_it_asks_for() {
    let score = "corpus/sonatina-for-an-east-window.musicxml";
    let ran = Run::new(["drill", score]).in_folder(env!("CARGO_MANIFEST_DIR").as_ref()).code(0);
    assert!(ran.out.contains("E-flat major scale, right hand"));
    assert!(ran.out.contains("Serves 2 runs coming down, up to 8.0 notes/s: measures 5, 20."));
    assert!(ran.out.contains("Isolated: right hand, coming down, from C (1) to B-flat (4)"));
    // Eight notes a second, two to the quarter, is 240 quarters a minute.
    assert!(ran.out.contains("<beat-unit>half</beat-unit>\n      <per-minute>120</per-minute>"));
    assert!(ran.out.contains("<sound tempo=\"240\"/>"));
    assert!(ran.out.contains("C harmonic minor scale, right hand"));
    let left = Run::new(["drill", score, "--hand", "left"]).in_folder(env!("CARGO_MANIFEST_DIR").as_ref()).code(1);
    assert!(left.err.contains("asks for no scale first"), "{}", left.err);
    Run::new(["drill", score, "--scale", "C"]).code(2);
    Run::new(["drill", "nothing-here.musicxml"]).code(1).stdout("");
}

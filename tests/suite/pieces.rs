//! Small scores for the tests of the program, written out as MusicXML.

use std::path::{Path, PathBuf};

/// A piece of two measures: E-flat major up and down in the right hand, long notes in the left.
pub fn scale_piece() -> String {
    let right = ["E4", "F4", "G4", "A4", "B4", "C5", "D5", "E5", "E5", "D5", "C5", "B4", "A4", "G4", "F4", "E4"];
    let flat = |step: &str| matches!(step, "B" | "E" | "A");
    let note = |name: &str, duration: u32, kind: &str, staff: u32| {
        let (step, octave) = name.split_at(1);
        let alter = if flat(step) { "<alter>-1</alter>" } else { "" };
        format!(
            "<note><pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch><duration>{duration}</duration>\
             <voice>{staff}</voice><type>{kind}</type><staff>{staff}</staff></note>"
        )
    };
    let measure = |number: usize, names: &[&str]| {
        let attributes = "<attributes><divisions>2</divisions><key><fifths>-3</fifths><mode>major</mode></key>\
             <time><beats>4</beats><beat-type>4</beat-type></time><staves>2</staves>\
             <clef number=\"1\"><sign>G</sign><line>2</line></clef><clef number=\"2\"><sign>F</sign><line>4</line></clef>\
             </attributes><direction><direction-type><metronome><beat-unit>quarter</beat-unit>\
             <per-minute>96</per-minute></metronome></direction-type></direction>";
        let upper: String = names.iter().map(|name| note(name, 1, "eighth", 1)).collect();
        format!(
            "<measure number=\"{number}\">{}{upper}<backup><duration>8</duration></backup>{}</measure>",
            if number == 1 { attributes } else { "" },
            note("E3", 8, "whole", 2)
        )
    };
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\"><work><work-title>Up the Hill &amp; \
         Down &lt;Again&gt;</work-title></work><identification><creator type=\"composer\">Ilse Marrowby</creator>\
         </identification><part-list><score-part id=\"P1\"><part-name>Piano</part-name></score-part></part-list>\
         <part id=\"P1\">{}{}</part></score-partwise>\n",
        measure(1, &right[..8]),
        measure(2, &right[8..])
    )
}

/// Writes the piece into a folder.
pub fn write_piece(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, scale_piece()).unwrap();
    path
}

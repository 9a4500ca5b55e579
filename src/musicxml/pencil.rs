//! Pencils fingers and crossings into a score, as a teacher does, and leaves all that is printed as it stands.
//!
//! In: the bytes of a score that [`super::read_score`] reads, the marks for some of its notes, and the parts to leave out.
//! Out: the text of the score as MusicXML in UTF-8, for an engraver. The same marks give the same text.

use std::collections::{BTreeMap, BTreeSet};

use super::xml::{Item, Tag, Xml};
use super::{bytes_of_score, encoding};
use crate::error::{Error, Remarks};
use crate::limits::Limits;
use crate::score::NoteElement;
use crate::units::Finger;

/// What is pencilled at one note.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct PencilMark {
    /// The finger, where none is printed.
    pub finger: Option<Finger>,
    /// The digit stands below the note.
    pub below: bool,
    /// Ends of dashed arcs, each from one note to the next of a crossing.
    pub arcs: Vec<ArcEnd>,
}

/// One end of a dashed arc.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ArcEnd {
    /// Which arc; slurs of the score itself are numbered from 1, and MusicXML has 16 at once.
    pub number: u8,
    /// The arc begins here; else it ends.
    pub start: bool,
    /// It runs below the notes.
    pub below: bool,
}

/// Writes the marks into the score and leaves out the parts with these ids.
///
/// # Errors
/// Those of [`super::read_score`], where the bytes are no score.
pub fn pencil(
    bytes: &[u8],
    limits: &Limits,
    marks: &BTreeMap<NoteElement, PencilMark>,
    left_out: &BTreeSet<&str>,
) -> Result<String, Error> {
    let mut remarks = Remarks::default();
    let bytes = bytes_of_score(bytes, limits, &mut remarks)?;
    let text = encoding::decode(&bytes, &mut remarks);
    let mut page =
        Page { xml: Xml::new(&text, limits), text: &text, copied: 0, out: String::new(), notes: 0, marks, left_out };
    page.read()?;
    Ok(page.out)
}

struct Page<'x, 'm> {
    xml: Xml<'x>,
    text: &'x str,
    /// Bytes of the text that are in `out` already, or left out of it.
    copied: usize,
    out: String,
    /// Notes passed so far.
    notes: NoteElement,
    marks: &'m BTreeMap<NoteElement, PencilMark>,
    left_out: &'m BTreeSet<&'m str>,
}

impl<'x> Page<'x, '_> {
    fn read(&mut self) -> Result<(), Error> {
        // The text is UTF-8 now, whatever it was in the file.
        if let Some((declaration, _)) = self.text.split_once("?>").filter(|(start, _)| start.starts_with("<?xml")) {
            self.copied = declaration.len() + 2;
        }
        let mut path: Vec<&'x str> = Vec::new();
        // Depth of the element that is being left out.
        let mut out_at = None;
        loop {
            let before = self.xml.position();
            match self.xml.next()? {
                Item::Start(tag) => {
                    if out_at.is_none() && self.leaves_out(&path, &tag) {
                        self.copy_to(before);
                        out_at = Some(path.len());
                    }
                    if is_note(&path, tag.name) {
                        self.note(&tag, out_at.is_some())?;
                    } else if !Xml::is_empty(&tag) {
                        path.push(tag.name);
                        continue;
                    }
                }
                Item::End => {
                    path.pop();
                }
                Item::Eof => break,
            }
            if out_at == Some(path.len()) {
                out_at = None;
                self.copied = self.xml.position();
            }
        }
        self.copy_to(self.text.len());
        Ok(())
    }

    /// A part that is left out, its line in the part list, and, where any is, the braces between parts.
    fn leaves_out(&self, path: &[&str], tag: &Tag<'_>) -> bool {
        let named = || tag.attribute("id").is_some_and(|id| self.left_out.contains(id.trim()));
        match (path, tag.name) {
            ([_] | [_, "measure"], "part") | ([_, "part-list"], "score-part") => named(),
            ([_, "part-list"], "part-group") => !self.left_out.is_empty(),
            _ => false,
        }
    }

    /// Passes a note, and writes its marks where a note may have notations: before what is sung or played to it.
    fn note(&mut self, tag: &Tag<'x>, left_out: bool) -> Result<(), Error> {
        let mark = self.marks.get(&self.notes).filter(|_| !left_out);
        self.notes = self.notes.saturating_add(1);
        if Xml::is_empty(tag) {
            return Ok(());
        }
        let mut place = self.xml.position();
        let mut notations_over = false;
        while let Some(child) = self.xml.next_child()? {
            notations_over |= matches!(child.name, "lyric" | "play" | "listen");
            self.xml.skip(&child)?;
            if !notations_over {
                place = self.xml.position();
            }
        }
        if let Some(mark) = mark {
            self.copy_to(place);
            self.out.push_str(&notations(mark));
        }
        Ok(())
    }

    fn copy_to(&mut self, end: usize) {
        self.out.push_str(self.text.get(self.copied..end).unwrap_or_default());
        self.copied = end.max(self.copied);
    }
}

/// The same notes that [`super::read_score`] counts: those in the measures of parts, in either layout.
fn is_note(path: &[&str], name: &str) -> bool {
    name == "note" && matches!(path, ["score-partwise", "part", "measure"] | ["score-timewise", "measure", "part"])
}

fn notations(mark: &PencilMark) -> String {
    let side = |below: bool| if below { "below" } else { "above" };
    let mut text = "<notations>".to_owned();
    for arc in &mark.arcs {
        text.push_str(&if arc.start {
            let side = side(arc.below);
            format!("<slur type=\"start\" number=\"{}\" line-type=\"dashed\" placement=\"{side}\"/>", arc.number)
        } else {
            format!("<slur type=\"stop\" number=\"{}\"/>", arc.number)
        });
    }
    if let Some(finger) = mark.finger {
        let side = side(mark.below);
        text.push_str(&format!("<technical><fingering placement=\"{side}\">{finger}</fingering></technical>"));
    }
    text + "</notations>"
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTE: &str = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration>";

    fn pencilled(score: &str, element: NoteElement, left_out: &[&str]) -> String {
        let mark = PencilMark {
            finger: Finger::new(3),
            below: true,
            arcs: vec![ArcEnd { number: 16, start: false, below: false }],
        };
        let marks = BTreeMap::from([(element, mark)]);
        pencil(score.as_bytes(), &Limits::default(), &marks, &left_out.iter().copied().collect()).unwrap()
    }

    const MARK: &str = "<notations><slur type=\"stop\" number=\"16\"/><technical><fingering placement=\"below\">3\
                        </fingering></technical></notations>";

    #[test]
    fn a_mark_comes_before_the_lyrics_and_all_else_stays() {
        let score = |mark: &str| {
            format!(
                "<score-partwise><part id=\"P1\"><measure number=\"1\">{NOTE}</note> <note><rest/></note>\
                 {NOTE}<type>quarter</type>{mark} <lyric><text>la</text></lyric> </note></measure></part>\
                 </score-partwise> "
            )
        };
        assert_eq!(pencilled(&score(""), 2, &[]), score(MARK));
        assert_eq!(pencilled(&score(""), 7, &[]), score(""));
    }

    #[test]
    fn notes_are_counted_as_the_reader_counts_them_in_both_layouts() {
        let outside = "<part-list><note/></part-list>";
        let inside = |open: &str, close: &str| format!("{open}<measure>{NOTE}</note>{NOTE}</note></measure>{close}");
        for score in [
            format!("<score-partwise>{outside}{}</score-partwise>", inside("<part id=\"P1\">", "</part>")),
            format!(
                "<score-timewise>{outside}<measure><part id=\"P1\">{NOTE}</note>{NOTE}</note></part></measure></score-timewise>"
            ),
        ] {
            let (read, _) = super::super::read_score(score.as_bytes(), &Limits::default()).unwrap();
            assert_eq!(read.notes.iter().map(|note| note.element).collect::<Vec<_>>(), [0, 1]);
            let text = pencilled(&score, read.notes[1].element, &[]);
            let (again, _) = super::super::read_score(text.as_bytes(), &Limits::default()).unwrap();
            let digits: Vec<usize> = again.notes.iter().map(|note| note.written.len()).collect();
            assert_eq!(digits, [0, 1], "{text}");
        }
    }

    #[test]
    fn parts_are_left_out_with_their_names_and_braces() {
        let part = |id: &str| format!("<part id=\"{id}\"><measure>{NOTE}</note></measure></part>");
        let named = |id: &str| format!("<score-part id=\"{id}\"><part-name/></score-part>");
        let score =
            |list: &str, parts: &str| format!("<score-partwise><part-list>{list}</part-list>{parts}</score-partwise>");
        let group = "<part-group type=\"start\"><x/></part-group><part-group type=\"stop\"/>";
        let whole = score(&format!("{}{group}{}", named("V"), named("P")), &(part("V") + &part("P")));
        let marked = part("P").replace("</note>", &format!("{MARK}</note>"));
        assert_eq!(pencilled(&whole, 1, &["V"]), score(&named("P"), &marked));
        assert_eq!(pencilled(&whole, 9, &[]), whole);
    }

    #[test]
    fn the_encoding_of_the_file_is_not_claimed_any_more() {
        let score = "<score-partwise><part id=\"é\"/></score-partwise>";
        let declared = format!("<?xml version=\"1.0\" encoding=\"UTF-16\"?>{score}");
        let wide: Vec<u8> = declared.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let text = pencil(&wide, &Limits::default(), &BTreeMap::new(), &BTreeSet::new()).unwrap();
        assert_eq!(text, score);
    }
}

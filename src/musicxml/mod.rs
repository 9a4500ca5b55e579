//! From bytes to a score: MusicXML (partwise and timewise), and its compressed form.
//!
//! In: the bytes of a `.musicxml`, `.xml` or `.mxl` file. Out: a [`Score`], and remarks on what was odd in the file.
//! The document is read as a stream; each element of a measure is handled whole by a function of its own, the same for
//! both layouts. Source: MusicXML 4.0, W3C Music Notation Community Group (2021).

mod archive;
mod assemble;
mod attributes;
mod barline;
mod clock;
mod decimal;
mod direction;
mod draft;
mod encoding;
mod fingers;
mod hand_words;
mod header;
mod notations;
mod note;
mod part;
mod pencil;
mod ties;
mod xml;

pub use pencil::{ArcEnd, PencilMark, pencil};

use std::borrow::Cow;
use std::collections::BTreeSet;

use draft::Draft;
use header::{Header, PartIds, add_part, read_part_list};
use part::PartReader;
use xml::{Item, Tag, Tree, Xml};

use crate::error::{Error, Place, Remarks};
use crate::limits::Limits;
use crate::score::{MeasureIndex, Part, Score};

/// Reads a score.
///
/// # Errors
/// When the bytes are no XML or no MusicXML, when an archive holds no score, when the score has no notes, and when a
/// limit is passed. Everything else that is odd is a remark.
pub fn read_score(bytes: &[u8], limits: &Limits) -> Result<(Score, Remarks), Error> {
    let mut remarks = Remarks::default();
    let bytes = bytes_of_score(bytes, limits, &mut remarks)?;
    let text = encoding::decode(&bytes, &mut remarks);
    let draft = Document::new(&text, remarks, limits).read()?;
    let (score, remarks) = assemble::assemble(draft);
    if score.measures.is_empty() {
        return Err(Error::NothingToRead("the score has no measures".into()));
    }
    if score.notes.is_empty() {
        return Err(Error::NothingToRead("the score has no notes".into()));
    }
    Ok((score, remarks))
}

/// The bytes of the score itself, taken out of its archive if it is in one.
fn bytes_of_score<'b>(bytes: &'b [u8], limits: &Limits, remarks: &mut Remarks) -> Result<Cow<'b, [u8]>, Error> {
    let bytes = if archive::is_archive(bytes) {
        Cow::Owned(archive::unpack(bytes, limits, remarks)?)
    } else {
        Cow::Borrowed(bytes)
    };
    if bytes.len() as u64 > limits.xml_bytes {
        return Err(Error::over_limit("size of the score in bytes", limits.xml_bytes, "--limit xml-bytes=N"));
    }
    Ok(bytes)
}

struct Document<'x, 'l> {
    xml: Xml<'x>,
    tree: Tree<'x>,
    draft: Draft<'l>,
    ids: PartIds,
    /// Parts of the partwise layout that have begun.
    begun: BTreeSet<u16>,
    /// The readers of the parts of the timewise layout by part index, each as it stood when its last measure ended.
    parts: Vec<Option<PartReader>>,
}

impl<'x, 'l> Document<'x, 'l> {
    fn new(text: &'x str, remarks: Remarks, limits: &'l Limits) -> Self {
        Self {
            xml: Xml::new(text, limits),
            tree: Tree::default(),
            draft: Draft::new(remarks, limits, text.len()),
            ids: PartIds::default(),
            begun: BTreeSet::new(),
            parts: Vec::new(),
        }
    }

    fn read(mut self) -> Result<Draft<'l>, Error> {
        let Item::Start(root) = self.xml.next()? else {
            return Err(Error::NotMusicXml("the file holds no XML element".into()));
        };
        let mut header = Header::default();
        let mut measures = 0;
        let timewise = match root.name {
            "score-partwise" => false,
            "score-timewise" => true,
            "opus" => return Err(Error::NotMusicXml("a list of scores (`<opus>`), not a score".into())),
            name => {
                let name = self.draft.text(name);
                return Err(Error::NotMusicXml(format!("not MusicXML: the root element is `<{name}>`")));
            }
        };
        while let Some(tag) = self.child_of(&root)? {
            match tag.name {
                "work" | "movement-title" | "identification" | "credit" | "part-list" => {
                    self.xml.read(&tag, &mut self.tree, &mut self.draft.remarks)?;
                    let element = self.tree.root();
                    match tag.name {
                        "work" => header.work(element, &mut self.draft),
                        "movement-title" => header.movement_title(element, &mut self.draft),
                        "identification" => header.identification(element, &mut self.draft),
                        "credit" => header.credit(element, &mut self.draft),
                        _ => read_part_list(element, &mut self.draft)?,
                    }
                }
                "part" if !timewise => {
                    let mut part = self.new_part(&tag)?;
                    let mut index = 0;
                    while let Some(measure) = self.child_of(&tag)? {
                        if measure.name == "measure" {
                            self.read_measure(&measure, index, &measure, &mut part)?;
                            index += 1;
                        } else {
                            self.xml.skip(&measure)?;
                        }
                    }
                }
                "measure" if timewise => {
                    while let Some(inner) = self.child_of(&tag)? {
                        if inner.name == "part" {
                            let mut part = self.take_part(&inner)?;
                            self.read_measure(&inner, measures, &tag, &mut part)?;
                            self.put_back(part);
                        } else {
                            self.xml.skip(&inner)?;
                        }
                    }
                    measures += 1;
                }
                _ => self.xml.skip(&tag)?,
            }
        }
        header.finish(&mut self.draft);
        Ok(self.draft)
    }

    /// The next element directly inside the one that `parent` began.
    fn child_of(&mut self, parent: &Tag<'x>) -> Result<Option<Tag<'x>>, Error> {
        if Xml::is_empty(parent) { Ok(None) } else { self.xml.next_child() }
    }

    /// A reader for the part that a `<part>` tag of the partwise layout begins.
    fn new_part(&mut self, tag: &Tag<'x>) -> Result<PartReader, Error> {
        let mut index = self.ids.index(&tag.attribute("id").unwrap_or_default(), &mut self.draft)?;
        if !self.begun.insert(index) {
            let found = "two parts of the same id";
            self.draft.remarks.add(Place::default(), found, "read as parts of their own");
            let twin = self.draft.score.parts.get(usize::from(index)).cloned().unwrap_or_default();
            index = add_part(Part { staves: 1, lyrics: false, ..twin }, &mut self.draft)?;
        }
        Ok(PartReader::new(index))
    }

    /// The reader of the part that a `<part>` tag of the timewise layout goes on with.
    fn take_part(&mut self, tag: &Tag<'x>) -> Result<PartReader, Error> {
        let index = self.ids.index(&tag.attribute("id").unwrap_or_default(), &mut self.draft)?;
        let kept = self.parts.get_mut(usize::from(index)).and_then(Option::take);
        Ok(kept.unwrap_or_else(|| PartReader::new(index)))
    }

    fn put_back(&mut self, part: PartReader) {
        let index = usize::from(part.part);
        if index >= self.parts.len() {
            self.parts.resize_with(index + 1, || None);
        }
        self.parts[index] = Some(part);
    }

    /// Reads the measure at `index` of one part, the content of the element `tag`; `measure` is the tag with its number.
    fn read_measure(
        &mut self,
        tag: &Tag<'x>,
        index: MeasureIndex,
        measure: &Tag<'x>,
        part: &mut PartReader,
    ) -> Result<(), Error> {
        part.begin_measure(index, measure, &mut self.draft)?;
        while let Some(child) = self.child_of(tag)? {
            part.read(&mut self.xml, &child, &mut self.tree, &mut self.draft)?;
        }
        part.end_measure(&mut self.draft);
        Ok(())
    }
}

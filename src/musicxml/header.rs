//! What stands before the music: titles, people, credits, and the list of parts.

use std::collections::BTreeMap;

use super::decimal::{first_number, whole};
use super::draft::Draft;
use super::xml::Element;
use crate::error::{Error, Place};
use crate::score::Part;

/// Titles and credits as they are met; which one becomes the title is settled at the end.
#[derive(Default)]
pub(super) struct Header {
    work_title: Option<String>,
    movement_title: Option<String>,
    composer: Option<String>,
    first_creator: Option<String>,
    /// The largest credit of the first page and its font size.
    largest_credit: Option<(f64, String)>,
}

impl Header {
    /// `<work>`
    pub(super) fn work(&mut self, work: Element<'_, '_>, draft: &mut Draft<'_>) {
        self.work_title = work.child_text("work-title").map(|text| draft.text(text));
    }

    /// `<movement-title>`
    pub(super) fn movement_title(&mut self, title: Element<'_, '_>, draft: &mut Draft<'_>) {
        self.movement_title = Some(draft.text(title.text())).filter(|text| !text.is_empty());
    }

    /// `<identification>`: creators, rights, the program that wrote the file.
    pub(super) fn identification(&mut self, identification: Element<'_, '_>, draft: &mut Draft<'_>) {
        for child in identification.descendants() {
            let text = draft.text(child.text());
            if text.is_empty() {
                continue;
            }
            match child.name() {
                "creator" => {
                    let kind = child.attribute("type").unwrap_or_default();
                    if kind == "composer" && self.composer.is_none() {
                        self.composer = Some(text);
                    } else {
                        self.first_creator.get_or_insert_with(|| text.clone());
                        add_credit(draft, if kind.is_empty() { "creator" } else { &kind }, text);
                    }
                }
                "rights" => add_credit(draft, "rights", text),
                "software" => add_credit(draft, "software", text),
                "source" => add_credit(draft, "source", text),
                _ => {}
            }
        }
    }

    /// `<credit>`: words on a page.
    pub(super) fn credit(&mut self, credit: Element<'_, '_>, draft: &mut Draft<'_>) {
        let kind = credit.child_text("credit-type").unwrap_or("credit");
        let first_page = credit.attribute("page").is_none_or(|page| page == "1");
        let words = credit.children().filter(|child| child.name() == "credit-words");
        let mut size = 0.0;
        let mut whole_text = String::new();
        for word in words {
            if size == 0.0 {
                size = word.attribute("font-size").and_then(|size| first_number(&size)).unwrap_or(0.0);
            }
            whole_text.push(' ');
            whole_text.push_str(word.text());
        }
        let text = draft.text(&whole_text);
        if text.is_empty() {
            return;
        }
        let size = if kind == "title" { f64::MAX } else { size };
        if first_page && self.largest_credit.as_ref().is_none_or(|(largest, _)| size > *largest) {
            self.largest_credit = Some((size, text.clone()));
        }
        if kind == "composer" && self.composer.is_none() {
            self.composer = Some(text.clone());
        }
        add_credit(draft, kind, text);
    }

    /// Settles title and composer.
    pub(super) fn finish(self, draft: &mut Draft<'_>) {
        draft.score.title = self.work_title.or(self.movement_title).or(self.largest_credit.map(|(_, text)| text));
        draft.score.composer = self.composer.or(self.first_creator);
    }
}

/// Credits that are kept. Chosen by us: a title page has a handful.
const MOST_CREDITS: usize = 100;

fn add_credit(draft: &mut Draft<'_>, kind: &str, text: String) {
    if draft.score.credits.len() < MOST_CREDITS {
        let kind = draft.text(kind);
        draft.score.credits.push((kind, text));
    }
}

/// `<part-list>`: the parts, and the braces that join them.
pub(super) fn read_part_list(list: Element<'_, '_>, draft: &mut Draft<'_>) -> Result<(), Error> {
    let mut braces = 0;
    let mut open: Vec<(String, bool)> = Vec::new();
    for child in list.children() {
        match child.name() {
            "part-group" => {
                let number = child.attribute("number").unwrap_or_default().into_owned();
                if child.has("type", "stop") {
                    open.retain(|(group, _)| *group != number);
                } else if open.len() < 64 {
                    let brace = child.child_text("group-symbol") == Some("brace");
                    braces += u16::from(brace);
                    open.push((number, brace));
                }
            }
            "score-part" => {
                let brace = open.iter().any(|(_, brace)| *brace).then_some(braces);
                let part = read_score_part(child, brace, draft);
                add_part(part, draft)?;
            }
            _ => {}
        }
    }
    Ok(())
}

/// Adds a part, within the limit.
pub(super) fn add_part(part: Part, draft: &mut Draft<'_>) -> Result<u16, Error> {
    let index = draft.score.parts.len();
    let most = draft.limits.parts.min(u64::from(u16::MAX));
    if index as u64 >= most {
        return Err(Error::over_limit("number of parts", most, "--limit parts=N"));
    }
    draft.score.parts.push(part);
    Ok(index as u16)
}

fn read_score_part(element: Element<'_, '_>, brace: Option<u16>, draft: &Draft<'_>) -> Part {
    let text_of = |name: &str| {
        let found = element.descendants().find(|inner| inner.name() == name && !inner.text().is_empty());
        found.map(|inner| draft.text(inner.text()))
    };
    Part {
        id: draft.text(&element.attribute("id").unwrap_or_default()),
        name: element.child_text("part-name").map(|name| draft.text(name)).unwrap_or_default(),
        instrument: text_of("instrument-name")
            .or_else(|| text_of("instrument-sound"))
            .or_else(|| element.child_text("part-abbreviation").map(|text| draft.text(text))),
        midi_program: text_of("midi-program")
            .and_then(|text| whole(&text))
            .and_then(|program| u8::try_from(program).ok())
            .filter(|program| (1..=128).contains(program)),
        staves: 1,
        brace,
        lyrics: false,
    }
}

/// Parts by their id.
#[derive(Default)]
pub(super) struct PartIds {
    known: BTreeMap<String, u16>,
}

impl PartIds {
    /// The index of the part with this id, which is added if the part list does not name it.
    pub(super) fn index(&mut self, id: &str, draft: &mut Draft<'_>) -> Result<u16, Error> {
        if let Some(index) = self.known.get(id) {
            return Ok(*index);
        }
        let name = draft.text(id);
        let listed = draft.score.parts.iter().position(|part| part.id == name);
        let index = if let Some(index) = listed {
            index as u16
        } else {
            let found = "a part that the part list does not name";
            draft.remarks.add(Place::default(), found, "read as a part without a name");
            add_part(Part { id: name, staves: 1, ..Part::default() }, draft)?
        };
        self.known.insert(id.to_owned(), index);
        Ok(index)
    }
}

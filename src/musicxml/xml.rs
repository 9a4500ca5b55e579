//! A stream of XML elements, and small trees of those that are handled whole.
//!
//! In: text. Out: start and end tags one at a time ([`Xml::next`]), or one element with all it holds ([`Tree`]), which is
//! reused from element to element so that a long score costs no allocation per note. Nothing is fetched: a DOCTYPE is
//! passed over, and an entity that XML itself does not define is left out and remarked.

use std::borrow::Cow;

use quick_xml::escape::resolve_predefined_entity;
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use crate::error::{Error, Place, Remarks};
use crate::limits::Limits;

/// A start tag.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tag<'x> {
    pub(super) name: &'x str,
    attributes: &'x str,
    /// `<name/>`: no end tag follows.
    empty: bool,
}

impl<'x> Tag<'x> {
    /// The value of an attribute.
    pub(super) fn attribute(&self, name: &str) -> Option<Cow<'x, str>> {
        attribute(self.attributes, name)
    }
}

/// What comes next in the stream.
#[derive(Clone, Copy, Debug)]
pub(super) enum Item<'x> {
    /// An element begins.
    Start(Tag<'x>),
    /// The innermost open element ends.
    End,
    /// The document ends.
    Eof,
}

/// A stream of elements.
pub(super) struct Xml<'x> {
    source: &'x str,
    reader: Reader<&'x [u8]>,
    depth: u64,
    deepest: u64,
    largest: u64,
}

impl<'x> Xml<'x> {
    /// Starts at the beginning of `source`.
    pub(super) fn new(source: &'x str, limits: &Limits) -> Self {
        let mut reader = Reader::from_str(source);
        reader.config_mut().check_end_names = true;
        // Real files hold a bare `&` now and then; it is text.
        reader.config_mut().allow_dangling_amp = true;
        // White space between elements, most of the text of a score, makes no event of its own then.
        reader.config_mut().trim_text_start = true;
        Self { source, reader, depth: 0, deepest: limits.depth, largest: limits.element_size }
    }

    /// The next start or end of an element; text between is passed over.
    pub(super) fn next(&mut self) -> Result<Item<'x>, Error> {
        loop {
            match self.reader.read_event() {
                Ok(Event::Start(start)) => {
                    self.enter()?;
                    return Ok(Item::Start(self.tag(&start, false)));
                }
                Ok(Event::Empty(start)) => return Ok(Item::Start(self.tag(&start, true))),
                Ok(Event::End(_)) => {
                    self.depth = self.depth.saturating_sub(1);
                    return Ok(Item::End);
                }
                Ok(Event::Eof) if self.depth > 0 => return Err(self.broken_off()),
                Ok(Event::Eof) => return Ok(Item::Eof),
                Ok(_) => {}
                Err(error) => return Err(self.ill_formed(&error)),
            }
        }
    }

    /// The next child of the element whose start tag was read last, or `None` after its end.
    pub(super) fn next_child(&mut self) -> Result<Option<Tag<'x>>, Error> {
        Ok(match self.next()? {
            Item::Start(tag) => Some(tag),
            Item::End | Item::Eof => None,
        })
    }

    /// True when an element has no inside to read.
    pub(super) fn is_empty(tag: &Tag<'x>) -> bool {
        tag.empty
    }

    /// Passes over the rest of the element that `tag` began.
    pub(super) fn skip(&mut self, tag: &Tag<'x>) -> Result<(), Error> {
        let mut open = u64::from(!tag.empty);
        while open > 0 {
            match self.next()? {
                Item::Start(inner) => open += u64::from(!inner.empty),
                Item::End => open -= 1,
                Item::Eof => return Ok(()),
            }
        }
        Ok(())
    }

    /// Reads the element that `tag` began with all it holds into `tree`.
    pub(super) fn read(&mut self, tag: &Tag<'x>, tree: &mut Tree<'x>, remarks: &mut Remarks) -> Result<(), Error> {
        tree.nodes.clear();
        tree.open.clear();
        tree.owned.clear();
        tree.push(tag);
        while !tree.open.is_empty() {
            if tree.nodes.len() as u64 > self.largest {
                return Err(Error::over_limit(
                    format!("number of elements inside one `<{}>`", tag.name),
                    self.largest,
                    "--limit element-size=N",
                ));
            }
            let from = self.position();
            match self.reader.read_event() {
                Ok(Event::Start(start)) => {
                    self.enter()?;
                    tree.push(&self.tag(&start, false));
                }
                Ok(Event::Empty(start)) => tree.push(&self.tag(&start, true)),
                Ok(Event::End(_)) => {
                    self.depth = self.depth.saturating_sub(1);
                    tree.close();
                }
                Ok(Event::Text(_)) => tree.text(self.source.get(from..self.position()).unwrap_or_default()),
                Ok(Event::CData(data)) => tree.own_text(&data),
                Ok(Event::GeneralRef(reference)) => match reference.resolve_char_ref() {
                    Ok(Some(character)) => tree.own_text(character.encode_utf8(&mut [0; 4])),
                    Ok(None) => match resolve_predefined_entity(&reference) {
                        Some(text) => tree.own_text(text),
                        None => unknown_entity(remarks),
                    },
                    Err(_) => unknown_entity(remarks),
                },
                Ok(Event::Eof) => return Err(self.broken_off()),
                Ok(_) => {}
                Err(error) => return Err(self.ill_formed(&error)),
            }
        }
        Ok(())
    }

    /// How many bytes of the text have been read.
    pub(super) fn position(&self) -> usize {
        self.reader.buffer_position() as usize
    }

    /// The tag that the reader has just passed, cut from the source so that it outlives the event.
    fn tag(&self, start: &BytesStart<'_>, empty: bool) -> Tag<'x> {
        let end = self.position().saturating_sub(if empty { 2 } else { 1 });
        let inside = self.source.get(end.saturating_sub(start.len())..end).unwrap_or_default();
        let (name, attributes) = inside.split_at_checked(start.name().as_ref().len()).unwrap_or((inside, ""));
        Tag { name, attributes, empty }
    }

    fn enter(&mut self) -> Result<(), Error> {
        self.depth += 1;
        if self.depth > self.deepest {
            return Err(Error::over_limit("depth of nested elements", self.deepest, "--limit depth=N"));
        }
        Ok(())
    }

    fn broken_off(&self) -> Error {
        Error::Xml { line: self.line(self.source.len()), what: "the file breaks off inside an element".into() }
    }

    fn ill_formed(&self, error: &quick_xml::Error) -> Error {
        use quick_xml::Error as Xml;
        let what = match error {
            Xml::Syntax(error) => error.to_string(),
            Xml::IllFormed(error) => error.to_string(),
            other => other.to_string(),
        };
        Error::Xml { line: self.line(self.reader.error_position() as usize), what }
    }

    fn line(&self, position: usize) -> usize {
        1 + self.source.as_bytes().iter().take(position).filter(|b| **b == b'\n').count()
    }
}

fn unknown_entity(remarks: &mut Remarks) {
    remarks.add(Place::default(), "an entity that XML does not define", "left out of the text around it");
}

/// One element with all it holds, in document order.
#[derive(Default)]
pub(super) struct Tree<'x> {
    nodes: Vec<Node<'x>>,
    open: Vec<usize>,
    /// Texts that are not in the source as they are, since they hold entities.
    owned: Vec<String>,
}

#[derive(Clone, Copy)]
struct Node<'x> {
    name: &'x str,
    attributes: &'x str,
    text: Text<'x>,
    /// Index after the last node inside this one.
    end: usize,
}

#[derive(Clone, Copy)]
enum Text<'x> {
    Borrowed(&'x str),
    /// Index into [`Tree::owned`].
    Owned(usize),
}

impl<'x> Tree<'x> {
    /// The element itself.
    pub(super) fn root(&self) -> Element<'_, 'x> {
        Element { tree: self, index: 0 }
    }

    fn push(&mut self, tag: &Tag<'x>) {
        let index = self.nodes.len();
        self.nodes.push(Node { name: tag.name, attributes: tag.attributes, text: Text::Borrowed(""), end: index + 1 });
        if !tag.empty {
            self.open.push(index);
        }
    }

    fn close(&mut self) {
        let end = self.nodes.len();
        if let Some(node) = self.open.pop().and_then(|index| self.nodes.get_mut(index)) {
            node.end = end;
        }
    }

    fn text(&mut self, text: &'x str) {
        match self.open.last().and_then(|index| self.nodes.get_mut(*index)) {
            Some(node) if matches!(node.text, Text::Borrowed("")) => node.text = Text::Borrowed(text),
            _ => self.own_text(text),
        }
    }

    fn own_text(&mut self, text: &str) {
        let Some(node) = self.open.last().and_then(|index| self.nodes.get_mut(*index)) else { return };
        match node.text {
            Text::Owned(index) => {
                if let Some(owned) = self.owned.get_mut(index) {
                    owned.push_str(text);
                }
            }
            Text::Borrowed(before) => {
                node.text = Text::Owned(self.owned.len());
                self.owned.push([before, text].concat());
            }
        }
    }
}

/// One element of a [`Tree`].
#[derive(Clone, Copy)]
pub(super) struct Element<'t, 'x> {
    tree: &'t Tree<'x>,
    index: usize,
}

impl<'t, 'x> Element<'t, 'x> {
    fn node(&self) -> Option<&'t Node<'x>> {
        self.tree.nodes.get(self.index)
    }

    /// The tag name.
    pub(super) fn name(&self) -> &'x str {
        self.node().map_or("", |node| node.name)
    }

    /// The text directly inside, without white space around it.
    pub(super) fn text(&self) -> &'t str {
        self.node().map_or("", |node| match node.text {
            Text::Borrowed(text) => text.trim(),
            Text::Owned(index) => self.tree.owned.get(index).map_or("", |text| text.trim()),
        })
    }

    /// The value of an attribute.
    pub(super) fn attribute(&self, name: &str) -> Option<Cow<'x, str>> {
        self.node().and_then(|node| attribute(node.attributes, name))
    }

    /// True when the attribute has exactly this value.
    pub(super) fn has(&self, name: &str, value: &str) -> bool {
        self.attribute(name).is_some_and(|found| found == value)
    }

    /// The elements directly inside, in order.
    pub(super) fn children(&self) -> impl Iterator<Item = Self> + use<'t, 'x> {
        let tree = self.tree;
        let end = self.node().map_or(0, |node| node.end);
        let mut next = self.index + 1;
        std::iter::from_fn(move || {
            let index = next;
            (index < end).then(|| {
                next = tree.nodes[index].end;
                Self { tree, index }
            })
        })
    }

    /// The first element of that name directly inside.
    pub(super) fn child(&self, name: &str) -> Option<Self> {
        self.children().find(|child| child.name() == name)
    }

    /// The text of the first element of that name directly inside; `None` when there is none or it is empty.
    pub(super) fn child_text(&self, name: &str) -> Option<&'t str> {
        self.child(name).map(|child| child.text()).filter(|text| !text.is_empty())
    }

    /// Every element inside, at any depth, in document order.
    pub(super) fn descendants(&self) -> impl Iterator<Item = Self> + use<'t, 'x> {
        let tree = self.tree;
        (self.index + 1..self.node().map_or(0, |node| node.end)).map(move |index| Self { tree, index })
    }
}

/// The value of attribute `name` among raw attributes, with the entities of XML resolved.
fn attribute<'x>(raw: &'x str, name: &str) -> Option<Cow<'x, str>> {
    // Most elements have none, and are asked often.
    if raw.len() < name.len() + 3 {
        return None;
    }
    quick_xml::events::attributes::Attributes::new(raw, 0)
        .with_checks(false)
        .flatten()
        .find(|attribute| attribute.key.as_ref() == name)
        .map(|attribute| match attribute.normalized_value_with(XmlVersion::Implicit1_0, 1, resolve_predefined_entity) {
            Ok(value) => value,
            Err(_) => attribute.value.clone(),
        })
}

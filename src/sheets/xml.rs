//! Elements and text, escaped and indented.

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

/// A document being written.
pub struct Xml {
    writer: Writer<Vec<u8>>,
}

/// Attributes of an element, in order.
pub type Attributes<'a> = &'a [(&'a str, &'a str)];

impl Xml {
    /// An XML declaration and a document type.
    pub fn new(doctype: &str) -> Self {
        let mut xml = Self { writer: Writer::new_with_indent(Vec::new(), b' ', 1) };
        xml.event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        xml.event(Event::DocType(BytesText::from_escaped(doctype)));
        xml
    }

    /// The text so far.
    pub fn finish(self) -> String {
        // Only whole strings were written, so this loses nothing.
        let mut text = String::from_utf8_lossy(&self.writer.into_inner()).into_owned();
        text.push('\n');
        text
    }

    /// `<name ...>` what `inner` writes `</name>`.
    pub fn element(&mut self, name: &str, attributes: Attributes<'_>, inner: impl FnOnce(&mut Self)) {
        self.event(Event::Start(start(name, attributes)));
        inner(self);
        self.event(Event::End(BytesEnd::new(name)));
    }

    /// `<name ...>text</name>`.
    pub fn text(&mut self, name: &str, attributes: Attributes<'_>, text: &str) {
        self.event(Event::Start(start(name, attributes)));
        self.event(Event::Text(BytesText::new(&printable(text))));
        self.event(Event::End(BytesEnd::new(name)));
    }

    /// `<name .../>`.
    pub fn empty(&mut self, name: &str, attributes: Attributes<'_>) {
        self.event(Event::Empty(start(name, attributes)));
    }

    fn event(&mut self, event: Event<'_>) {
        // A vector takes every byte, so this cannot fail.
        let _ = self.writer.write_event(event);
    }
}

fn start<'a>(name: &'a str, attributes: Attributes<'a>) -> BytesStart<'a> {
    BytesStart::new(name).with_attributes(attributes.iter().copied())
}

/// Titles come from files: characters that XML 1.0 does not allow become spaces.
fn printable(text: &str) -> String {
    let allowed = |c: char| matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{fffd}' | '\u{10000}'..);
    text.chars().map(|c| if allowed(c) { c } else { ' ' }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_stays_text() {
        let mut xml = Xml::new("score");
        xml.element("score", &[("title", "a \"b\" <c>")], |xml| xml.text("words", &[], "<b>&\u{0}\u{1b}é"));
        let written = xml.finish();
        assert!(written.contains("title=\"a &quot;b&quot; &lt;c&gt;\""), "{written}");
        assert!(written.contains("<words>&lt;b&gt;&amp;  é</words>"), "{written}");
        assert!(
            written.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!DOCTYPE score>\n<score"),
            "{written}"
        );
    }
}

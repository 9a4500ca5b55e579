//! A page of plain text: wrapped, indented, coloured if asked, and safe to show on a terminal.

use textwrap::core::{Word, display_width};
use textwrap::{WordSeparator, WordSplitter};

use crate::report::view::clean;

/// How a text report should look.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Style {
    /// Columns to fill.
    pub columns: usize,
    /// Use the colours and weights of a terminal (ANSI X3.64 / ECMA-48 select graphic rendition).
    pub colour: bool,
}

impl Default for Style {
    fn default() -> Self {
        Self { columns: 80, colour: false }
    }
}

/// Weight or colour of a piece of text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ink {
    /// Headings and names.
    Strong,
    /// Side notes.
    Faint,
    /// What to look at first.
    Marked,
}

/// A page being written.
#[derive(Debug)]
pub struct Page {
    style: Style,
    text: String,
}

impl Page {
    /// An empty page.
    pub fn new(style: Style) -> Self {
        Self { style, text: String::new() }
    }

    /// The finished page.
    pub fn finish(self) -> String {
        self.text
    }

    /// Columns to fill.
    pub fn columns(&self) -> usize {
        self.style.columns
    }

    /// The text in this ink, if colours are wanted.
    pub fn ink(&self, ink: Ink, text: &str) -> String {
        let code = match ink {
            Ink::Strong => "1",
            Ink::Faint => "2",
            Ink::Marked => "1;33",
        };
        if self.style.colour { format!("\x1b[{code}m{text}\x1b[0m") } else { text.to_owned() }
    }

    /// An empty line, never two.
    pub fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A line as it is; the caller has seen to its width.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    /// A heading with space above.
    pub fn heading(&mut self, text: &str) {
        self.gap();
        let text = self.ink(Ink::Strong, &clean(text).to_uppercase());
        self.line(&text);
    }

    /// Wrapped text: the first line begins with `first`, the others are indented as far.
    pub fn hanging(&mut self, first: &str, text: &str) {
        self.wrapped(first, &" ".repeat(display_width(first)), text, None);
    }

    /// Wrapped text with this indent, in this ink.
    pub fn paragraph(&mut self, indent: usize, text: &str, ink: Option<Ink>) {
        let indent = " ".repeat(indent);
        self.wrapped(&indent, &indent, text, ink);
    }

    fn wrapped(&mut self, first: &str, rest: &str, text: &str, ink: Option<Ink>) {
        // A name such as F-sharp stays whole.
        let options = textwrap::Options::new(self.style.columns)
            .initial_indent(first)
            .subsequent_indent(rest)
            .word_separator(WordSeparator::Custom(unbroken))
            .word_splitter(WordSplitter::NoHyphenation);
        for line in textwrap::wrap(&clean(text), options) {
            let line = ink.map_or_else(|| line.to_string(), |ink| self.ink(ink, &line));
            self.line(&line);
        }
    }
}

/// The stretches of a line that are not broken: words, and a number together with its unit or what it counts.
fn unbroken(line: &str) -> Box<dyn Iterator<Item = Word<'_>> + '_> {
    let mut rest = line;
    Box::new(std::iter::from_fn(move || {
        let mut end = 0;
        for word in WordSeparator::AsciiSpace.find_words(rest) {
            end += word.len() + word.whitespace.len();
            if !(is_number(&word) && rest[end..].starts_with(|c: char| c.is_alphabetic() || c == '%')) {
                break;
            }
        }
        let (stretch, after) = rest.split_at(end);
        rest = after;
        (!stretch.is_empty()).then(|| Word::from(stretch))
    }))
}

/// True of `96`, `(5.1` and `+0.3`, and of nothing that something closes: `3,` or `31-34`.
fn is_number(word: &str) -> bool {
    let digits = word.trim_start_matches(['(', '+', '-']);
    digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
}

/// Rows under headings, columns as wide as their longest cell, two spaces between; the last column may be long and is
/// wrapped by the page.
pub fn table(page: &mut Page, indent: usize, head: &[&str], rows: &[Vec<String>]) {
    let last = head.len().saturating_sub(1);
    let mut widths: Vec<usize> = head.iter().map(|cell| display_width(cell)).collect();
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(display_width(cell));
        }
    }
    let lead = |cells: &[String]| {
        let mut text = " ".repeat(indent);
        for (cell, width) in cells.iter().zip(&widths).take(last) {
            let pad = width - display_width(cell).min(*width) + 2;
            text.push_str(cell);
            text.push_str(&" ".repeat(pad));
        }
        text
    };
    let names: Vec<String> = head.iter().map(|cell| (*cell).to_owned()).collect();
    let names = format!("{}{}", lead(&names), names.last().map_or("", String::as_str));
    let names = page.ink(Ink::Faint, names.trim_end());
    page.line(&names);
    for row in rows {
        page.hanging(&lead(row), row.get(last).map_or("", String::as_str));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_text_is_wrapped_and_wide_letters_are_counted_as_two() {
        let mut page = Page::new(Style { columns: 20, colour: false });
        page.hanging("title  ", "a long title that goes on 練習曲の小品集 and on");
        let text = page.finish();
        assert!(text.lines().count() > 3);
        for line in text.lines() {
            assert!(display_width(line) <= 20, "{line}");
        }
    }

    #[test]
    fn a_number_and_its_unit_stay_on_one_line_wherever_the_line_ends() {
        let text =
            "slower: 3.8 at 57 (90 %), 3.7 at 51 (80 %), 9.4 strokes/s (5.1 strokes/s), 12 measures  and 1 2 3 4 5";
        for columns in 16..100 {
            let mut page = Page::new(Style { columns, colour: false });
            page.paragraph(0, text, None);
            let text = page.finish();
            for together in ["(90 %),", "(80 %),", "9.4 strokes/s", "(5.1 strokes/s),", "12 measures"] {
                assert!(text.lines().any(|line| line.contains(together)), "{columns}, {together}:\n{text}");
            }
        }
    }

    #[test]
    fn only_a_number_before_a_word_holds_on_to_it() {
        let stretches = |line| unbroken(line).map(|word| word.word.to_owned()).collect::<Vec<_>>();
        assert_eq!(stretches("(60 %), in 12 bars"), ["(60 %),", "in", "12 bars"]);
        assert_eq!(
            stretches("1 2 3 (4) 31-34 up, C4 D4 e 5, f"),
            "1|2|3|(4)|31-34|up,|C4|D4|e|5,|f".split('|').collect::<Vec<_>>()
        );
        assert_eq!(stretches("3 4  bars  7"), ["3", "4  bars", "7"]);
        assert_eq!(stretches(""), [""; 0]);
    }
}

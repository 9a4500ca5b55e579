//! Bytes to text.
//!
//! In: the bytes of an XML file. Out: text, from the encoding that its byte order mark or its XML declaration names
//! (Extensible Markup Language 1.0, appendix F), UTF-8 where neither does.

use std::borrow::Cow;

use encoding_rs::Encoding;

use crate::error::{Place, Remarks};

/// How far into the file the XML declaration is looked for, in bytes. Chosen by us: it must come first and is short.
const DECLARATION_BYTES: usize = 200;

/// The text of an XML file, without byte order mark.
pub(super) fn decode<'b>(bytes: &'b [u8], remarks: &mut Remarks) -> Cow<'b, str> {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        return decode_as(encoding, bytes.get(mark..).unwrap_or_default(), remarks);
    }
    // Two-byte encodings without a mark give themselves away by the zero beside the first `<`.
    match bytes {
        [b'<', 0, ..] => return decode_as(encoding_rs::UTF_16LE, bytes, remarks),
        [0, b'<', ..] => return decode_as(encoding_rs::UTF_16BE, bytes, remarks),
        _ => {}
    }
    match declared(bytes) {
        // The declaration could be read as single bytes, so a wide encoding cannot be meant.
        Some(encoding) if encoding.is_ascii_compatible() => decode_as(encoding, bytes, remarks),
        _ => decode_as(encoding_rs::UTF_8, bytes, remarks),
    }
}

fn decode_as<'b>(encoding: &'static Encoding, bytes: &'b [u8], remarks: &mut Remarks) -> Cow<'b, str> {
    let (text, malformed) = encoding.decode_without_bom_handling(bytes);
    if malformed {
        remarks.add(
            Place::default(),
            format!("bytes that are not {}", encoding.name()),
            "each read as a replacement character; titles and words may look odd",
        );
    }
    text
}

/// The encoding that `<?xml ... encoding="..."?>` names.
fn declared(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = bytes.get(..bytes.len().min(DECLARATION_BYTES))?;
    let start = start.split(|b| *b == b'>').next()?;
    let start = std::str::from_utf8(start).ok().filter(|start| start.starts_with("<?xml"))?;
    let (_, value) = start.split_once("encoding")?;
    let value = value.trim_start().strip_prefix('=')?.trim_start();
    let quote = value.chars().next().filter(|c| *c == '"' || *c == '\'')?;
    Encoding::for_label(value.get(1..)?.split(quote).next()?.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> (String, bool) {
        let mut remarks = Remarks::default();
        let text = decode(bytes, &mut remarks).into_owned();
        (text, remarks.is_empty())
    }

    #[test]
    fn a_byte_order_mark_decides_and_is_taken_off() {
        let utf16: Vec<u8> = [0xFEFF].into_iter().chain("<a>é</a>".encode_utf16()).flat_map(u16::to_be_bytes).collect();
        assert_eq!(read(&utf16), ("<a>é</a>".into(), true));
        assert_eq!(read("\u{FEFF}<a/>".as_bytes()), ("<a/>".into(), true));
    }

    #[test]
    fn wide_characters_without_a_mark_are_seen() {
        let utf16: Vec<u8> = "<a>é</a>".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(read(&utf16), ("<a>é</a>".into(), true));
    }

    #[test]
    fn the_declaration_decides_next() {
        assert_eq!(
            read(b"<?xml version='1.0' encoding='ISO-8859-1'?><a>\xE9</a>"),
            ("<?xml version='1.0' encoding='ISO-8859-1'?><a>é</a>".into(), true)
        );
        // A declaration of UTF-16 that was read byte by byte is wrong.
        assert_eq!(read("<?xml version=\"1.0\" encoding=\"UTF-16\"?><a>é</a>".as_bytes()).0.pop(), Some('>'));
    }

    #[test]
    fn wrong_bytes_are_remarked() {
        assert_eq!(read(b"<a>\xE9</a>"), ("<a>\u{FFFD}</a>".into(), false));
    }
}

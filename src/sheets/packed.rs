//! A sheet as compressed MusicXML (`.mxl`), which takes a tenth of the room, and as an address that holds the file itself.
//!
//! # References
//! MusicXML 4.0 (2021), "Compressed .MXL files": a zip archive with its type first and a container file that names the
//! score. L. Masinter, RFC 2397 (1998): the `data` scheme.

use std::io::{Cursor, Write};

use data_encoding::BASE64;
use zip::result::ZipError;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const TYPE: &str = "application/vnd.recordare.musicxml";

const CONTAINER: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<container><rootfiles><rootfile \
    full-path=\"score.musicxml\" media-type=\"application/vnd.recordare.musicxml+xml\"/></rootfiles></container>\n";

/// The archive that holds this MusicXML; the same text gives the same bytes.
pub fn compress(musicxml: &str) -> Vec<u8> {
    // Memory does not fail as a disk does: only four gigabytes would, and then the score as it is does as well.
    packed(musicxml).unwrap_or_else(|_| musicxml.as_bytes().to_vec())
}

fn packed(musicxml: &str) -> Result<Vec<u8>, ZipError> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    // Without the time of day, which the library does not know.
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let deflated = stored.compression_method(CompressionMethod::Deflated);
    for (name, text, options) in [
        ("mimetype", TYPE, stored),
        ("META-INF/container.xml", CONTAINER, deflated),
        ("score.musicxml", musicxml, deflated),
    ] {
        archive.start_file(name, options)?;
        archive.write_all(text.as_bytes())?;
    }
    Ok(archive.finish()?.into_inner())
}

/// An address that holds a compressed score, for a link in a page that comes alone.
pub fn data_address(archive: &[u8]) -> String {
    format!("data:{TYPE};base64,{}", BASE64.encode(archive))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::Limits;
    use crate::musicxml::read_score;
    use crate::scales::Scale;
    use crate::sheets::{Assignment, Figure, Sheet, compose, write};

    #[test]
    fn our_reader_opens_what_was_packed_without_a_remark() {
        let assignment = Assignment::new(Figure::Scale(Scale::all()[0]), 2);
        let text = write(&Sheet { exercises: compose(&assignment), ..Sheet::default() });
        let archive = compress(&text);
        assert!(archive.len() * 8 < text.len(), "{} of {}", archive.len(), text.len());
        let (plain, _) = read_score(text.as_bytes(), &Limits::default()).unwrap();
        let (packed, remarks) = read_score(&archive, &Limits::default()).unwrap();
        assert_eq!(packed.notes.len(), plain.notes.len());
        assert!(remarks.is_empty());
        assert_eq!(archive, compress(&text));
        let address = data_address(&archive);
        let coded = address.strip_prefix("data:application/vnd.recordare.musicxml;base64,").unwrap();
        assert_eq!(BASE64.decode(coded.as_bytes()).unwrap(), archive);
    }
}

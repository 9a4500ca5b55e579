//! The compressed form, `.mxl`: a zip archive whose container file names the score.
//!
//! In: the bytes of the archive. Out: the bytes of the score. Nothing is unpacked but the container file and the score,
//! both under a limit; no path is followed outside the archive. Source: MusicXML 4.0, "Compressed .MXL files".

use std::io::{Cursor, Read};

use zip::ZipArchive;

use super::encoding::decode;
use super::xml::{Item, Xml};
use crate::error::{Error, Place, Remarks};
use crate::limits::Limits;

const CONTAINER: &str = "META-INF/container.xml";

/// Bytes of the container file that are looked at; it names a handful of files.
const CONTAINER_BYTES: u64 = 1 << 20;

type Archive<'b> = ZipArchive<Cursor<&'b [u8]>>;

/// True for the first bytes of a zip archive, also of an empty one.
pub(super) fn is_archive(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// The bytes of the score inside.
pub(super) fn unpack(bytes: &[u8], limits: &Limits, remarks: &mut Remarks) -> Result<Vec<u8>, Error> {
    let mut archive = ZipArchive::new(Cursor::new(bytes))
        .map_err(|error| Error::Archive(format!("the archive cannot be opened: {error}")))?;
    if archive.len() as u64 > limits.archive_entries {
        return Err(Error::over_limit(
            "number of entries in the archive",
            limits.archive_entries,
            "--limit archive-entries=N",
        ));
    }
    let name = match rootfile(&mut archive, limits) {
        Some(name) if archive.index_for_name(&name).is_some() => name,
        named => {
            let first = archive
                .file_names()
                .flatten()
                .find(|name| looks_like_score(name))
                .map(std::borrow::Cow::into_owned)
                .ok_or_else(|| Error::Archive("the archive holds no score".into()))?;
            remarks.add(
                Place::default(),
                match named {
                    Some(_) => "the container file of the archive names a score that is not there",
                    None => "the archive has no container file that names its score",
                },
                format!("`{first}` was read"),
            );
            first
        }
    };
    entry(&mut archive, &name, limits.xml_bytes, limits)
}

/// True for a name that a score may have; some archivers add a folder of their own.
fn looks_like_score(name: &str) -> bool {
    let end = name.rsplit('.').next().unwrap_or_default();
    (end.eq_ignore_ascii_case("xml") || end.eq_ignore_ascii_case("musicxml"))
        && !name.starts_with("META-INF/")
        && !name.starts_with("__MACOSX/")
}

/// The score that the container file names: the first root file without a type or with the type of MusicXML.
fn rootfile(archive: &mut Archive<'_>, limits: &Limits) -> Option<String> {
    let bytes = entry(archive, CONTAINER, CONTAINER_BYTES, limits).ok()?;
    let text = decode(&bytes, &mut Remarks::default());
    let mut xml = Xml::new(&text, limits);
    while let Ok(item) = xml.next() {
        match item {
            Item::Start(tag) if tag.name.rsplit(':').next() == Some("rootfile") => {
                let kind = tag.attribute("media-type");
                if kind.is_none_or(|kind| kind.is_empty() || kind.contains("musicxml") || kind.ends_with("/xml")) {
                    return tag.attribute("full-path").map(std::borrow::Cow::into_owned);
                }
            }
            Item::Eof => return None,
            Item::Start(_) | Item::End => {}
        }
    }
    None
}

fn entry(archive: &mut Archive<'_>, name: &str, most: u64, limits: &Limits) -> Result<Vec<u8>, Error> {
    let file = archive
        .by_name(name)
        .map_err(|error| Error::Archive(format!("`{name}` in the archive cannot be read: {error}")))?;
    let packed = file.compressed_size();
    // The sizes in the archive are claims; what is really unpacked is counted.
    let by_ratio = packed.saturating_mul(limits.archive_ratio).saturating_add(RATIO_FREE_BYTES);
    let allowed = most.min(by_ratio);
    let mut bytes = Vec::new();
    file.take(allowed + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Error::Archive(format!("`{name}` in the archive cannot be unpacked: {error}")))?;
    if bytes.len() as u64 <= allowed {
        return Ok(bytes);
    }
    Err(if most <= by_ratio {
        Error::over_limit("size of the unpacked score in bytes", most, "--limit xml-bytes=N")
    } else {
        Error::over_limit("ratio of unpacked to packed size", limits.archive_ratio, "--limit archive-ratio=N")
    })
}

/// Unpacked bytes that are allowed whatever the ratio: small files of white space pack very well. Chosen by us.
const RATIO_FREE_BYTES: u64 = 1 << 20;

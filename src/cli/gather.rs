//! Folders in, summaries of the scores in them out: walking, reading side by side, the cache, the progress bar.

#![allow(clippy::disallowed_methods, reason = "with `files` and `cache`, the part of the program that touches files")]

use std::collections::BTreeSet;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;
use thumbunder::analysis::analyse;
use thumbunder::shelf::Broken;
use thumbunder::summary::{PieceSummary, summarise};
use thumbunder::{Limits, Options};
use walkdir::WalkDir;

use super::cache::{Cache, Known};
use super::exit::Fault;
use super::files;
use super::guard::within;
use super::shelf_args::GatherArgs;

/// Bytes of a file that are looked at to know what it is.
const SNIFFED: u64 = 4096;

/// What the folders hold.
#[derive(Debug, Default)]
pub struct Gathered {
    /// Scores by file name.
    pub pieces: Vec<(String, PieceSummary)>,
    /// Files that look like scores and could not be read.
    pub broken: Vec<Broken>,
}

/// Assesses every score in the folders.
pub fn gather(typed: &GatherArgs) -> Result<Gathered, Fault> {
    let limits = typed.limits.limits();
    let (files, mut broken) = find(&typed.folders)?;
    let cache = if typed.no_cache { Cache::none() } else { Cache::open(typed.cache.as_deref(), &limits) };
    let bar = progress(files.len());
    let assess = |path: &PathBuf| {
        let known = assess(path, &limits, &cache);
        bar.inc(1);
        (shown(path), known)
    };
    let workers = rayon::ThreadPoolBuilder::new().num_threads(typed.jobs.map_or(0, usize::from)).build();
    let workers = workers.map_err(|error| Fault::failed(format!("failed to start threads: {error}")))?;
    let known: Vec<(String, Known)> = workers.install(|| files.par_iter().map(assess).collect());
    bar.finish_and_clear();
    let mut pieces = Vec::new();
    for (file, known) in known {
        match known {
            Known::Piece(piece) => pieces.push((file, *piece)),
            Known::Broken(reason) => broken.push(Broken { file, reason }),
        }
    }
    Ok(Gathered { pieces, broken })
}

/// The summary of one file, from the cache where it is known.
pub fn assess(path: &Path, limits: &Limits, cache: &Cache) -> Known {
    let bytes = match files::read(path, limits.xml_bytes) {
        Ok(bytes) => bytes,
        // What the disk says may be another thing tomorrow, so it is not kept.
        Err(fault) => return Known::Broken(fault.what),
    };
    let key = cache.key(&bytes);
    if let Some(known) = cache.get(&key) {
        return known;
    }
    let options = Options { limits: *limits, ..Options::default() };
    // One score must not take the others with it, whatever is wrong with it or with us.
    let known = match within(limits.seconds, move || analyse(&bytes, &options).map(|a| summarise(&a))) {
        Ok(Ok(piece)) => Known::Piece(Box::new(piece)),
        Ok(Err(error)) => Known::Broken(error.to_string()),
        // It may do better another time.
        Err(fault) => return Known::Broken(fault.what),
    };
    cache.put(&key, &known);
    known
}

/// A bar on a terminal, nothing elsewhere.
fn progress(files: usize) -> ProgressBar {
    let style = ProgressStyle::with_template("{bar:40} {pos} of {len} scores, {eta} left");
    let bar = ProgressBar::new(files as u64);
    style.map_or(bar.clone(), |style| bar.with_style(style))
}

/// How a file is named in reports: as the person typed its folder, bytes that are no Unicode replaced.
fn shown(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// Files in the folders that are scores, or look like it, in order; each once, however many links lead to it.
fn find(folders: &[PathBuf]) -> Result<(Vec<PathBuf>, Vec<Broken>), Fault> {
    let mut found: Vec<PathBuf> = Vec::new();
    let mut broken = Vec::new();
    for folder in folders {
        if !folder.exists() {
            return Err(Fault::failed(format!("`{}`: no such folder or file", folder.display())));
        }
        if folder.is_file() {
            found.push(folder.clone());
            continue;
        }
        let walk = WalkDir::new(folder).follow_links(true).sort_by_file_name();
        let visible = |entry: &walkdir::DirEntry| entry.depth() == 0 || !is_hidden(entry.file_name());
        for entry in walk.into_iter().filter_entry(visible) {
            match entry {
                Ok(entry) if entry.file_type().is_file() && is_score(entry.path()) => found.push(entry.into_path()),
                Ok(_) => {}
                // A link back to a folder above holds nothing new.
                Err(error) if error.loop_ancestor().is_some() => {}
                Err(error) => {
                    let file = error.path().map_or_else(|| shown(folder), shown);
                    let reason = error.io_error().map_or_else(|| error.to_string(), files::reason);
                    broken.push(Broken { file, reason });
                }
            }
        }
    }
    let mut seen = BTreeSet::new();
    found.retain(|path| seen.insert(path.canonicalize().unwrap_or_else(|_| path.clone())));
    Ok((found, broken))
}

fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.as_encoded_bytes().starts_with(b".")
}

/// By its ending, else by what it begins with.
fn is_score(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    if matches!(ending.as_str(), "musicxml" | "mxl") {
        return true;
    }
    let mut start = Vec::new();
    let read = File::open(path).and_then(|file| file.take(SNIFFED).read_to_end(&mut start));
    // A file that cannot be opened is told as broken if it says that it is a score.
    read.map_or(ending == "xml", |_| begins_like_a_score(&start))
}

/// Whether these first bytes are those of a score: MusicXML in UTF-8 or UTF-16, or an archive that names its contents as
/// compressed MusicXML does.
fn begins_like_a_score(start: &[u8]) -> bool {
    let has = |text: &[u8], what: &str| text.windows(what.len()).any(|part| part == what.as_bytes());
    if start.starts_with(b"PK\x03\x04") {
        return has(start, "META-INF/container.xml") && !has(start, "application/epub+zip")
            || has(start, "application/vnd.recordare.musicxml");
    }
    // In UTF-16 every other byte of these ASCII names is zero.
    let text: Vec<u8> = start.iter().copied().filter(|byte| *byte != 0).collect();
    let body = text.strip_prefix(b"\xef\xbb\xbf").or(text.strip_prefix(b"\xff\xfe")).or(text.strip_prefix(b"\xfe\xff"));
    let body = body.unwrap_or(&text).trim_ascii_start();
    body.starts_with(b"<") && (has(body, "<score-partwise") || has(body, "<score-timewise"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scores_are_known_by_their_first_bytes() {
        let xml = "<?xml version=\"1.0\"?>\n<!-- made by hand -->\n<score-partwise version=\"4.0\">";
        let utf16: Vec<u8> = xml.encode_utf16().flat_map(u16::to_le_bytes).collect();
        for start in [xml.as_bytes().to_vec(), [b"\xef\xbb\xbf".as_slice(), xml.as_bytes()].concat(), utf16.clone()] {
            assert!(begins_like_a_score(&start));
        }
        assert!(begins_like_a_score(&[b"\xff\xfe".as_slice(), &utf16].concat()));
        assert!(begins_like_a_score(b"PK\x03\x04....META-INF/container.xml...."));
        for other in [
            b"<html><body>".as_slice(),
            b"PK\x03\x04mimetypeapplication/epub+zip META-INF/container.xml",
            b"PK\x03\x04[Content_Types].xml",
            b"a text about <score-partwise",
            b"",
        ] {
            assert!(!begins_like_a_score(other), "{}", String::from_utf8_lossy(other));
        }
    }
}

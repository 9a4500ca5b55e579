//! Summaries of files that were assessed before, by what is in them.
//!
//! A piece of the cache belongs to the bytes of one file, the limits they were read under, and this very program: the
//! folder is named after a digest of the executable, so another version never reads what this one wrote. Pieces are
//! written to a temporary file and renamed, so that two runs may share the cache; each begins with a digest of the rest,
//! so that a damaged one is noticed and made anew. Whatever goes wrong with the cache, the report is the same, only
//! slower.

#![allow(clippy::disallowed_methods, reason = "with `files` and `gather`, the part of the program that touches files")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use directories::ProjectDirs;
use serde::{Deserialize, Serialize};
use thumbunder::Limits;
use thumbunder::summary::PieceSummary;

/// What is known of a file's bytes.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Known {
    /// A score.
    Piece(Box<PieceSummary>),
    /// No score, and why.
    Broken(String),
}

/// Days after which what another version of the program wrote is thrown away.
const KEEP_OTHERS: Duration = Duration::from_secs(30 * 24 * 60 * 60);

/// The cache, or none.
#[derive(Clone, Debug)]
pub struct Cache {
    folder: Option<PathBuf>,
    limits: String,
}

impl Cache {
    /// The cache in `folder`, or in the user's own; none if there is no such place.
    pub fn open(folder: Option<&Path>, limits: &Limits) -> Self {
        let own = || ProjectDirs::from("", "", "thumbunder").map(|dirs| dirs.cache_dir().to_owned());
        let root = folder.map(Path::to_owned).or_else(own);
        let folder = root.zip(fingerprint()).map(|(root, program)| root.join("shelf").join(program));
        let folder = folder.filter(|folder| {
            let is_new = !folder.is_dir();
            let made = fs::create_dir_all(folder).is_ok();
            if is_new && made {
                drop_old_versions(folder);
            }
            made
        });
        Self { folder, limits: format!("{limits:?}") }
    }

    /// No cache at all.
    pub fn none() -> Self {
        Self { folder: None, limits: String::new() }
    }

    /// Name of a file's piece.
    pub fn key(&self, bytes: &[u8]) -> String {
        let mut hasher = blake3::Hasher::new();
        hasher.update(self.limits.as_bytes()).update(b"\0").update(bytes);
        hasher.finalize().to_hex().to_string()
    }

    fn path(&self, key: &str) -> Option<PathBuf> {
        let (shard, _) = key.split_at_checked(2)?;
        Some(self.folder.as_ref()?.join(shard).join(key))
    }

    /// What is known, if it is there and whole.
    pub fn get(&self, key: &str) -> Option<Known> {
        let text = fs::read_to_string(self.path(key)?).ok()?;
        let (digest, rest) = text.split_once('\n')?;
        let whole = blake3::hash(rest.as_bytes()).to_hex().as_str() == digest;
        whole.then(|| serde_json::from_str(rest).ok()).flatten()
    }

    /// Keeps what is known; a cache that cannot be written to is no fault.
    pub fn put(&self, key: &str, known: &Known) {
        let write = || -> Option<()> {
            let path = self.path(key)?;
            let folder = path.parent()?;
            fs::create_dir_all(folder).ok()?;
            let rest = serde_json::to_string(known).ok()?;
            let mut file = tempfile::NamedTempFile::new_in(folder).ok()?;
            writeln!(file, "{}", blake3::hash(rest.as_bytes()).to_hex()).ok()?;
            file.write_all(rest.as_bytes()).ok()?;
            file.persist(path).ok().map(drop)
        };
        let _ = write();
    }
}

/// A digest of the running program, so that a model that has changed is another program even under the same version.
fn fingerprint() -> Option<String> {
    let mut hasher = blake3::Hasher::new();
    hasher.update_reader(fs::File::open(std::env::current_exe().ok()?).ok()?).ok()?;
    let digest = hasher.finalize().to_hex();
    Some(format!("{}-{}", env!("CARGO_PKG_VERSION"), digest.get(..16)?))
}

/// Removes the folders of other versions that have not been written to for long.
fn drop_old_versions(folder: &Path) {
    let Some(root) = folder.parent() else { return };
    for other in fs::read_dir(root).into_iter().flatten().flatten() {
        let age = other.metadata().and_then(|data| data.modified()).map(|at| SystemTime::now().duration_since(at));
        if other.path() != folder && matches!(age, Ok(Ok(age)) if age > KEEP_OTHERS) {
            let _ = fs::remove_dir_all(other.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cache() -> (tempfile::TempDir, Cache) {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::open(Some(folder.path()), &Limits::default());
        (folder, cache)
    }

    fn reason(known: Option<Known>) -> Option<String> {
        match known? {
            Known::Broken(reason) => Some(reason),
            Known::Piece(_) => None,
        }
    }

    #[test]
    fn what_was_kept_is_found_again_by_its_bytes_and_limits() {
        let (folder, cache) = cache();
        let key = cache.key(b"<score/>");
        assert!(cache.get(&key).is_none());
        cache.put(&key, &Known::Broken("no notes".into()));
        assert_eq!(reason(cache.get(&key)).as_deref(), Some("no notes"));
        let again = Cache::open(Some(folder.path()), &Limits::default());
        assert_eq!(reason(again.get(&again.key(b"<score/>"))).as_deref(), Some("no notes"));
        let other = Cache::open(Some(folder.path()), &Limits { notes: 7, ..Limits::default() });
        assert!(other.get(&other.key(b"<score/>")).is_none());
        assert!(cache.get(&cache.key(b"<score />")).is_none());
    }

    #[test]
    fn a_damaged_piece_is_not_believed() {
        let (_folder, cache) = cache();
        let key = cache.key(b"x");
        for damaged in ["", "\n", "abc", "0000\n{\"Broken\":\"forged\"}", "\u{0}\u{0}\n\u{0}"] {
            let path = cache.path(&key).unwrap();
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, damaged).unwrap();
            assert!(cache.get(&key).is_none(), "{damaged:?}");
            cache.put(&key, &Known::Broken("anew".into()));
            assert_eq!(reason(cache.get(&key)).as_deref(), Some("anew"));
            let whole = fs::read_to_string(&path).unwrap();
            fs::write(&path, &whole[..whole.len() - 3]).unwrap();
            assert!(cache.get(&key).is_none(), "cut short");
        }
    }

    #[test]
    fn a_cache_that_cannot_be_is_none() {
        let (folder, _) = cache();
        let file = folder.path().join("file");
        fs::write(&file, "in the way").unwrap();
        let cache = Cache::open(Some(&file), &Limits::default());
        let key = cache.key(b"x");
        cache.put(&key, &Known::Broken("lost".into()));
        assert!(cache.get(&key).is_none());
        assert!(Cache::none().get(&key).is_none());
    }
}

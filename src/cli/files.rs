//! Bytes in from files and standard input, bytes out to files and standard output.
//!
//! The only place that touches the file system. A file is written whole or not at all: to a temporary file beside it,
//! then renamed.

#![allow(clippy::disallowed_methods, reason = "this is the one module that reads and writes files")]

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::exit::Fault;

/// Reads a whole file, or standard input for `-`, up to `most` bytes.
pub fn read(path: &Path, most: u64) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    let read = if path.as_os_str() == "-" {
        io::stdin().lock().take(most.saturating_add(1)).read_to_end(&mut bytes)
    } else {
        if path.is_dir() {
            return Err(Fault::failed("is a directory, not a score").hint("name the files in it"));
        }
        fs::File::open(path).and_then(|file| file.take(most.saturating_add(1)).read_to_end(&mut bytes))
    };
    match read {
        Ok(_) if bytes.len() as u64 > most => Err(Fault::failed(format!("is larger than the limit of {most} bytes"))
            .hint("raise it with `--limit xml-bytes=N` if the file is trusted")),
        Ok(_) => Ok(bytes),
        Err(error) => Err(Fault::failed(reason(&error))),
    }
}

/// Where a report goes.
#[derive(Clone, Debug)]
pub enum Output {
    /// Standard output.
    Stdout,
    /// A file, replaced as a whole.
    File(PathBuf),
}

impl Output {
    /// Checks, before any work is done, that the output can be a file at all. `-` is standard output.
    pub fn new(path: Option<&Path>) -> Result<Self, Fault> {
        match path {
            None => Ok(Self::Stdout),
            Some(path) if path.as_os_str() == "-" => Ok(Self::Stdout),
            Some(path) if path.is_dir() => {
                Err(Fault::usage(format!("output `{}` is a directory", path.display())).hint("name a file in it"))
            }
            Some(path) => match folder_of(path) {
                folder if folder.is_dir() => Ok(Self::File(path.to_owned())),
                folder => Err(Fault::usage(format!("output folder `{}` does not exist", folder.display()))),
            },
        }
    }

    /// Writes everything at once. A reader that closed the pipe has seen enough: that is no fault.
    pub fn write(&self, bytes: &[u8]) -> Result<(), Fault> {
        match self {
            Self::Stdout => {
                let mut out = io::stdout().lock();
                match out.write_all(bytes).and_then(|()| out.flush()) {
                    Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                        Err(Fault::failed(format!("failed to write the report: {}", reason(&error))))
                    }
                    _ => Ok(()),
                }
            }
            Self::File(path) => replace(path, bytes)
                .map_err(|error| Fault::failed(format!("failed to write `{}`: {}", path.display(), reason(&error)))),
        }
    }
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Replaces a file by a rename, following links; what is no ordinary file (a device, a named pipe) is written to.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let old = fs::metadata(path).ok();
    if old.as_ref().is_some_and(|old| !old.is_file()) {
        return fs::OpenOptions::new().write(true).open(path)?.write_all(bytes);
    }
    let target = if old.is_some() { fs::canonicalize(path)? } else { path.to_owned() };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".thumbunder-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Like any new file, readable as the umask allows; a temporary file would be private.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut temporary = builder.tempfile_in(folder_of(&target))?;
    temporary.write_all(bytes)?;
    if let Some(old) = old {
        temporary.as_file().set_permissions(old.permissions())?;
    }
    temporary.persist(&target)?;
    Ok(())
}

/// What the system said, as words of ours where a person meets it often.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::StorageFull => "no space left on the disk".to_owned(),
        _ => error.to_string(),
    }
}

//! Errors of writing files, in words for the person at the terminal: what, where,
//! and what to do about it.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// Why files could not be written.
#[derive(Debug)]
pub(crate) enum OutputError {
    /// The name of a folder or file is not one plain file name.
    BadName(String),
    /// Another run is writing to this output folder.
    Busy(PathBuf),
    /// A symbolic link stands where a folder or file would be written.
    SymbolicLink(PathBuf),
    /// A file stands where a folder is needed.
    NotAFolder(PathBuf),
    /// Something that is no plain file stands where a file is needed.
    NotAFile(PathBuf),
    /// The operating system refused.
    Io {
        /// What was being done, as in "cannot …".
        doing: &'static str,
        path: PathBuf,
        error: io::Error,
    },
}

impl OutputError {
    /// Turns an error of the system, while `doing` something to `path`, into ours.
    pub(in crate::cli) fn io(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        move |error| OutputError::Io {
            doing,
            path: path.to_owned(),
            error,
        }
    }
}

impl fmt::Display for OutputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OutputError::BadName(name) => write!(
                f,
                "{name:?} cannot be the name of an output folder or file; use letters, digits, \
                 hyphens and inner periods in the procedure's number"
            ),
            OutputError::Busy(out) => write!(
                f,
                "another run is writing to {}; wait for it to end and run again, or choose \
                 another folder with --out",
                out.display()
            ),
            OutputError::SymbolicLink(path) => write!(
                f,
                "{} is a symbolic link, and papers are never written through one; remove it, or \
                 choose another folder with --out",
                path.display()
            ),
            OutputError::NotAFolder(path) => write!(
                f,
                "{} is in the way: a folder is needed there; choose another folder with \
                 --out, or move it",
                path.display()
            ),
            OutputError::NotAFile(path) => write!(
                f,
                "{} is in the way: a plain file is needed there; move it, or choose another \
                 folder with --out",
                path.display()
            ),
            OutputError::Io { doing, path, error } => write!(
                f,
                "cannot {doing} {}: {error}; {}",
                path.display(),
                advice(error.kind())
            ),
        }
    }
}

impl std::error::Error for OutputError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            OutputError::Io { error, .. } => Some(error),
            _ => None,
        }
    }
}

impl From<OutputError> for String {
    fn from(error: OutputError) -> Self {
        error.to_string()
    }
}

fn advice(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            "free some space on the disk and run again; what was there before is as it was"
        }
        ErrorKind::FileTooLarge => {
            "the system allows no larger file here; raise its limit, or choose another folder \
             with --out"
        }
        ErrorKind::ReadOnlyFilesystem => {
            "nothing can be written there; choose another folder with --out"
        }
        ErrorKind::PermissionDenied => {
            "check that you may write there and that no viewer holds the file open, or choose \
             another folder with --out"
        }
        _ => "check the path, or choose another folder with --out",
    }
}

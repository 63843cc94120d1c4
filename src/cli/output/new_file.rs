//! Writes single files. A key or a new spec never replaces a file; a generated file
//! and a saved one do. Each appears whole or not at all.

use std::fs::{self, OpenOptions};
use std::io::{Error, ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::{OutputError, TEMPORARY_END, TEMPORARY_START, require_file_or_nothing};
use crate::cli::internal_error;

/// Who may read the file, where the system has such permissions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Access {
    /// From the moment it exists.
    OwnerOnly,
    Everyone,
}

/// Writes a new file; after a failure there is none.
///
/// # Errors
/// That the path exists, or what the system reported.
pub(crate) fn write_new(path: &Path, bytes: &[u8], access: Access) -> Result<(), OutputError> {
    write_with(path, bytes, access, place)
}

/// Writes a file, replacing an existing one; after a failure that one is unchanged.
///
/// # Errors
/// That the path is a link or no file, or what the system reported.
pub(crate) fn overwrite_generated(path: &Path, bytes: &[u8]) -> Result<(), OutputError> {
    require_file_or_nothing(path)?;
    write_with(path, bytes, Access::Everyone, |temporary, path| {
        fs::rename(temporary, path)
    })
}

/// Writes a file of the user's, keeping the permissions of an existing one; after a
/// failure that one is unchanged. A link is followed.
///
/// # Errors
/// That the file is read-only, or what the system reported.
pub(crate) fn overwrite_user_file(path: &Path, bytes: &[u8]) -> Result<(), OutputError> {
    let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let access = match fs::metadata(path) {
        // A rename only needs permission for the folder.
        Ok(before) if before.permissions().readonly() => {
            let denied = Error::from(ErrorKind::PermissionDenied);
            return Err(OutputError::io("write", path)(denied));
        }
        // Until it gets the permissions of the old one.
        Ok(_) => Access::OwnerOnly,
        Err(_) => Access::Everyone,
    };
    write_with(path, bytes, access, |temporary, path| {
        if let Ok(before) = fs::metadata(path) {
            fs::set_permissions(temporary, before.permissions())?;
        }
        fs::rename(temporary, path)
    })
}

/// Writes a temporary, which `place` gives its name.
fn write_with(
    path: &Path,
    bytes: &[u8],
    access: Access,
    place: fn(&Path, &Path) -> std::io::Result<()>,
) -> Result<(), OutputError> {
    let io = OutputError::io("write", path);
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(io(Error::from(ErrorKind::InvalidFilename)));
    };
    let folder = path.parent().unwrap_or(Path::new(""));
    let beside = format!("{TEMPORARY_START}{name}-");
    remove_leftovers(folder, &beside);
    let temporary = folder.join(format!("{beside}{}{TEMPORARY_END}", std::process::id()));
    let placed = write(&temporary, bytes, access).and_then(|()| place(&temporary, path));
    // The first error is the one to report.
    let _ = fs::remove_file(&temporary);
    placed.map_err(io)?;
    internal_error::count_written_file();
    Ok(())
}

fn write(temporary: &Path, bytes: &[u8], access: Access) -> std::io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(match access {
            Access::OwnerOnly => 0o600,
            Access::Everyone => 0o644,
        });
    }
    #[cfg(not(unix))]
    let _ = access;
    let mut file = options.open(temporary)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Gives the file its name without replacing another. A hard link never does; a
/// rename would, but some file systems of memory cards have no links.
fn place(temporary: &Path, path: &Path) -> std::io::Result<()> {
    match fs::hard_link(temporary, path) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Err(error),
        Err(_) if fs::symlink_metadata(path).is_ok() => Err(ErrorKind::AlreadyExists.into()),
        Err(_) => fs::rename(temporary, path),
        Ok(()) => Ok(()),
    }
}

/// Removes temporaries of this file that killed runs left. A folder that cannot be
/// listed is reported when the file is written.
fn remove_leftovers(folder: &Path, beside: &str) {
    let folder = match folder.as_os_str().is_empty() {
        true => Path::new("."),
        false => folder,
    };
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let left: Vec<PathBuf> = entries
        .filter(|entry| {
            let name = entry.file_name();
            let rest = name.to_str().and_then(|name| name.strip_prefix(beside));
            let process = rest.and_then(|rest| rest.strip_suffix(TEMPORARY_END));
            process.is_some_and(|process| process.parse::<u32>().is_ok())
        })
        .map(|entry| entry.path())
        .collect();
    for path in left {
        let _ = fs::remove_file(path);
    }
}

#[cfg(test)]
mod tests {
    use tempfile::TempDir;

    use super::*;

    #[test]
    fn a_new_file_is_whole_and_alone() {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("a.yaml");
        let left = folder.path().join(".coldring-a.yaml-4242.part");
        let other = folder.path().join(".coldring-a.yaml-notes.part");
        fs::write(&left, "half").unwrap();
        fs::write(&other, "mine").unwrap();
        write_new(&path, b"whole", Access::Everyone).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"whole");
        assert!(!left.exists() && other.exists());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn what_stands_there_is_left_alone() {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("a.yaml");
        fs::write(&path, "mine").unwrap();
        let error = write_new(&path, b"new", Access::Everyone).unwrap_err();
        let OutputError::Io { error, .. } = error else {
            panic!("{error}")
        };
        assert_eq!(error.kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"mine");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}

//! Writes papers so that none is ever half written: each file is written under
//! a temporary name, synced, and renamed; the manifest comes last. The output
//! folder is locked for one run at a time, leftovers of a killed run are swept
//! by the next, and papers that are no longer made are reported as stale.
//! Between two renames a killed run leaves new papers beside old ones, each
//! whole, and the old manifest. A file that must not exist yet (a key, a
//! starter) gets its name by a hard link, which never replaces.

use std::collections::BTreeSet;
use std::fs::{self, File, FileType, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use super::internal_error;
use crate::core::budget::MANIFEST_BYTES;

mod error;
mod new_file;

pub(crate) use error::OutputError;
pub(crate) use new_file::{Access, overwrite_generated, overwrite_user_file, write_new};

/// The file that lists the others; it is always renamed into place last.
pub(crate) const MANIFEST: &str = "manifest.json";

/// The file in the output folder that a run locks while it writes. It stays
/// there: removing it could pull it from under another run.
const LOCK: &str = ".coldring.lock";

const TEMPORARY_START: &str = ".coldring-";
const TEMPORARY_END: &str = ".part";

/// How long to wait for another run that is writing. A run holds the lock only
/// while it writes finished papers, so this is ample.
const LOCK_TIMEOUT: Duration = Duration::from_secs(10);

/// The longest name of a file or folder that is accepted, in bytes; leaves room
/// for the temporary's longer name on every usual file system.
const LONGEST_NAME: usize = 200;

/// The folder of one procedure's papers, locked against other runs while the value
/// lives. The lock is on the whole output folder, so a run holds one at a time.
#[derive(Debug)]
pub(crate) struct OutputFolder {
    folder: PathBuf,
    /// Papers of earlier runs, by the manifest found there.
    earlier: BTreeSet<String>,
    /// Papers of this run.
    written: BTreeSet<String>,
    /// Closing it frees the lock.
    _lock: File,
}

impl OutputFolder {
    /// Makes the folder `name` in `out`, locks `out`, and removes half-written files
    /// of a killed run. `out` may be a symbolic link, since the user chose it;
    /// nothing inside it may.
    pub(crate) fn open(out: &Path, name: &str) -> Result<Self, OutputError> {
        Self::open_within(out, name, LOCK_TIMEOUT)
    }

    fn open_within(out: &Path, name: &str, timeout: Duration) -> Result<Self, OutputError> {
        check_name(name)?;
        if out.exists() && !out.is_dir() {
            return Err(OutputError::NotAFolder(out.to_owned()));
        }
        fs::create_dir_all(out).map_err(OutputError::io("make the folder", out))?;
        let lock = lock(&out.join(LOCK), timeout)?;
        let folder = out.join(name);
        make_folder(&folder)?;
        remove_leftovers(&folder)?;
        let earlier = earlier_papers(&folder.join(MANIFEST))?;
        Ok(Self {
            folder,
            earlier,
            written: BTreeSet::new(),
            _lock: lock,
        })
    }

    pub(crate) fn path(&self) -> &Path {
        &self.folder
    }

    /// The path of a file in the folder, as it is printed.
    pub(crate) fn path_of(&self, name: &str) -> String {
        self.folder.join(name).display().to_string()
    }

    /// Writes one paper, whole or not at all.
    pub(crate) fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        check_name(name)?;
        if name == MANIFEST {
            return Err(OutputError::BadName(name.to_owned()));
        }
        self.write_and_rename(name, bytes)?;
        self.written.insert(name.to_owned());
        Ok(())
    }

    /// The papers of earlier runs that are still in the folder and that this run has
    /// not made: they belong to an older state of the spec. Nothing is deleted. Call
    /// it after the last [`write`](Self::write).
    ///
    /// They are those that the earlier manifest has under `files` or `stale`, so a
    /// manifest must list them under `stale` for the next run to know them. A
    /// manifest that cannot be read has none.
    pub(crate) fn stale(&self) -> Vec<String> {
        self.earlier
            .difference(&self.written)
            .filter(|name| fs::symlink_metadata(self.folder.join(name)).is_ok())
            .cloned()
            .collect()
    }

    /// Writes the manifest, as [`finish`](Self::finish) does.
    pub(crate) fn finish_with(self, manifest: &impl Serialize) -> Result<Vec<String>, OutputError> {
        // All manifests have plain fields of plain types, which can always be written.
        let text = serde_json::to_string_pretty(manifest).unwrap_or_default() + "\n";
        self.finish(text.as_bytes())
    }

    /// Writes the manifest, once every paper is safely on the disk, and frees the
    /// lock. Returns the papers that have become stale.
    fn finish(self, manifest: &[u8]) -> Result<Vec<String>, OutputError> {
        sync_folder(&self.folder)?;
        self.write_and_rename(MANIFEST, manifest)?;
        sync_folder(&self.folder)?;
        Ok(self.stale())
    }

    /// Writes a temporary, then renames it. After a failure the target is unchanged.
    fn write_and_rename(&self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        let target = self.folder.join(name);
        require_file_or_nothing(&target)?;
        let temporary = self
            .folder
            .join(format!("{TEMPORARY_START}{name}{TEMPORARY_END}"));
        let placed =
            write_to_disk(&temporary, bytes).and_then(|()| fs::rename(&temporary, &target));
        placed.map_err(|error| {
            // The first error is the one to report; a temporary that stays behind
            // is removed by the next run.
            let _ = fs::remove_file(&temporary);
            OutputError::io("write", &target)(error)
        })?;
        internal_error::count_written_file();
        Ok(())
    }
}

/// Writes files into the folder `name` in `out`, which gets no manifest; returns
/// their paths.
pub(crate) fn write_files<'f>(
    out: &Path,
    name: &str,
    files: impl IntoIterator<Item = (&'f str, &'f [u8])>,
) -> Result<Vec<String>, OutputError> {
    let mut output = OutputFolder::open(out, name)?;
    let write = |(name, bytes)| output.write(name, bytes).map(|()| output.path_of(name));
    files.into_iter().map(write).collect()
}

/// Accepts a plain file name that is safe on every usual file system, and not hidden,
/// so that it cannot clash with the lock or a temporary.
fn check_name(name: &str) -> Result<(), OutputError> {
    let one_component = matches!(
        Path::new(name).components().collect::<Vec<_>>().as_slice(),
        [Component::Normal(only)] if *only == name
    );
    let unsafe_char = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
    if one_component
        && name.len() <= LONGEST_NAME
        && !name.contains(unsafe_char)
        && !name.starts_with('.')
        && !name.ends_with(['.', ' '])
    {
        Ok(())
    } else {
        Err(OutputError::BadName(name.to_owned()))
    }
}

/// The type of what is at `path`, links not followed.
fn file_type_at(path: &Path) -> Result<Option<FileType>, OutputError> {
    match fs::symlink_metadata(path) {
        Ok(metadata) => Ok(Some(metadata.file_type())),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(OutputError::io("look at", path)(error)),
    }
}

fn require_file_or_nothing(path: &Path) -> Result<(), OutputError> {
    let path = path.to_owned();
    match file_type_at(&path)? {
        Some(kind) if kind.is_symlink() => Err(OutputError::SymbolicLink(path)),
        Some(kind) if !kind.is_file() => Err(OutputError::NotAFile(path)),
        _ => Ok(()),
    }
}

fn make_folder(folder: &Path) -> Result<(), OutputError> {
    match fs::create_dir(folder) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => {
            return Err(OutputError::io("make the folder", folder)(error));
        }
        _ => {}
    }
    let path = folder.to_owned();
    match file_type_at(folder)? {
        Some(kind) if kind.is_symlink() => Err(OutputError::SymbolicLink(path)),
        Some(kind) if !kind.is_dir() => Err(OutputError::NotAFolder(path)),
        _ => Ok(()),
    }
}

/// Locks the file `path`, waiting at most `timeout` for another run.
fn lock(path: &Path, timeout: Duration) -> Result<File, OutputError> {
    require_file_or_nothing(path)?;
    let file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(path)
        .map_err(OutputError::io("open the lock", path))?;
    let started = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(file),
            Err(TryLockError::Error(error)) => {
                return Err(OutputError::io("lock", path)(error));
            }
            Err(TryLockError::WouldBlock) if started.elapsed() >= timeout => {
                return Err(OutputError::Busy(path.parent().unwrap_or(path).to_owned()));
            }
            Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(20)),
        }
    }
}

/// Removes the temporaries of a killed run. The lock is held, so no other run is
/// using them.
fn remove_leftovers(folder: &Path) -> Result<(), OutputError> {
    let entries = fs::read_dir(folder).map_err(OutputError::io("list the folder", folder))?;
    for entry in entries {
        let entry = entry.map_err(OutputError::io("list the folder", folder))?;
        let name = entry.file_name();
        let temporary = name
            .to_str()
            .is_some_and(|n| n.starts_with(TEMPORARY_START) && n.ends_with(TEMPORARY_END));
        if temporary {
            let path = entry.path();
            fs::remove_file(&path).map_err(OutputError::io("remove the left-over", &path))?;
        }
    }
    Ok(())
}

#[derive(Deserialize)]
struct EarlierManifest {
    #[serde(default)]
    files: Vec<EarlierFile>,
    #[serde(default)]
    stale: Vec<String>,
}

#[derive(Deserialize)]
struct EarlierFile {
    name: String,
}

/// The papers in an earlier manifest; none if it is absent or cannot be parsed. Names
/// that are not plain file names are skipped: anyone can edit a manifest.
fn earlier_papers(manifest: &Path) -> Result<BTreeSet<String>, OutputError> {
    require_file_or_nothing(manifest)?;
    let mut bytes = Vec::new();
    match File::open(manifest) {
        Ok(file) => file
            .take(MANIFEST_BYTES)
            .read_to_end(&mut bytes)
            .map_err(OutputError::io("read", manifest))?,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(BTreeSet::new()),
        Err(error) => return Err(OutputError::io("read", manifest)(error)),
    };
    let Ok(earlier) = serde_json::from_slice::<EarlierManifest>(&bytes) else {
        return Ok(BTreeSet::new());
    };
    Ok(earlier
        .files
        .into_iter()
        .map(|file| file.name)
        .chain(earlier.stale)
        .filter(|name| name != MANIFEST && check_name(name).is_ok())
        .collect())
}

/// Writes a new file and waits until its bytes are on the disk.
fn write_to_disk(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Waits until the renames in `folder` are on the disk, where the system and
/// the file system can do that for a folder.
fn sync_folder(folder: &Path) -> Result<(), OutputError> {
    if !cfg!(unix) {
        return Ok(());
    }
    match File::open(folder).and_then(|folder| folder.sync_all()) {
        Err(error)
            if !matches!(
                error.kind(),
                ErrorKind::InvalidInput | ErrorKind::Unsupported
            ) =>
        {
            Err(OutputError::io("write", folder)(error))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests;

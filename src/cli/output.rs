//! Writing papers so that nobody ever holds half a one: each file is written
//! beside its place, brought to the disk, and renamed into it whole; the
//! manifest comes last. One run at a time writes to an output folder.

use std::collections::BTreeSet;
use std::fs::{self, File, FileType, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::time::{Duration, Instant};

use serde::Deserialize;

mod error;

pub use error::OutputError;

/// The file that lists the others; it is always renamed into place last.
pub const MANIFEST: &str = "manifest.json";

/// The file in the output folder that a run locks while it writes. It stays
/// there: removing it could pull it from under another run.
const LOCK: &str = ".coldring.lock";

const TEMPORARY_START: &str = ".coldring-";
const TEMPORARY_END: &str = ".part";

/// How long to wait for another run that is writing. A run holds the lock only
/// while it writes finished papers, so this is ample.
const PATIENCE: Duration = Duration::from_secs(10);

/// The longest name of a file or folder that is accepted, in bytes; leaves room
/// for the temporary's longer name on every usual file system.
const LONGEST_NAME: usize = 200;

/// The largest earlier manifest that is read; a real one is a few kilobytes.
const LARGEST_MANIFEST: u64 = 1 << 20;

/// The folder of one procedure's papers, locked against other runs for as long
/// as the value lives. A run holds one at a time: the lock is that of the whole
/// output folder.
#[derive(Debug)]
pub struct OutputFolder {
    folder: PathBuf,
    /// Papers of earlier runs, by the manifest found there.
    earlier: BTreeSet<String>,
    /// Papers of this run.
    written: BTreeSet<String>,
    /// Closing it frees the lock.
    _lock: File,
}

impl OutputFolder {
    /// Makes the folder `name` in `out`, locks `out`, and clears away what a
    /// killed run left half-written. `out` itself may be a symbolic link, since
    /// the user chose it; nothing inside it may.
    pub fn open(out: &Path, name: &str) -> Result<Self, OutputError> {
        Self::open_within(out, name, PATIENCE)
    }

    fn open_within(out: &Path, name: &str, patience: Duration) -> Result<Self, OutputError> {
        check_name(name)?;
        fs::create_dir_all(out).map_err(OutputError::io("make the folder", out))?;
        let lock = lock(&out.join(LOCK), patience)?;
        let folder = out.join(name);
        make_folder(&folder)?;
        sweep(&folder)?;
        let earlier = earlier_papers(&folder.join(MANIFEST))?;
        Ok(Self {
            folder,
            earlier,
            written: BTreeSet::new(),
            _lock: lock,
        })
    }

    /// Where the papers go.
    pub fn path(&self) -> &Path {
        &self.folder
    }

    /// Writes one paper, whole or not at all.
    pub fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        check_name(name)?;
        if name == MANIFEST {
            return Err(OutputError::BadName {
                name: name.to_owned(),
            });
        }
        self.place(name, bytes)?;
        self.written.insert(name.to_owned());
        Ok(())
    }

    /// The papers of earlier runs that still lie in the folder and that this
    /// run has not made: they belong to an older state of the spec. Nothing is
    /// deleted. Ask after the last [`write`](Self::write).
    ///
    /// They are found by `files` (objects with a `name`) and `stale` (names) of
    /// the earlier manifest, so a manifest that repeats them under `stale`
    /// keeps them known to the run after this one. A manifest that cannot be
    /// read tells of none.
    pub fn stale(&self) -> Vec<String> {
        self.earlier
            .difference(&self.written)
            .filter(|name| fs::symlink_metadata(self.folder.join(name)).is_ok())
            .cloned()
            .collect()
    }

    /// Puts the manifest in place, once every paper is safely on the disk, and
    /// frees the lock. Returns the papers that have become stale.
    pub fn finish(self, manifest: &[u8]) -> Result<Vec<String>, OutputError> {
        sync_folder(&self.folder)?;
        self.place(MANIFEST, manifest)?;
        sync_folder(&self.folder)?;
        Ok(self.stale())
    }

    /// Writes beside the target, then renames. After a failure the target is as
    /// it was before.
    fn place(&self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        let target = self.folder.join(name);
        require_file_or_nothing(&target)?;
        let temporary = self
            .folder
            .join(format!("{TEMPORARY_START}{name}{TEMPORARY_END}"));
        let placed =
            write_to_disk(&temporary, bytes).and_then(|()| fs::rename(&temporary, &target));
        placed.map_err(|error| {
            // What went wrong first is what the user needs to hear; a temporary
            // that stays behind is swept by the next run.
            let _ = fs::remove_file(&temporary);
            OutputError::io("write", &target)(error)
        })
    }
}

/// Accepts one plain file name that is safe on every usual file system and is
/// not hidden, so that it cannot meet the lock or a temporary.
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
        Err(OutputError::BadName {
            name: name.to_owned(),
        })
    }
}

/// What stands at `path`, links not followed.
fn standing_at(path: &Path) -> Result<Option<FileType>, OutputError> {
    match fs::symlink_metadata(path) {
        Ok(metadata) => Ok(Some(metadata.file_type())),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(OutputError::io("look at", path)(error)),
    }
}

fn require_file_or_nothing(path: &Path) -> Result<(), OutputError> {
    let path = path.to_owned();
    match standing_at(&path)? {
        Some(kind) if kind.is_symlink() => Err(OutputError::SymbolicLink { path }),
        Some(kind) if !kind.is_file() => Err(OutputError::NotAFile { path }),
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
    match standing_at(folder)? {
        Some(kind) if kind.is_symlink() => Err(OutputError::SymbolicLink { path }),
        Some(kind) if !kind.is_dir() => Err(OutputError::NotAFolder { path }),
        _ => Ok(()),
    }
}

/// Locks the file `path`, waiting at most `patience` for another run.
fn lock(path: &Path, patience: Duration) -> Result<File, OutputError> {
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
            Err(TryLockError::WouldBlock) if started.elapsed() >= patience => {
                return Err(OutputError::Busy {
                    out: path.parent().unwrap_or(path).to_owned(),
                });
            }
            Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(20)),
        }
    }
}

/// Removes the temporaries of a run that was killed. The lock is held, so none
/// of them belongs to a run that is alive.
fn sweep(folder: &Path) -> Result<(), OutputError> {
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

/// The part of an earlier manifest that tells which papers it knew.
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

/// The papers an earlier manifest knew; none when it is absent or makes no
/// sense. Names that are not plain file names are passed over: the manifest is
/// a file anyone can edit.
fn earlier_papers(manifest: &Path) -> Result<BTreeSet<String>, OutputError> {
    require_file_or_nothing(manifest)?;
    let mut bytes = Vec::new();
    match File::open(manifest) {
        Ok(file) => file
            .take(LARGEST_MANIFEST)
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
mod tests {
    use std::error::Error;

    use tempfile::TempDir;

    use super::*;

    fn open(out: &TempDir) -> OutputFolder {
        OutputFolder::open(out.path(), "HC-1-r3").unwrap()
    }

    /// The names in a folder, sorted.
    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn papers_and_manifest_are_written_whole_and_leave_nothing_else() {
        let out = TempDir::new().unwrap();
        let mut folder = open(&out);
        folder.write("card.pdf", b"old").unwrap();
        folder.write("card.pdf", b"new").unwrap();
        let path = folder.path().to_owned();
        assert_eq!(folder.finish(b"{}").unwrap(), Vec::<String>::new());
        assert_eq!(path, out.path().join("HC-1-r3"));
        assert_eq!(names(&path), ["card.pdf", "manifest.json"]);
        assert_eq!(fs::read(path.join("card.pdf")).unwrap(), b"new");
        assert_eq!(fs::read(path.join(MANIFEST)).unwrap(), b"{}");
    }

    #[test]
    fn output_folders_above_are_made() {
        let top = TempDir::new().unwrap();
        let out = top.path().join("a/b");
        OutputFolder::open(&out, "HC-1-r3").unwrap();
        assert_eq!(names(&out), [LOCK, "HC-1-r3"]);
    }

    #[test]
    fn the_manifest_cannot_be_written_as_a_paper() {
        let out = TempDir::new().unwrap();
        let error = open(&out).write(MANIFEST, b"{}").unwrap_err();
        assert!(matches!(error, OutputError::BadName { .. }));
    }

    #[test]
    fn left_overs_of_a_killed_run_are_swept_and_only_they() {
        let out = TempDir::new().unwrap();
        let path = open(&out).path().to_owned();
        for name in [
            ".coldring-card.pdf.part",
            "my.part",
            ".coldring-notes",
            "a.pdf",
        ] {
            fs::write(path.join(name), "x").unwrap();
        }
        open(&out);
        assert_eq!(names(&path), [".coldring-notes", "a.pdf", "my.part"]);
    }

    #[test]
    fn one_run_at_a_time() {
        let out = TempDir::new().unwrap();
        let first = open(&out);
        // Another procedure, but the same output folder.
        let second = OutputFolder::open_within(out.path(), "HC-2-r1", Duration::ZERO);
        let error = second.unwrap_err();
        assert!(matches!(&error, OutputError::Busy { out: busy } if busy == out.path()));
        assert!(!out.path().join("HC-2-r1").exists());
        drop(first);
        OutputFolder::open_within(out.path(), "HC-2-r1", Duration::ZERO).unwrap();
    }

    #[test]
    fn a_run_waits_for_another_to_end() {
        let out = TempDir::new().unwrap();
        let first = open(&out);
        std::thread::scope(|scope| {
            let second = scope.spawn(|| OutputFolder::open(out.path(), "HC-2-r1").map(drop));
            std::thread::sleep(Duration::from_millis(60));
            assert!(!second.is_finished());
            drop(first);
            second.join().unwrap().unwrap();
        });
    }

    #[test]
    fn stale_papers_are_named_and_stay() {
        let out = TempDir::new().unwrap();
        let mut folder = open(&out);
        for name in ["card.pdf", "card-2.pdf", "procedure.pdf"] {
            folder.write(name, b"1").unwrap();
        }
        let path = folder.path().to_owned();
        let manifest = br#"{"files": [
            {"name": "card.pdf", "sha256": "00"}, {"name": "card-2.pdf", "sha256": "00"},
            {"name": "gone.pdf", "sha256": "00"}, {"name": "../HC-1-r3/card.pdf"},
            {"name": "manifest.json"}
        ], "stale": ["procedure.pdf"], "tool": "0.1.0"}"#;
        folder.finish(manifest).unwrap();

        let mut folder = open(&out);
        folder.write("card.pdf", b"2").unwrap();
        assert_eq!(folder.stale(), ["card-2.pdf", "procedure.pdf"]);
        assert_eq!(
            folder.finish(b"{}").unwrap(),
            ["card-2.pdf", "procedure.pdf"]
        );
        assert_eq!(fs::read(path.join("card-2.pdf")).unwrap(), b"1");
    }

    #[test]
    fn a_manifest_that_makes_no_sense_tells_of_no_stale_papers() {
        let out = TempDir::new().unwrap();
        for manifest in ["", "{", "[]", r#"{"files": 3}"#, "\u{0}"] {
            let folder = open(&out);
            folder.finish(manifest.as_bytes()).unwrap();
            assert_eq!(open(&out).stale(), Vec::<String>::new(), "{manifest:?}");
        }
    }

    #[test]
    fn what_stands_in_the_way_is_named_and_left_alone() {
        let out = TempDir::new().unwrap();
        let mut folder = open(&out);
        let path = folder.path().to_owned();
        fs::create_dir(path.join("card.pdf")).unwrap();
        let error = folder.write("card.pdf", b"1").unwrap_err();
        assert!(matches!(&error, OutputError::NotAFile { path: p } if *p == path.join("card.pdf")));
        assert_eq!(names(&path), ["card.pdf"]);

        fs::write(out.path().join("HC-2-r1"), "mine").unwrap();
        drop(folder);
        let error = OutputFolder::open(out.path(), "HC-2-r1").unwrap_err();
        assert!(matches!(error, OutputError::NotAFolder { .. }));
        assert_eq!(fs::read(out.path().join("HC-2-r1")).unwrap(), b"mine");
    }

    #[test]
    fn a_failed_write_leaves_the_old_paper_and_says_why() {
        let out = TempDir::new().unwrap();
        let mut folder = open(&out);
        let path = folder.path().to_owned();
        folder.write("card.pdf", b"old").unwrap();
        // Something already stands where the temporary would be made.
        fs::write(path.join(".coldring-card.pdf.part"), "x").unwrap();
        let error = folder.write("card.pdf", b"new").unwrap_err();
        assert!(error.source().is_some());
        assert!(error.to_string().contains("card.pdf"), "{error}");
        assert!(error.to_string().contains("--out"), "{error}");
        assert_eq!(fs::read(path.join("card.pdf")).unwrap(), b"old");
        assert_eq!(names(&path), ["card.pdf"]);
    }

    #[test]
    fn names_that_leave_the_folder_are_refused() {
        let out = TempDir::new().unwrap();
        let long = "x".repeat(LONGEST_NAME + 1);
        for name in [
            "", ".", "..", "../x", "a/b", "/x", "a\\b", "C:x", "x/", ".hidden", "x.", "x ", "a\nb",
            "a\0b", &long,
        ] {
            let error = OutputFolder::open(out.path(), name).unwrap_err();
            assert!(matches!(error, OutputError::BadName { .. }), "{name:?}");
        }
        assert_eq!(names(out.path()), Vec::<String>::new());
        for name in ["HC-1.2_a (é)", &"x".repeat(LONGEST_NAME)] {
            let mut folder = OutputFolder::open(out.path(), name).unwrap();
            folder.write(name, b"").unwrap();
        }
    }

    #[cfg(unix)]
    #[test]
    fn nothing_is_written_through_a_symbolic_link() {
        use std::os::unix::fs::symlink;

        let out = TempDir::new().unwrap();
        let elsewhere = TempDir::new().unwrap();
        let target = elsewhere.path().join("target");
        fs::write(&target, "mine").unwrap();
        let is_link = |error| matches!(error, OutputError::SymbolicLink { .. });

        symlink(elsewhere.path(), out.path().join("HC-2-r1")).unwrap();
        assert!(is_link(
            OutputFolder::open(out.path(), "HC-2-r1").unwrap_err()
        ));

        let mut folder = open(&out);
        let path = folder.path().to_owned();
        symlink(&target, path.join("card.pdf")).unwrap();
        symlink(elsewhere.path().join("none"), path.join("procedure.pdf")).unwrap();
        for name in ["card.pdf", "procedure.pdf"] {
            assert!(is_link(folder.write(name, b"1").unwrap_err()), "{name}");
        }
        symlink(&target, path.join(MANIFEST)).unwrap();
        assert!(is_link(folder.finish(b"{}").unwrap_err()));
        assert!(is_link(
            OutputFolder::open(out.path(), "HC-1-r3").unwrap_err()
        ));

        // A temporary that is a link is swept without touching what it points to.
        fs::remove_file(path.join(MANIFEST)).unwrap();
        symlink(&target, path.join(".coldring-x.part")).unwrap();
        open(&out);
        assert!(!names(&path).contains(&".coldring-x.part".to_owned()));

        fs::remove_file(out.path().join(LOCK)).unwrap();
        symlink(elsewhere.path().join("none"), out.path().join(LOCK)).unwrap();
        assert!(is_link(
            OutputFolder::open(out.path(), "HC-1-r3").unwrap_err()
        ));

        assert_eq!(names(elsewhere.path()), ["target"]);
        assert_eq!(fs::read(&target).unwrap(), b"mine");
    }
}

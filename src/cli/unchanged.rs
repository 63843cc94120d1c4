//! Whether the papers in the output folder are those that a build would make again:
//! the build digest shows that the inputs are the same, and the digests of the files
//! show that nobody has changed them since.

use std::path::Path;

use serde::Deserialize;

use super::input::read_bytes;
use super::json::WithheldPaper;
use super::output::MANIFEST;
use crate::core::digest;

/// Larger than any manifest or paper.
const MOST_BYTES: usize = 64 << 20;

#[derive(Deserialize)]
struct EarlierManifest {
    build_digest: String,
    files: Vec<EarlierFile>,
    withheld: Vec<WithheldPaper>,
    stale: Vec<String>,
}

#[derive(Deserialize)]
struct EarlierFile {
    name: String,
    sha256: String,
}

pub(crate) struct UnchangedPapers {
    /// The paths of the papers and of their manifest.
    pub(crate) paths: Vec<String>,
    pub(crate) withheld: Vec<WithheldPaper>,
}

/// The papers in `folder`, if all are as a build of this digest left them and none
/// of another build is there.
pub(crate) fn find(folder: &Path, build_digest: &str) -> Option<UnchangedPapers> {
    let manifest = folder.join(MANIFEST);
    let earlier: EarlierManifest = serde_json::from_slice(&read(&manifest)?).ok()?;
    if earlier.build_digest != build_digest || !earlier.stale.is_empty() {
        return None;
    }
    let mut paths = Vec::new();
    for file in &earlier.files {
        // A manifest is a file that anyone can edit.
        let plain = Path::new(&file.name).file_name() == Some(file.name.as_ref());
        let path = folder.join(&file.name);
        if !plain || digest::sha256(&read(&path)?) != file.sha256 {
            return None;
        }
        paths.push(path.display().to_string());
    }
    paths.push(manifest.display().to_string());
    Some(UnchangedPapers {
        paths,
        withheld: earlier.withheld,
    })
}

/// The bytes of a file; none for a link, which a build refuses to overwrite.
fn read(path: &Path) -> Option<Vec<u8>> {
    let is_link = std::fs::symlink_metadata(path).ok()?.is_symlink();
    (!is_link).then(|| read_bytes(path, MOST_BYTES).ok())?
}

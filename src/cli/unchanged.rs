//! Whether the papers in the output folder are those that a build would make
//! again: the build digest says so of what goes in, the files' own digests say
//! that nobody changed them since.

use std::path::Path;

use serde::Deserialize;

use super::input::read_bytes;
use super::json::WithheldPaper;
use super::output::MANIFEST;
use crate::core::digest;

/// More than a manifest or a paper has.
const MOST_BYTES: usize = 64 << 20;

/// As much of a manifest as is asked for.
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

/// What a build left, and would leave again.
pub struct UnchangedPapers {
    /// The paths of the papers and of their manifest.
    pub paths: Vec<String>,
    /// The papers that it could not make.
    pub withheld: Vec<WithheldPaper>,
}

/// What is in `folder`, where all is as a build of this digest left it and no
/// paper of another build lies there.
pub fn find(folder: &Path, build_digest: &str) -> Option<UnchangedPapers> {
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

/// What a file holds; none for a link, which a build would refuse to write over.
fn read(path: &Path) -> Option<Vec<u8>> {
    let is_link = std::fs::symlink_metadata(path).ok()?.is_symlink();
    (!is_link).then(|| read_bytes(path, MOST_BYTES).ok())?
}

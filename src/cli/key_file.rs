//! Reads the private key that signs papers. It is never printed, and a file that
//! others can read is refused: whoever has the key can sign a card for anybody.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::proof::Signer;

/// A key is a few hundred bytes; no more is read.
const MOST_BYTES: u64 = 16 * 1024;

/// The signer of the key in a file.
///
/// # Errors
/// Why there is none, in words; nothing of the file is in them.
pub fn signer(path: &Path) -> Result<Signer, String> {
    let name = path.display();
    let io = |error: std::io::Error| format!("cannot read {name}: {error}");
    let file = File::open(path).map_err(io)?;
    let metadata = file.metadata().map_err(io)?;
    if !metadata.is_file() {
        return Err(format!("cannot read {name}: it is not a file"));
    }
    if readable_by_others(&metadata) {
        return Err(format!(
            "{name} can be read by others, who could sign cards with it; take that away with \
             chmod 600 {name}, and make a new key if it was open for long"
        ));
    }
    let mut pem = String::new();
    file.take(MOST_BYTES).read_to_string(&mut pem).map_err(io)?;
    Signer::from_pem(&pem).ok_or_else(|| {
        format!("{name} holds no private Ed25519 key in PKCS #8 PEM; make one with coldring keys")
    })
}

#[cfg(unix)]
fn readable_by_others(metadata: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::PermissionsExt;
    metadata.permissions().mode() & 0o077 != 0
}

#[cfg(not(unix))]
fn readable_by_others(_: &std::fs::Metadata) -> bool {
    false
}

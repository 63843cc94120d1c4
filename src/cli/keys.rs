//! `coldring keys`: the key pair that signs papers; and reading its files.

use std::fs;
use std::path::Path;

use zeroize::Zeroizing;

use super::args::KeysArguments;
use super::input::{cannot_read, read_bytes};
use super::internal_error::PLEASE_REPORT;
use super::output::{Access, write_new};
use super::verbosity::print_status;
use super::{ExitStatus, RunResult};
use crate::core::budget;
use crate::proof::{Signer, TrustedKey};

pub(crate) fn run(arguments: &KeysArguments) -> RunResult {
    let name = &arguments.name;
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if name.is_empty() || name.starts_with('.') || !name.chars().all(plain) {
        return Err(format!(
            "the name of a key is letters, digits, - and _; not {name:?}; choose another"
        ));
    }
    fs::create_dir_all(&arguments.out).map_err(|error| {
        format!(
            "cannot make the folder {}: {error}; choose another with --out",
            arguments.out.display()
        )
    })?;
    let private = arguments.out.join(format!("{name}.private.pem"));
    let public = arguments.out.join(format!("{name}.public.pem"));
    // Checked before anything is written: half a pair is worse than none.
    for path in [&private, &public] {
        if fs::symlink_metadata(path).is_ok() {
            return Err(format!(
                "{} exists, and a key is never overwritten; choose another name",
                path.display()
            ));
        }
    }
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|error| {
        format!("the system gives no random numbers: {error}; run it on another machine")
    })?;
    let signer = Signer::from_seed(&seed);
    let pems = signer.private_pem().zip(signer.public_pem());
    let (secret, open) =
        pems.ok_or_else(|| format!("the key cannot be written as PEM\n{}", PLEASE_REPORT))?;
    // The public half first: a key that verifies nothing does no harm.
    write_new(&public, open.as_bytes(), Access::Everyone)?;
    write_new(&private, secret.as_bytes(), Access::OwnerOnly).inspect_err(|_| {
        let _ = fs::remove_file(&public);
    })?;
    print_status(&format!(
        "key {}\nwrote {}: signs; keep it to yourself\nwrote {}: verifies; hand it out\n",
        signer.key_id(),
        private.display(),
        public.display()
    ));
    Ok(ExitStatus::Clean)
}

/// # Errors
/// Why it cannot be used: above all, that others can read it.
pub(crate) fn read_private(path: &Path) -> Result<Signer, String> {
    let name = path.display();
    let bytes = Zeroizing::new(read_bytes(path, budget::KEY_BYTES)?);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(path)
            .map_err(|error| cannot_read(&name, &error))?
            .permissions()
            .mode();
        if mode & 0o077 != 0 {
            return Err(format!(
                "{name} can be read or changed by others (mode {:03o}); run: chmod 600 {name}",
                mode & 0o777
            ));
        }
    }
    Signer::from_file(name, &bytes)
}

pub(crate) fn read_public(path: &Path) -> Result<TrustedKey, String> {
    TrustedKey::from_file(path.display(), &read_bytes(path, budget::KEY_BYTES)?)
}

//! Tells the program what it was made from, so that papers of another state of
//! it are never taken for unchanged, whatever its version says.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

fn main() {
    let mut files = vec![PathBuf::from("Cargo.lock")];
    for folder in ["src", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
        gather(Path::new(folder), &mut files);
    }
    println!("cargo::rerun-if-changed=Cargo.lock");
    files.sort();
    let mut program = Sha256::new();
    for file in &files {
        // A package without its lock file is built all the same.
        let digest = Sha256::digest(fs::read(file).unwrap_or_default());
        let path = file.to_string_lossy().replace('\\', "/");
        program.update(format!("{path} {digest:x?}\n"));
    }
    let program: String = program
        .finalize()
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    println!("cargo::rustc-env=COLDRING_PROGRAM={program}");
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    let entries =
        fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, files);
        } else {
            files.push(path);
        }
    }
}

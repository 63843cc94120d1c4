//! Tells the program what it was made from, so that papers of another state of
//! it are never taken for unchanged, whatever its version says; and lists the
//! topics of `coldring explain`, so that a file in their folder is one.

use std::env;
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
    list_topics(&files);
}

/// Writes an array of (name, text) with each `templates/help/NAME.md`.
fn list_topics(files: &[PathBuf]) {
    let package = env::var("CARGO_MANIFEST_DIR").expect("cargo names the package");
    let mut topics = String::from("[\n");
    for file in files {
        let name = file.file_stem().and_then(|name| name.to_str());
        let (true, Some(name)) = (file.starts_with("templates/help"), name) else {
            continue;
        };
        let path = Path::new(&package).join(file);
        topics += &format!("    ({name:?}, include_str!({path:?})),\n");
    }
    topics += "]";
    let out = env::var("OUT_DIR").expect("cargo gives a folder");
    fs::write(Path::new(&out).join("topics.rs"), topics).expect("the list can be written");
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

//! Tells the program what it was made from, so that papers of another state of
//! it are never taken for unchanged, whatever its version says; and lists what
//! lies in a folder or in a file of clauses, so that adding one there is enough.

use std::env;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

type Done = Result<(), Box<dyn Error>>;

fn main() -> Done {
    let mut files = vec![PathBuf::from("Cargo.lock")];
    for folder in ["src", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
        gather(Path::new(folder), &mut files)?;
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
    embed("topics", &["templates/help"], "md", &files)?;
    embed("tables", &["src/published/tables"], "yaml", &files)?;
    let templates = [
        "templates/pages",
        "templates/figures",
        "templates/procedure",
    ];
    embed("templates", &templates, "typ", &files)?;
    declare_clauses(&fs::read_to_string("templates/clauses/en.yaml")?)
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> Done {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

/// Writes `LIST.rs`, an array of (name, text) with each file in these folders that
/// has the extension. A template is named by its path, as others import it.
fn embed(list: &str, folders: &[&str], extension: &str, files: &[PathBuf]) -> Done {
    let package = env::var("CARGO_MANIFEST_DIR")?;
    let mut array = String::from("[\n");
    for file in files {
        let (Some(folder), Some(stem), Some(kind)) =
            (file.parent(), file.file_stem(), file.extension())
        else {
            continue;
        };
        if kind != extension || !folders.iter().any(|known| Path::new(known) == folder) {
            continue;
        }
        let name = match folder.strip_prefix("templates") {
            Ok(folder) if kind == "typ" => {
                Path::new("/").join(folder).join(stem).with_extension("typ")
            }
            _ => PathBuf::from(stem),
        };
        let name = name.to_string_lossy().replace('\\', "/");
        let path = Path::new(&package).join(file);
        array += &format!("    ({name:?}, include_str!({path:?})),\n");
    }
    write(list, &(array + "]"))
}

/// Writes `clauses.rs`: a variant for each clause of the English file, one to a
/// line there as `key: "text with {{ quantity }}"`.
fn declare_clauses(english: &str) -> Done {
    let mut clauses = String::from("clauses! {\n");
    for line in english.lines() {
        let Some((key, text)) = line.split_once(": ").filter(|_| !line.starts_with('#')) else {
            continue;
        };
        let mut quantities: Vec<&str> = Vec::new();
        for part in text.split("{{ ").skip(1) {
            let quantity = part.split(" }}").next().unwrap_or(part);
            if !quantities.contains(&quantity) {
                quantities.push(quantity);
            }
        }
        let variant: String = key.split('-').map(capitalized).collect();
        let fields = match quantities.join(", ") {
            none if none.is_empty() => none,
            some => format!(" {{ {some} }}"),
        };
        let shown = format!("```text\n{}\n```", text.trim_matches('"'));
        clauses += &format!("#[doc = {shown:?}]\n{variant}: {key:?}{fields},\n");
    }
    write("clauses", &(clauses + "}\n"))
}

fn capitalized(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

fn write(list: &str, text: &str) -> Done {
    let path = Path::new(&env::var("OUT_DIR")?).join(list);
    Ok(fs::write(path.with_extension("rs"), text)?)
}

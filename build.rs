//! Tells the program what it was made from, so that papers of another state of
//! it are never taken for unchanged, whatever its version says; lists what lies in
//! a folder or in a file of clauses, so that adding one there is enough; and turns
//! tables and wordings into JSON, which every start reads six times as fast as YAML.

use std::env;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
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
    embed_tables(Path::new("src/published/tables"), &files)?;
    for wordings in ["clauses/en", "clauses/es", "statements/es", "findings"] {
        let yaml = Path::new("templates").join(wordings).with_extension("yaml");
        write(
            &format!("{}.json", wordings.replace('/', "-")),
            &json(&yaml)?,
        )?;
    }
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
    write(&format!("{list}.rs"), &(array + "]"))
}

/// Writes `tables.rs`, an array of (name, JSON) with each table.
fn embed_tables(folder: &Path, files: &[PathBuf]) -> Done {
    let mut array = String::from("[\n");
    let tables = files.iter().filter(|file| file.parent() == Some(folder));
    for file in tables.filter(|file| file.extension().is_some_and(|kind| kind == "yaml")) {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        array += &format!("    ({name:?}, {:?}),\n", json(file)?);
    }
    write("tables.rs", &(array + "]"))
}

/// A YAML file of texts as JSON. A number would lose the digits it was written with,
/// so all but the order of a table are texts.
fn json(file: &Path) -> Result<String, Box<dyn Error>> {
    let wrong = |what: &str| format!("{}: {what}", file.display());
    let text = fs::read_to_string(file)?;
    let read: Value = serde_yaml::from_str(&text).map_err(|error| wrong(&error.to_string()))?;
    let Value::Object(rows) = &read else {
        return Err(wrong("no mapping").into());
    };
    let mut rows = rows.iter().filter(|(key, _)| *key != "order");
    match rows.find(|(_, row)| !is_of_texts(row)) {
        Some((key, _)) => Err(wrong(&format!("quote what is no text under '{key}'")).into()),
        None => Ok(read.to_string()),
    }
}

fn is_of_texts(value: &Value) -> bool {
    match value {
        Value::String(_) => true,
        Value::Array(items) => items.iter().all(is_of_texts),
        Value::Object(entries) => entries.values().all(is_of_texts),
        Value::Null | Value::Bool(_) | Value::Number(_) => false,
    }
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
    write("clauses.rs", &(clauses + "}\n"))
}

fn capitalized(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

fn write(name: &str, text: &str) -> Done {
    Ok(fs::write(
        Path::new(&env::var("OUT_DIR")?).join(name),
        text,
    )?)
}

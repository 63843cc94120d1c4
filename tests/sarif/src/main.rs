//! Holds JSON files to a JSON Schema: `sarif SCHEMA FILE...`

use std::error::Error;
use std::fs::File;
use std::io::BufReader;
use std::process::ExitCode;

use serde_json::Value;

fn read(path: &str) -> Result<Value, Box<dyn Error>> {
    let file = File::open(path).map_err(|error| format!("{path}: {error}"))?;
    Ok(serde_json::from_reader(BufReader::new(file))?)
}

/// The pattern of a language in the standard's schema has a bracket too many, so
/// that it is no regular expression; its errata correct it. No log of ours states a
/// language.
const SLIP: &str = "^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$";

fn without_slip(schema: &mut Value) {
    match schema {
        Value::Object(fields) => {
            if fields.get("pattern").is_some_and(|pattern| pattern == SLIP) {
                fields.remove("pattern");
            }
            fields.values_mut().for_each(without_slip);
        }
        Value::Array(entries) => entries.iter_mut().for_each(without_slip),
        _ => {}
    }
}

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let mut paths = std::env::args().skip(1);
    let mut schema = read(&paths.next().ok_or("give a schema and files")?)?;
    without_slip(&mut schema);
    // Formats too: a URI has to be one.
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)?;
    let mut wrong = 0;
    for path in paths {
        let log = read(&path)?;
        for error in validator.iter_errors(&log) {
            wrong += 1;
            eprintln!("{path}: {}: {error}", error.instance_path());
        }
        println!("{path}: {} bytes", log.to_string().len());
    }
    Ok(if wrong == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

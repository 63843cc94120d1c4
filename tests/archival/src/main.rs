//! Says what oxidize-pdf's checker for PDF/A-3a finds in the files it is given.

use std::process::ExitCode;

use oxidize_pdf::parser::PdfReader;
use oxidize_pdf::pdfa::{PdfALevel, PdfAValidator};

/// All that the checker finds in a file, its warnings too.
fn found(file: &str) -> Result<Vec<String>, String> {
    let mut reader = PdfReader::open(file).map_err(|error| error.to_string())?;
    let result = PdfAValidator::new(PdfALevel::A3a)
        .collect_all_errors(true)
        .validate(&mut reader)
        .map_err(|error| error.to_string())?;
    let errors = result.errors().iter().map(ToString::to_string);
    Ok(errors
        .chain(result.warnings().iter().map(ToString::to_string))
        .collect())
}

fn main() -> ExitCode {
    let mut failed = false;
    for file in std::env::args().skip(1) {
        let found = found(&file).unwrap_or_else(|error| vec![error]);
        failed |= !found.is_empty();
        println!("{file}: {} found", found.len());
        for one in found {
            println!("  {one}");
        }
    }
    if failed {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    }
}

//! Man pages: in section 1 one for the program and one for each command, in section 5
//! one for each kind of file. In the text after the options, examples keep their lines
//! and prose is filled.

use clap::Command;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use crate::authoring::schema::{Kind, reference};
use crate::cli::version;
use crate::published::library;

/// The file names and texts of the pages of a command line, its own first.
pub(crate) fn pages(command: Command) -> Vec<(String, String)> {
    let mut command = command.disable_help_subcommand(true);
    command.build();
    let commands = command.get_subcommands();
    let visible = commands.filter(|command| !command.is_hide_set());
    let mut pages: Vec<_> = visible.map(|one| page(one, &["coldring(1)"])).collect();
    pages.insert(0, page(&command, &[]));
    pages.extend(Kind::ALL.map(file_page));
    pages
}

/// The page of a kind of file: every field.
fn file_page(kind: Kind) -> (String, String) {
    let name = format!("coldring-{}", kind.word());
    let mut roff = Roff::new();
    let program = format!("coldring {}", version::VERSION);
    let heading = [
        name.as_str(),
        "5",
        version::day(),
        program.as_str(),
        "coldring",
    ];
    roff.control("TH", heading);
    roff.control("SH", ["NAME"]);
    let about = kind.about().trim_end_matches('.');
    roff.text([roman(format!("{name} - {about}"))]);
    roff.control("SH", ["FIELDS"]);
    for (path, description) in reference(kind, library()) {
        roff.control("TP", []);
        roff.text([bold(path)]);
        roff.text([roman(description)]);
    }
    roff.control("SH", ["SEE ALSO"]);
    roff.text([roman("coldring(1), coldring-explain(1)")]);
    (format!("{name}.5"), roff.render())
}

fn page(command: &Command, see_also: &[&str]) -> (String, String) {
    let man = Man::new(command.clone())
        .date(version::day())
        .source(format!("coldring {}", version::VERSION))
        .manual("coldring");
    let name = man.get_filename();
    let mut text = Vec::new();
    // Writing to memory does not fail.
    let _ = man
        .render_title(&mut text)
        .and_then(|()| man.render_name_section(&mut text))
        .and_then(|()| man.render_synopsis_section(&mut text))
        .and_then(|()| man.render_description_section(&mut text))
        .and_then(|()| man.render_options_section(&mut text))
        .and_then(|()| {
            if command.has_subcommands() {
                man.render_subcommands_section(&mut text)?;
            }
            Ok(())
        });
    let mut text = String::from_utf8_lossy(&text).into_owned();
    let after = command.get_after_long_help().or(command.get_after_help());
    if let Some(after) = after {
        text += &examples_and_notes(&after.to_string());
    }
    if !see_also.is_empty() {
        let mut roff = Roff::new();
        roff.control("SH", ["SEE ALSO"]);
        roff.text([roman(see_also.join(", "))]);
        text += &roff.render();
    }
    (name, text)
}

/// The text after the options: its first paragraph is the examples, the rest notes.
fn examples_and_notes(after: &str) -> String {
    let mut roff = Roff::new();
    let mut kept = false;
    for (at, line) in after.lines().enumerate() {
        match (at, line) {
            (0, "Example:" | "Examples:") => {
                roff.control("SH", ["EXAMPLES"]);
                continue;
            }
            (0, _) => {
                roff.control("SH", ["NOTES"]);
            }
            _ => {}
        }
        let keep = line.starts_with(' ');
        if keep != kept {
            roff.control(if keep { "nf" } else { "fi" }, []);
            kept = keep;
        }
        match line {
            "" => roff.control("PP", []),
            _ => roff.text([roman(line)]),
        };
    }
    if kept {
        roff.control("fi", []);
    }
    roff.render()
}

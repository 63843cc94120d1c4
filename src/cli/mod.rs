//! The command line: arguments → exit code. The only room that prints, reads the
//! clock and touches files.

mod args;
mod brief;
mod build;
mod cards;
mod check;
mod compare;
mod confirm;
mod documents;
mod explain;
mod folders;
mod forms;
mod fusers;
mod head;
mod heat;
mod input;
mod internal_error;
mod json;
mod keys;
mod layout;
mod limits;
mod manifest;
mod merge;
mod new;
mod output;
mod plan;
mod preview;
mod progress;
mod render;
mod report;
mod sandbox;
mod sarif;
mod schema;
mod shard;
mod shell;
mod show;
mod submittal;
mod terminal;
mod unchanged;
mod verbosity;
mod verify;
mod version;
mod watch;

use std::io::{ErrorKind, IsTerminal, Write};
use std::process::ExitCode;

use serde::Serialize;

use args::{Arguments, Command};

/// How a run ended; of several, the highest counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum ExitStatus {
    /// No errors.
    Clean,
    /// Findings of severity error.
    Errors,
    /// Could not run: usage, files, or a fault of the program.
    CouldNotRun,
}

/// How a command ended, or why it could not run.
type RunResult = Result<ExitStatus, String>;

/// Runs the command line of this process.
pub fn run() -> ExitCode {
    let Arguments { command, verbosity } = Arguments::parse_or_exit();
    if let Command::SandboxWorker = command {
        return sandbox::run_worker();
    }
    verbosity::set(&verbosity);
    let status = internal_error::run_catching_panics(|| {
        verbosity::log_time("the whole run", || dispatch(command))
    });
    ExitCode::from(status as u8)
}

fn dispatch(command: Command) -> ExitStatus {
    let result = match command {
        Command::SandboxWorker => Ok(ExitStatus::CouldNotRun),
        Command::Build(arguments) => build::run(&arguments),
        Command::Cards(arguments) => cards::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Confirm(arguments) => confirm::run(&arguments),
        Command::Forms(arguments) => forms::run(&arguments),
        Command::Fusers(arguments) => fusers::run(&arguments),
        Command::Heat(arguments) => heat::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Keys(arguments) => keys::run(&arguments),
        Command::Limits(arguments) => limits::run(&arguments),
        Command::Merge(arguments) => merge::run(&arguments),
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Schema(arguments) => schema::run(&arguments),
        Command::Shell(arguments) => shell::run(&arguments),
        Command::Preview(arguments) => preview::run(&arguments),
        Command::Show(arguments) => show::run(&arguments),
        Command::Submittal(arguments) => submittal::run(&arguments),
        Command::New(arguments) => new::run(&arguments),
        Command::Verify(arguments) => verify::run(&arguments),
        Command::Watch(arguments) => watch::run(&arguments),
    };
    result.unwrap_or_else(|message| {
        print_error(&message);
        ExitStatus::CouldNotRun
    })
}

/// Prints a text for people to standard output.
fn print(text: &str) {
    write_stdout(&terminal::sanitize(text));
}

/// Prints a JSON document to standard output, indented, with a line end after it.
fn print_json(document: &impl Serialize) {
    // All documents have plain fields of plain types, which can always be written.
    let text = serde_json::to_string_pretty(document).unwrap_or_default();
    write_stdout(&terminal::sanitize_json(&(text + "\n")));
}

/// Prints a file for another program (a spec, a table, a calendar) to standard
/// output: unchanged, except on a terminal.
fn print_file(file: &str) {
    if std::io::stdout().is_terminal() {
        print(file);
    } else {
        write_stdout(file);
    }
}

/// CSV with a header and a row each.
fn csv_table<T: Serialize>(rows: impl IntoIterator<Item = T>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        // Writing to memory cannot fail.
        let _ = writer.serialize(row);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// Writes to standard output; a reader that has gone away is not an error, a
/// full disk is.
fn write_stdout(text: &str) {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            internal_error::print_failed(&error);
        }
        _ => {}
    }
}

/// Prints on standard error why something could not be done.
fn print_error(text: &str) {
    print_stderr(&format!("coldring: {text}"));
}

/// Prints a text on standard error, with one line end after it.
fn print_stderr(text: &str) {
    write_stderr(&terminal::sanitize(text));
}

/// Prints rendered findings on standard error.
fn print_findings(rendered: &str) {
    write_stderr(&terminal::sanitize_keeping_color(rendered));
}

fn write_stderr(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", text.trim_end_matches('\n'));
}

/// `1 card`, `2 cards`.
fn pluralize(count: usize, noun: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{s}")
}

/// Whether findings on standard error may be in color.
fn color() -> bool {
    anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never
}

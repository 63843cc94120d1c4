//! Arguments → exit code: the only place that prints, reads the clock and
//! touches files.

mod args;
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
mod heat;
mod input;
mod internal_error;
mod json;
mod keys;
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

use std::process::ExitCode;

use args::{Arguments, Command};

/// How a run ended; the highest of several wins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ExitStatus {
    /// No errors.
    Clean,
    /// Findings of severity error.
    Errors,
    /// Could not run: usage, files, or a fault of the program.
    CouldNotRun,
}

impl From<ExitStatus> for ExitCode {
    fn from(ending: ExitStatus) -> Self {
        ExitCode::from(match ending {
            ExitStatus::Clean => 0,
            ExitStatus::Errors => 1,
            ExitStatus::CouldNotRun => 2,
        })
    }
}

/// Runs the command line of this process.
pub fn run() -> ExitCode {
    let Arguments { command, verbosity } = Arguments::parse_or_exit();
    if let Command::SandboxWorker = command {
        return sandbox::work();
    }
    verbosity::set(&verbosity);
    internal_error::run_catching_panics(|| {
        verbosity::log_time("the whole run", || dispatch(command))
    })
    .into()
}

fn dispatch(command: Command) -> ExitStatus {
    match command {
        Command::SandboxWorker => ExitStatus::CouldNotRun,
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
    }
}

/// Prints a text for people to standard output.
fn print(text: &str) {
    write_stdout(&terminal::sanitize(text));
}

/// Prints a JSON document to standard output.
fn print_json(document: &str) {
    write_stdout(&terminal::sanitize_json(document));
}

/// Prints a spec, a table or a calendar to standard output: a file for another
/// program, so that its texts stay as they are, but not where a person sees them.
fn print_file(file: &str) {
    use std::io::IsTerminal;
    match std::io::stdout().is_terminal() {
        true => print(file),
        false => write_stdout(file),
    }
}

/// Writes to standard output; a reader that has gone away is not an error, a
/// disk that is full is.
fn write_stdout(text: &str) {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    let printed = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match printed {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            internal_error::print_failed(&error)
        }
        _ => {}
    }
}

/// Says on standard error why something could not be done.
fn print_error(text: &str) {
    print_stderr(&format!("coldring: {text}"));
}

/// A text on standard error, with one line end after it.
fn print_stderr(text: &str) {
    write_stderr(&terminal::sanitize(text));
}

/// Findings as they were rendered, on standard error.
fn print_findings(rendered: &str) {
    write_stderr(&terminal::sanitize_keeping_color(rendered));
}

fn write_stderr(text: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr().lock(), "{}", text.trim_end_matches('\n'));
}

/// So many of something, in words: `1 card`, `2 cards`.
fn pluralize(number: usize, what: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{number} {what}{s}")
}

/// Whether findings on standard error may be coloured.
fn color() -> bool {
    anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never
}

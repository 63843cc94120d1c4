//! `coldring shell`: shell completions and man pages, made from the command
//! line so they cannot lag behind it. Names of rules, topics, and tables are
//! completed too, although the help does not list them.

mod man;

use std::fs;
use std::path::Path;

use clap::builder::PossibleValuesParser;
use clap::{Command, CommandFactory};
use clap_complete::Shell;

use super::args::{Arguments, ShellArguments};
use super::output::overwrite_generated;
use super::{ExitStatus, RunResult, print, version};
use crate::published::library;

const NAME: &str = "coldring";

/// Where each shell looks for completions below a prefix; PowerShell looks
/// nowhere and reads what its profile names.
const COMPLETIONS: [(Shell, &str); 4] = [
    (Shell::Bash, "share/bash-completion/completions/coldring"),
    (Shell::Zsh, "share/zsh/site-functions/_coldring"),
    (Shell::Fish, "share/fish/vendor_completions.d/coldring.fish"),
    (Shell::PowerShell, "share/powershell/coldring.ps1"),
];

/// Man pages lie in a folder by their section, which ends the names of their files.
const MAN_PAGES: &str = "share/man/man";

pub(crate) fn run(arguments: &ShellArguments) -> RunResult {
    let text = match (arguments.shell, &arguments.out) {
        (Some(shell), _) => completions(shell),
        (None, Some(out)) => write_all(out)?,
        (None, None) => return Err("give a shell, or a folder with --out".to_owned()),
    };
    print(&text);
    Ok(ExitStatus::Clean)
}

/// Writes all files; returns the message about them.
fn write_all(out: &Path) -> Result<String, String> {
    let scripts = COMPLETIONS.map(|(shell, path)| (path.to_owned(), completions(shell)));
    let pages = man::pages(Arguments::command());
    let summary = format!(
        "wrote the completions of {} shells and {} man pages below {}\n\
         how the shells find them: coldring shell --help\n",
        scripts.len(),
        pages.len(),
        out.display()
    );
    let pages = pages.into_iter().map(|(name, text)| {
        let section = name.rsplit('.').next().unwrap_or_default();
        (format!("{MAN_PAGES}{section}/{name}"), text)
    });
    for (path, text) in scripts.into_iter().chain(pages) {
        let path = out.join(path);
        let folder = path.parent().unwrap_or(out);
        fs::create_dir_all(folder).map_err(|error| {
            format!(
                "cannot make the folder {}: {error}; choose another with --out",
                folder.display()
            )
        })?;
        overwrite_generated(&path, text.as_bytes())?;
    }
    Ok(summary)
}

fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command_to_complete(), NAME, &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

/// The command line for completion: without the hidden command, and with the names
/// that two commands take, which are too many for their help.
fn command_to_complete() -> Command {
    let whole = Arguments::command();
    let visible = whole
        .get_subcommands()
        .filter(|command| !command.is_hide_set());
    let tables = library().tables().iter().map(|table| table.name.as_str());
    let tables: Vec<&str> = tables.collect();
    Command::new(NAME)
        .version(version::VERSION)
        .args(whole.get_arguments())
        .subcommands(visible)
        .mut_subcommand("explain", |explain| {
            with_values(explain, "name", super::explain::names())
        })
        .mut_subcommand("limits", |limits| with_values(limits, "table", tables))
}

fn with_values(command: Command, argument: &'static str, values: Vec<&'static str>) -> Command {
    command.mut_arg(argument, |argument| {
        argument.value_parser(PossibleValuesParser::new(values))
    })
}

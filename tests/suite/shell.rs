//! Completions and man pages: made, found and read by the shells and by man.

use std::fs;
use std::path::Path;
use std::process::Command;

use tempfile::{TempDir, tempdir};

use crate::support::{coldring, coldring_with, names_in, run, tool};

fn written() -> TempDir {
    let folder = tempdir().unwrap();
    let ran = run(coldring().args(["shell", "--out"]).arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    folder
}

/// What bash offers for the last of these words, by the function that the script
/// registers for the program.
fn bash_offers(prefix: &Path, words: &[&str]) -> Vec<String> {
    let script = prefix.join("share/bash-completion/completions/coldring");
    let asked = r#"
        set -e
        source "$1"; shift
        registered=$(complete -p coldring)
        [[ $registered =~ -F\ ([^ ]+) ]]
        COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMP_LINE="$*"; COMP_POINT=${#COMP_LINE}
        "${BASH_REMATCH[1]}" coldring "${!#}" "${COMP_WORDS[COMP_CWORD - 1]}" || true
        printf '%s\n' "${COMPREPLY[@]}"
    "#;
    let script = script.to_str().unwrap();
    let mut arguments = vec!["-c", asked, "bash", script];
    arguments.extend(words);
    let offered = tool("bash", &arguments);
    offered.lines().map(str::to_owned).collect()
}

#[test]
fn bash_completes_commands_options_words_and_names() {
    let prefix = written();
    let offers = |words: &[&str]| bash_offers(prefix.path(), words);
    assert_eq!(offers(&["coldring", "che"]), ["check"]);
    assert_eq!(offers(&["coldring", "build", "--card"]), ["--card-trim"]);
    assert_eq!(
        offers(&["coldring", "build", "--paper", ""]),
        ["letter", "a4"]
    );
    assert_eq!(
        offers(&["coldring", "explain", "face-outside"]),
        ["face-outside-window"]
    );
    assert_eq!(offers(&["coldring", "explain", "troub"]), ["trouble"]);
    assert_eq!(offers(&["coldring", "limits", "us-cy"]), ["us-cycles"]);
    // The command that is hidden stays hidden.
    let all = offers(&["coldring", ""]);
    assert!(all.contains(&"build".to_owned()), "{all:?}");
    assert!(!all.contains(&"sandbox-worker".to_owned()), "{all:?}");
}

#[test]
fn every_command_has_a_man_page_that_man_reads_without_a_warning() {
    let prefix = written();
    let pages = prefix.path().join("share/man/man1");
    let help = coldring_with(&["--help"]).out;
    let names = names_in(&pages);
    assert!(names.contains(&"coldring.1".to_owned()));
    let offered = bash_offers(prefix.path(), &["coldring", ""]);
    let commands = offered.iter().filter(|word| !word.starts_with('-'));
    let commands: Vec<_> = commands.filter(|word| *word != "help").collect();
    assert!(commands.len() > 10, "{commands:?}");
    for command in commands {
        let page = format!("coldring-{command}.1");
        assert!(names.contains(&page), "{page} is not in {names:?}");
    }
    for name in &names {
        let page = pages.join(name);
        let ran = run(Command::new("man")
            .args(["--warnings", "-l"])
            .arg(&page)
            .env("LC_ALL", "C.UTF-8")
            .env("MANWIDTH", "80"));
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{name}");
        if let Some(command) = name.strip_prefix("coldring-") {
            let command = command.strip_suffix(".1").unwrap();
            let named = |c: char| !(c.is_alphanumeric() || c == '-');
            assert!(
                help.split(named).any(|word| word == command),
                "{command}: {help}"
            );
            for section in ["NAME", "SYNOPSIS", "OPTIONS", "EXAMPLES", "SEE ALSO"] {
                assert!(
                    ran.out.lines().any(|line| line == section),
                    "{name}: {section}"
                );
            }
            // An example keeps its line.
            let example = format!("         coldring {command}");
            assert!(ran.out.contains(&example), "{name}: {}", ran.out);
        }
    }
    let explained = coldring_with(&["shell", "--help"]).out;
    assert!(explained.contains("share/man/man1"));
}

#[test]
fn every_kind_of_file_has_a_man_page_of_its_fields() {
    let prefix = written();
    let pages = prefix.path().join("share/man/man5");
    for (kind, field) in [
        ("spec", "heater.set_point"),
        ("record", "joints.gauge_depth"),
        ("fusers", "fusers.badge"),
        ("submittal", "submitted_by.name"),
        ("house", "colors.primary"),
        ("confirmations", "confirmations.edition"),
    ] {
        let page = pages.join(format!("coldring-{kind}.5"));
        let ran = run(Command::new("man")
            .args(["--warnings", "-l"])
            .arg(&page)
            .env("LC_ALL", "C.UTF-8")
            .env("MANWIDTH", "80"));
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{kind}");
        assert!(ran.out.contains(field), "{kind}: {}", ran.out);
        let explained = coldring_with(&["explain", kind]);
        assert_eq!(explained.code, Some(0), "{}", explained.err);
        let line = |line: &str| line == field;
        assert!(explained.out.lines().any(line), "{kind}: {}", explained.out);
    }
}

#[test]
fn files_are_written_again_whole_and_nothing_else_is_left() {
    let prefix = written();
    let script = prefix
        .path()
        .join("share/bash-completion/completions/coldring");
    let first = fs::read(&script).unwrap();
    assert_eq!(first, coldring_with(&["shell", "bash"]).out.as_bytes());
    fs::write(&script, "older").unwrap();
    let again = run(coldring().args(["shell", "--out"]).arg(prefix.path()));
    assert_eq!(again.code, Some(0), "{}", again.err);
    assert_eq!(fs::read(&script).unwrap(), first);
    assert_eq!(names_in(script.parent().unwrap()), ["coldring"]);
}

#[test]
fn what_is_in_the_way_is_named() {
    let folder = tempdir().unwrap();
    fs::write(folder.path().join("share"), "").unwrap();
    let ran = run(coldring().args(["shell", "--out"]).arg(folder.path()));
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err.contains("share") && ran.err.contains("--out"),
        "{}",
        ran.err
    );
    assert_eq!(coldring_with(&["shell"]).code, Some(2));
}

#[test]
fn the_version_names_tables_and_program() {
    let said = coldring_with(&["--version"]).out;
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines.len(), 2, "{said}");
    assert!(lines[0].starts_with(concat!("coldring ", env!("CARGO_PKG_VERSION"), " (")));
    let tables = fs::read_to_string(crate::support::path("src/published/tables/VERSION")).unwrap();
    assert!(lines[1].starts_with(&format!("tables {}, program ", tables.trim())));
    // The state of the program, as the digest of a build covers it.
    let digits = lines[1].rsplit(' ').next().unwrap();
    assert!(
        digits.len() == 16 && digits.chars().all(|c| c.is_ascii_hexdigit()),
        "{digits}"
    );
}

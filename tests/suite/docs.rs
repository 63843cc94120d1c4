//! Every command in the documents is run: those of the README, of DEVELOPERS, of
//! the topics of `coldring explain`, of the comments of the specs and of each
//! `--help`. What cannot be run here stands on a list with the reason.

mod commands;
mod readme;
mod scratch;

use std::collections::BTreeSet;
use std::fs;
use std::sync::Mutex;

use crate::support::{AS_OF, coldring_with, path, read};
use commands::{Command, in_comments, in_help, in_markdown, spans};
use scratch::Scratch;

/// Commands that are not run, and why. One that no document has any more fails.
const NOT_RUN: &[(&str, &str)] = &[
    ("cargo test --release", "it is what runs this"),
    (
        "COLDRING_KILLS=200 cargo test --release --test suite killed_runs",
        "a part of this, for longer",
    ),
    ("cargo bench --bench heat", "a benchmark"),
    ("tests/bench/run", "a benchmark"),
    (
        "tests/bench/peers/run",
        "a benchmark that installs its peers",
    ),
    (
        "tests/gallery",
        "writes into the sources; `gallery` compares",
    ),
    ("tests/archival/check out/*/procedure.pdf", "CI runs it"),
    ("tests/browser/run", "CI runs it"),
    ("tests/browser/latency", "a benchmark"),
    ("tests/browser/run alone", "CI runs it"),
    ("tests/browser/latency alone", "a benchmark"),
    ("tests/package/page", "CI runs it"),
    ("tests/editor/run", "CI runs it"),
    ("tests/sarif/check target/release/coldring", "CI runs it"),
    ("tests/fuzz/run 600", "needs nightly and ten minutes"),
    (
        "cargo mutants --profile release -f 'src/published/**' -f 'src/rules/**'",
        "needs cargo-mutants and days",
    ),
    ("tests/supply/check", "CI runs it"),
    (
        "tests/package/deb",
        "needs cargo-deb, and builds the program again",
    ),
    (
        "tests/package/static",
        "builds the program for another target",
    ),
    (".ci/run", "it runs this"),
    ("cargo install --path .", "builds the program again"),
    ("coldring shell --out /usr/local", "writes to the system"),
    (
        "coldring verify --text \"COLDRING/1/WALLET/...\" --trust alder-fork.public.pem",
        "the text is cut short",
    ),
];

/// Commands that end with another exit code than 0, as their text says.
const ENDS_WITH: &[(&str, i32)] = &[("coldring check specs/wrong/everything-at-once.yaml", 1)];

/// Commands that go on until they are stopped, which is how they end well.
const UNTIL_STOPPED: &[&str] = &["coldring watch", "coldring preview"];

/// The documents apart from the help.
fn documents() -> Vec<(String, Vec<Command>)> {
    let mut documents = Vec::new();
    for name in ["README.md", "DEVELOPERS.md"] {
        documents.push((name.to_owned(), in_markdown(&read(name))));
    }
    for name in names("templates/help", "md") {
        documents.push((name.clone(), in_markdown(&read(&name))));
    }
    for folder in [
        "specs",
        "specs/tour",
        "specs/tour/records",
        "specs/house",
        "specs/people",
    ] {
        for name in names(folder, "yaml") {
            documents.push((name.clone(), in_comments(&read(&name))));
        }
    }
    documents
}

/// The files of a folder with this ending, in order.
fn names(folder: &str, ending: &str) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(path(folder))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(&format!(".{ending}")))
        .map(|name| format!("{folder}/{name}"))
        .collect();
    names.sort();
    assert!(!names.is_empty(), "{folder} has no {ending}");
    names
}

/// The names of the commands, as the help lists them.
fn subcommands() -> Vec<String> {
    let help = coldring_with(&["shell", "bash"]).out;
    let known = help.lines().filter_map(|line| {
        let name = line.trim().strip_prefix("coldring,")?.strip_suffix(')')?;
        Some(name.to_owned())
    });
    let known: Vec<String> = known.filter(|name| name != "help").collect();
    assert!(known.len() > 10, "{known:?}");
    known
}

fn help_of(command: &str) -> String {
    coldring_with(&[command, "--help"]).out
}

/// Runs the commands of each document in a scratch folder of its own, in order.
fn all_run(documents: &[(String, Vec<Command>)]) {
    let faults = Mutex::new(Vec::new());
    let next = Mutex::new(documents.iter());
    let work = || {
        loop {
            let Some((name, commands)) = next.lock().unwrap().next() else {
                return;
            };
            let runs = commands
                .iter()
                .filter(|command| !NOT_RUN.iter().any(|(text, _)| *text == command.text));
            let mut scratch = None;
            for command in runs {
                let scratch = scratch.get_or_insert_with(Scratch::new);
                let expected = ENDS_WITH.iter().find(|(text, _)| *text == command.text);
                let expected = expected.map_or(0, |(_, code)| *code);
                let endless = UNTIL_STOPPED
                    .iter()
                    .any(|start| command.text.starts_with(start));
                let ran = match endless {
                    true => scratch.run_until_ready(&command.text),
                    false => scratch.run(&command.text, expected),
                };
                if let Err(fault) = ran {
                    faults
                        .lock()
                        .unwrap()
                        .push(format!("{name}: {}: {fault}", command.text));
                }
            }
        }
    };
    std::thread::scope(|scope| {
        scope.spawn(work);
        scope.spawn(work);
    });
    let faults = faults.into_inner().unwrap();
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

#[test]
fn every_command_of_the_documents_runs() {
    all_run(&documents());
}

#[test]
fn every_example_of_the_help_runs() {
    let subcommands = subcommands();
    let helps: Vec<_> = subcommands
        .iter()
        .map(|name| (format!("{name} --help"), in_help(&help_of(name))))
        .collect();
    for (name, commands) in &helps {
        assert!(!commands.is_empty(), "{name} has no example");
    }
    all_run(&helps);
    let top = coldring_with(&["--help"]).out;
    all_run(&[("--help".to_owned(), in_help(&top))]);
}

#[test]
fn what_is_not_run_is_still_in_the_documents() {
    let mut found: BTreeSet<String> = BTreeSet::new();
    for (_, commands) in documents() {
        found.extend(commands.into_iter().map(|command| command.text));
    }
    for name in subcommands() {
        found.extend(
            in_help(&help_of(&name))
                .into_iter()
                .map(|command| command.text),
        );
    }
    let listed = NOT_RUN.iter().map(|(text, _)| text);
    for text in listed.chain(ENDS_WITH.iter().map(|(text, _)| text)) {
        assert!(found.contains(*text), "no document has: {text}");
    }
}

/// Commands within a sentence are not run, but what they name exists.
#[test]
fn commands_in_sentences_exist() {
    let known = subcommands();
    let mut texts = vec!["README.md".to_owned(), "DEVELOPERS.md".to_owned()];
    texts.extend(names("templates/help", "md"));
    let mut seen = 0;
    for name in texts {
        for span in spans(&read(&name)) {
            let mut words = span.split_whitespace();
            if words.next() != Some("coldring") {
                continue;
            }
            let Some(command) = words
                .next()
                .filter(|word| word.chars().all(char::is_lowercase))
            else {
                continue;
            };
            // The command that is hidden is named where it is explained.
            if command == "sandbox-worker" {
                continue;
            }
            assert!(known.iter().any(|k| k == command), "{name}: `{span}`");
            let help = help_of(command);
            for option in words.filter(|word| word.starts_with("--")) {
                let option = option.split('=').next().unwrap_or(option);
                assert!(help.contains(option), "{name}: `{span}`: {option}");
            }
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

/// The Job of the topic about batches, without its cluster: every index does its
/// part, as the shell counts it, and the parts are the whole.
#[test]
fn the_parts_of_the_job_make_the_whole_batch() {
    let topic = read("templates/help/batches.md");
    let (job, _) = topic
        .split_once("```yaml\n")
        .unwrap()
        .1
        .split_once("```")
        .unwrap();
    let job: serde_json::Value = serde_yaml::from_str(job).unwrap();
    let container = &job["spec"]["template"]["spec"]["containers"][0];
    let command: Vec<&str> = container["command"]
        .as_array()
        .unwrap()
        .iter()
        .map(|word| word.as_str().unwrap())
        .collect();
    let ["sh", "-c", script] = command[..] else {
        panic!("{command:?}")
    };
    let script = script
        .replace(" /specs/", " specs/")
        .replace(" /papers/", " papers/")
        .replace(
            "coldring build",
            &format!("coldring build --only card --as-of {AS_OF}"),
        );
    let mut scratch = Scratch::new();
    for index in 0..job["spec"]["completions"].as_u64().unwrap() {
        let part = format!("JOB_COMPLETION_INDEX={index} sh -c '{script}'");
        scratch.run(&part, 0).unwrap();
    }
    scratch.run("coldring merge papers/*", 0).unwrap();
    // A part that did not run is missed.
    scratch
        .run("rm -r papers/3 && coldring merge papers/*", 1)
        .unwrap();
}

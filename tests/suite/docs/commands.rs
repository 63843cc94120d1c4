//! The commands in a document.

/// A command as a document gives it, without what is said about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Command {
    /// The text, for a shell.
    pub text: String,
}

/// Those of Markdown: every line of a fenced `sh` block, and every indented line
/// that is none of a list.
pub fn in_markdown(text: &str) -> Vec<Command> {
    let mut commands = Vec::new();
    let mut fence: Option<&str> = None;
    let mut list = false;
    for line in text.lines() {
        match (fence, line.strip_prefix("```")) {
            (None, Some(language)) => fence = Some(language),
            (Some(_), Some(_)) => fence = None,
            (Some("sh"), None) => commands.extend(Some(Command { text: told(line) })),
            (Some(_), None) => {}
            (None, None) if line.starts_with("- ") => list = true,
            (None, None) if line.starts_with("    ") && !list => commands.extend(command(line)),
            (None, None) if !line.starts_with(' ') && !line.is_empty() => list = false,
            (None, None) => {}
        }
    }
    commands
}

/// Those of a YAML file: indented lines of comments that begin with the program.
pub fn in_comments(text: &str) -> Vec<Command> {
    let lines = text.lines().filter_map(|line| line.strip_prefix("#   "));
    let ours = lines.filter(|line| line.starts_with("coldring "));
    ours.filter_map(command).collect()
}

/// Those of a help text: indented lines that begin with the program.
pub fn in_help(text: &str) -> Vec<Command> {
    let lines = text.lines().filter_map(|line| line.strip_prefix("  "));
    let ours = lines.filter(|line| line.starts_with("coldring "));
    ours.filter_map(command).collect()
}

/// What stands between backticks in sentences.
pub fn spans(text: &str) -> Vec<String> {
    let mut outside = String::new();
    let mut fenced = false;
    for line in text.lines() {
        match line.starts_with("```") {
            true => fenced = !fenced,
            // A sentence may break its line within a span.
            false if !fenced => outside += &format!("{line} "),
            false => {}
        }
    }
    outside
        .split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

/// How a command begins, where lines that are none stand beside it.
const BEGINS: &[&str] = &[
    "coldring ",
    "cargo ",
    "parallel ",
    "rustup ",
    "apt ",
    "tests/",
    ".ci/",
    "COLDRING_",
    "CC_",
];

/// The command of a line, if it is one.
fn command(line: &str) -> Option<Command> {
    let text = told(line);
    let begins = BEGINS.iter().any(|begin| text.starts_with(begin));
    begins.then_some(Command { text })
}

/// A line, up to two spaces or a comment, after which it is told about.
fn told(line: &str) -> String {
    let line = line.trim();
    let line = line.split("  ").next().unwrap_or(line);
    let line = line.split(" # ").next().unwrap_or(line).trim();
    match line.strip_prefix("cargo run --release -- ") {
        Some(arguments) => format!("coldring {arguments}"),
        None => line.to_owned(),
    }
}

#[test]
fn commands_are_found_and_told_from_what_is_said_of_them() {
    let text = "# A\n\n```sh\ncargo run --release -- build a.yaml\n```\n\n```yaml\n    coldring: 1\n```\n\n    \
                coldring limits        every figure\n    a ─► b\n\n- a list\n\n    coldring no\n\nSay `coldring\nnew`.\n";
    let found: Vec<_> = in_markdown(text).into_iter().map(|c| c.text).collect();
    assert_eq!(found, ["coldring build a.yaml", "coldring limits"]);
    assert_eq!(spans(text), ["coldring new"]);
    let found = in_comments("# x\n#   coldring check a.yaml\ncoldring: 1\n");
    assert_eq!(found.len(), 1);
}

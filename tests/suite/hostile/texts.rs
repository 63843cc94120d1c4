//! Text is data: whatever stands in a field of a file is printed as it was
//! written, or is a finding; nothing of it is ever run. Every value of the demo's
//! files is tried, so that a new field is tried as soon as a demo has it. What is
//! printed is read back by pdftotext.

use std::fs;
use std::path::Path;
use std::process::Command;

use coldring::spec::scalars;
use tempfile::{TempDir, tempdir};

use crate::support::{
    AS_OF, GEOTHERMAL, Run, coldring, file, gas_alone, read, run, squeezed, tool,
};

/// What a template language, a markup or a reader could take for its own.
const WRITTEN: &[&str] = &[
    "#eval(\"1+1\") $x^2$ @ref // c /* d */ <lab> \\u{41} \\",
    "```raw``` `a` *b* _c_ [d] {{ 7*7 }} {% raw %} {# c #}",
    "~ -- --- ... 'q' = h #read(\"/etc/passwd\") Łódź Ωμέγα Щука",
];

/// The same for what has to fit a wallet card.
const SHORT: &[&str] = &[
    "#eval(\"1+1\")",
    "$x^2$ @ref",
    "```r``` `a`",
    "{{ 7*7 }}",
    "{% raw %}",
    "// c <l> \\",
];

/// Values of the demos that are read and stand on no paper: where the depth of a
/// socket comes from that no printed figure rests on, and what a roster knows of
/// specimens, which wallet cards do not say.
const READ_ONLY: &[&str] = &[
    "caliper, three sockets of the lot on hand, 2026-10-28",
    "S-31",
    "AF-FQ-21",
    "S-27",
    "AF-FQ-17",
    // Why a specimen of an earlier revision holds, which the list in a submittal says.
    "AFG O&M Manual 4.9",
    "HC Operations Manual 7.9",
];

/// What is refused wherever it stands, and how the finding names it.
const REFUSED: &[(&str, &str)] = &[
    ("bell \u{7}", "U+0007"),
    ("escape \u{1b}[31m", "U+001B"),
    ("soft \u{ad}hyphen", "U+00AD"),
    ("turned \u{202e}around", "U+202E"),
    ("fire \u{1f525}", "U+1F525"),
    ("water \u{6c34}", "U+6C34"),
    ("unassigned \u{e123}", "U+E123"),
];

/// A text in double quotes, as YAML writes it.
fn quoted(text: &str) -> String {
    let escaped = text.chars().map(|c| match c {
        '"' | '\\' => format!("\\{c}"),
        c if c.is_control() || matches!(c, '\u{ad}' | '\u{202e}' | '\u{e123}') => {
            format!("\\U{:08x}", u32::from(c))
        }
        c => c.to_string(),
    });
    format!("\"{}\"", escaped.collect::<String>())
}

/// A file of a demo and how it is checked and printed.
struct Field<'a> {
    text: String,
    /// The findings about the text, with their marks, and whether there is an error.
    check: &'a dyn Fn(&str) -> Run,
    /// All that is printed of it.
    print: &'a dyn Fn(&str) -> String,
    /// The places of the values that are tried: one for each field.
    places: Vec<(usize, usize)>,
}

impl<'a> Field<'a> {
    fn new(
        text: String,
        check: &'a dyn Fn(&str) -> Run,
        print: &'a dyn Fn(&str) -> String,
    ) -> Self {
        assert_eq!(check(&text).code, Some(0), "{}", check(&text).err);
        let mut seen = std::collections::BTreeMap::new();
        let mut places = Vec::new();
        for scalar in scalars(&text) {
            let (mut from, mut to) = (scalar.span.start, scalar.span.end);
            // Whether the quotes belong to the place is the reader's own affair.
            let quote = |c: &char| matches!(c, '"' | '\'');
            let before = text[..from].chars().next_back().filter(quote);
            if before.is_some() && text[to..].chars().next() == before {
                (from, to) = (from - 1, to + 1);
            }
            // A key is followed by its colon; unknown ones are another test's.
            if text[to..].starts_with(':') {
                continue;
            }
            let line = text[..from].rsplit('\n').next().unwrap();
            let key = line
                .trim_end()
                .rsplit([',', '{'])
                .next()
                .unwrap()
                .to_owned();
            let count = seen.entry(key).or_insert(0);
            *count += 1;
            // What an alias stands for is found again where it is written.
            if *count <= 2 && !places.contains(&(from, to)) {
                places.push((from, to));
            }
        }
        assert!(places.len() > 5, "{}", places.len());
        Self {
            text,
            check,
            print,
            places,
        }
    }

    fn with(&self, places: &[(usize, usize)], written: impl Fn(usize) -> String) -> String {
        let mut text = self.text.clone();
        for (n, (from, to)) in places.iter().enumerate().rev() {
            text.replace_range(*from..*to, &quoted(&written(n)));
        }
        text
    }

    /// The places that take the text, each tried alone. The others have a finding.
    fn taking(&self, written: &str) -> Vec<(usize, usize)> {
        let takes = |place: &&(usize, usize)| {
            let ran = (self.check)(&self.with(&[**place], |_| written.to_owned()));
            assert!(matches!(ran.code, Some(0 | 1)), "{written}: {}", ran.err);
            assert!(!ran.err.contains("panicked"), "{written}: {}", ran.err);
            ran.code == Some(0)
        };
        self.places.iter().filter(takes).copied().collect()
    }

    /// Whatever is taken is printed as it was written.
    fn prints_as_written(&self, texts: &[&str], least: usize) {
        for written in texts {
            let taking = self.taking(written);
            assert!(taking.len() >= least, "{written}: {}", taking.len());
            let tagged = |n: usize| format!("n{n}n {written}");
            let printed = squeezed(&(self.print)(&self.with(&taking, tagged)));
            let lost = taking.iter().enumerate().filter_map(|(n, (from, to))| {
                let value = self.text[*from..*to].trim_matches('"');
                let shown = printed.contains(&squeezed(&tagged(n)));
                (!shown && !READ_ONLY.contains(&value)).then_some(value)
            });
            let lost: Vec<_> = lost.collect();
            assert!(
                lost.is_empty(),
                "{written} in place of {lost:#?} is not printed"
            );
        }
    }

    /// What no paper can show is a finding that names it, wherever it stands.
    fn refuses(&self) {
        let printed = |(from, to): &(usize, usize)| {
            let value = self.text[*from..*to].trim_matches('"');
            !READ_ONLY.contains(&value)
        };
        let mut free = self.taking("plain words");
        free.retain(printed);
        for (written, named) in REFUSED {
            let ran = (self.check)(&self.with(&free, |n| format!("n{n}n {written}")));
            assert_eq!(ran.code, Some(1), "{named}: {}", ran.err);
            let found = ran.err.matches(named).count();
            assert!(
                found >= free.len(),
                "{named}: {found} of {}: {}",
                free.len(),
                ran.err
            );
            let raw = ['\u{7}', '\u{1b}', '\u{202e}'];
            assert!(!ran.err.contains(raw), "{named}");
        }
    }
}

/// The text of all PDFs below a folder, in the order it is drawn.
fn printed_in(folder: &Path) -> String {
    let found = tool("find", &[folder.to_str().unwrap(), "-name", "*.pdf"]);
    let texts = found
        .lines()
        .map(|pdf| tool("pdftotext", &["-raw", pdf, "-"]));
    let text: String = texts.collect();
    assert!(!text.is_empty());
    text
}

/// A folder with the specs, and room for a file that is changed.
struct Desk(TempDir);

impl Desk {
    fn new() -> Self {
        let folder = tempdir().unwrap();
        let copied = Command::new("cp")
            .args(["-r", "specs"])
            .arg(folder.path())
            .current_dir(crate::support::root())
            .status();
        assert!(copied.unwrap().success());
        Self(folder)
    }

    /// Runs the program on the changed file, once it is in its place.
    fn run(&self, file: &str, text: &str, arguments: &[&str]) -> Run {
        fs::write(self.0.path().join(file), text).unwrap();
        let out = self.0.path().join("out");
        let _ = fs::remove_dir_all(&out);
        run(coldring().current_dir(self.0.path()).args(arguments))
    }

    fn print(&self, file: &str, text: &str, arguments: &[&str]) -> String {
        let ran = self.run(file, text, arguments);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        printed_in(&self.0.path().join("out"))
    }
}

#[test]
fn of_specs() {
    let desk = Desk::new();
    let file = "specs/changed.yaml";
    let check = |text: &str| desk.run(file, text, &["check", file, "--as-of", AS_OF]);
    let print = |text: &str| desk.print(file, text, &["build", file, "--as-of", AS_OF]);
    let specs = [
        gas_alone(),
        read(GEOTHERMAL),
        read("specs/tern-valley-water.yaml"),
        read("specs/saddle-works-hot-water.yaml"),
    ];
    for text in specs {
        let field = Field::new(text, &check, &print);
        field.prints_as_written(WRITTEN, 5);
        field.refuses();
    }
}

/// Marks that combine and words from right to left keep their characters; in what
/// order a reader of PDFs gives words of two directions is its own affair.
#[test]
fn of_other_scripts() {
    let desk = Desk::new();
    let file = "specs/changed.yaml";
    let title = "Socket fusion of PE4710 geothermal and service pipe";
    let text = read(GEOTHERMAL);
    assert!(text.contains(title));
    for (written, word) in [
        ("ze\u{301}ro", "ze\u{301}ro"),
        (
            "a \u{5e9}\u{5dc}\u{5d5}\u{5dd} b",
            "\u{5e9}\u{5dc}\u{5d5}\u{5dd}",
        ),
        (
            "\u{62f}\u{646}\u{6cc}\u{627}",
            "\u{62f}\u{646}\u{6cc}\u{627}",
        ),
        ("smile \u{1f600}", "smile\u{1f600}"),
    ] {
        let text = text.replace(title, written);
        let arguments = ["build", file, "--only", "procedure", "--as-of", AS_OF];
        let printed = squeezed(&desk.print(file, &text, &arguments));
        assert!(printed.contains(word), "{word}");
    }
}

#[test]
fn of_records() {
    let desk = Desk::new();
    let file = "specs/records/AF-PQ-07.yaml";
    let arguments = [
        "forms",
        "specs/alder-fork-gas.yaml",
        "--record",
        file,
        "--as-of",
        AS_OF,
    ];
    let check = |text: &str| {
        let check = ["check", "specs/alder-fork-gas.yaml", "--as-of", AS_OF];
        desk.run(file, text, &check)
    };
    let print = |text: &str| desk.print(file, text, &arguments);
    let field = Field::new(read(file), &check, &print);
    field.prints_as_written(WRITTEN, 3);
    field.refuses();
}

#[test]
fn of_house_styles() {
    let desk = Desk::new();
    let file = "specs/house/house.yaml";
    let of = |paper| {
        let spec = ["build", GEOTHERMAL, "--as-of", AS_OF];
        [&spec[..], &["--house", "specs/house", "--only", paper]].concat()
    };
    // A house style is read as a whole, whatever is printed in it; this is soon laid out.
    let check = |text: &str| desk.run(file, text, &of("depth-marks"));
    let print = |text: &str| desk.print(file, text, &of("procedure"));
    let field = Field::new(read(file), &check, &print);
    field.prints_as_written(WRITTEN, 3);
    field.refuses();
}

#[test]
fn of_submittals() {
    let desk = Desk::new();
    let file = "specs/submittal/AF-S-031.yaml";
    let arguments = ["submittal", file];
    let text = read(file);
    // What it encloses takes long to make and is tried for itself.
    let (head, rest) = text.split_once("\nprocedures:").unwrap();
    let (_, attachments) = rest.split_once("\nattachments:").unwrap();
    let text = format!("{head}\nattachments:{attachments}");
    let check = |text: &str| desk.run(file, text, &arguments);
    let print = |text: &str| desk.print(file, text, &arguments);
    let field = Field::new(text, &check, &print);
    field.prints_as_written(WRITTEN, 3);
    field.refuses();
}

#[test]
fn of_rosters() {
    let desk = Desk::new();
    let file = "specs/people/fusers.yaml";
    let cards = [
        "cards",
        "specs/alder-fork-gas.yaml",
        "--fusers",
        file,
        "--as-of",
        AS_OF,
    ];
    let check = |text: &str| desk.run(file, text, &cards);
    let print = |text: &str| desk.print(file, text, &cards);
    // The first two fusers, who are qualified.
    let text = read(file);
    let (text, _) = text.split_once("  # From the last day").unwrap();
    let field = Field::new(text.to_owned(), &check, &print);
    field.prints_as_written(SHORT, 2);
    field.refuses();
}

/// The lists that make papers grow, each by one entry too many and by as many as may
/// be: both are answered soon and in little memory.
#[test]
fn lists_have_an_end() {
    let folder = tempdir().unwrap();
    let many = |count: usize, entry: &dyn Fn(usize) -> String| -> String {
        (0..count).map(entry).collect()
    };
    let grown = |count: usize, which: &str| {
        let of = |from: &str, to: String| gas_alone().replacen(from, &format!("{from}{to}"), 1);
        match which {
            "references" => of(
                "references:\n",
                many(count, &|n| format!("  - Manual, part {n}\n")),
            ),
            _ => of(
                "revisions:\n",
                many(count, &|n| {
                    format!(
                        "    - {{revision: {}, date: 2020-01-01, change: C}}\n",
                        n + 1
                    )
                }),
            ),
        }
    };
    for which in ["references", "revisions"] {
        for (count, is_too_long) in [(150, false), (201, true), (5_000, true)] {
            let spec = file(&folder, "s.yaml", grown(count, which));
            let ran = run(Command::new("sh")
                .args(["-c", "ulimit -v 600000; exec \"$0\" check \"$1\""])
                .args([env!("CARGO_BIN_EXE_coldring"), &spec]));
            let told = ran.err.contains("list-too-long");
            assert_eq!(told, is_too_long, "{which} {count}: {}", ran.err);
        }
    }
    let copies = |count: usize| {
        let cards = format!("documents:\n  card: {{copies: {count}}}\n");
        let text = gas_alone().replacen("documents:\n", &cards, 1);
        assert!(text.contains(&cards));
        let spec = file(&folder, "s.yaml", text);
        run(Command::new(env!("CARGO_BIN_EXE_coldring")).args(["check", &spec]))
    };
    assert!(copies(101).err.contains("more than one file holds"));
    assert!(!copies(100).err.contains("more than one file holds"));
}

/// The name of a file never steers the terminal, whatever is said of it.
#[cfg(unix)]
#[test]
fn names_of_files_reach_no_terminal_as_they_are() {
    let folder = tempdir().unwrap();
    // ESC, CSI as one character, and the mark that turns a line around.
    let name = "a\u{1b}[2J\u{9b}31m\u{202e}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}b.yaml";
    let spec = file(&folder, name, gas_alone());
    let wrong = file(&folder, &format!("w{name}"), "coldring: 2\n");
    let out = folder.path().join("o\u{1b}[31m");
    let out = out.to_str().unwrap();
    let missing = format!("{spec}.gone");
    let file_argument = format!("--out={out}");
    let commands: [&[&str]; 12] = [
        &["check", &spec],
        &["check", &wrong],
        &["check", &missing],
        &["check", &spec, "--format", "json"],
        &["check", &wrong, "--format", "sarif"],
        &["build", &spec, "--only", "card", &file_argument],
        &[
            "build",
            &spec,
            "--only",
            "card",
            &file_argument,
            "--verbose",
        ],
        &["heat", &spec, "--format", "csv"],
        &["plan", &missing],
        &["verify", &missing, "--trust", &missing],
        &["submittal", &wrong],
        // As a shell would put the name of a file there.
        &[&name[1..]],
    ];
    for command in commands {
        let ran = run(Command::new(env!("CARGO_BIN_EXE_coldring")).args(command));
        let said = format!("{}{}", ran.out, ran.err);
        let steers = |c: char| c.is_control() && !matches!(c, '\n' | '\t') || c == '\u{202e}';
        assert!(!said.contains(steers), "{command:?}: {said:?}");
        assert!(
            !said.contains(&"\u{301}".repeat(5)),
            "{command:?}: {said:?}"
        );
        assert!(!said.is_empty(), "{command:?}");
    }
}

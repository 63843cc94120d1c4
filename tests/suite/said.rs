//! What a run says: help on one screen, a next step for whoever is stuck, and
//! more or less of it by `--verbose` and `--quiet`.

use std::fs;

use tempfile::tempdir;

use crate::support::{AS_OF, GAS, GEOTHERMAL, WRONG, coldring, coldring_with, file, run};

/// Lines of a screen, for help without a pager.
const SCREEN: usize = 30;
/// Characters of a line of it.
const LINE: usize = 80;

/// Every command that is not hidden, as the program itself tells an unknown one.
fn commands() -> Vec<String> {
    let help = coldring_with(&["help", "help"]);
    assert_eq!(help.code, Some(0), "{}", help.err);
    let top = coldring_with(&["--help"]).out;
    let names = top.lines().filter_map(|line| {
        let row = line.get(10..20)?;
        let listed = line.starts_with(' ') || line.chars().next()?.is_uppercase();
        let name = row.trim();
        let plain = !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase());
        (listed && plain && row.len() == 10 && line.get(20..21) == Some(" "))
            .then(|| name.to_owned())
    });
    names
        .chain(["new", "check", "build"].map(str::to_owned))
        .collect()
}

#[test]
fn help_fits_a_screen_and_begins_with_what_people_do() {
    let top = coldring_with(&["--help"]);
    assert_eq!(top.code, Some(0));
    assert_eq!(top.out, coldring_with(&["-h"]).out);
    assert!(top.out.lines().count() <= SCREEN, "{}", top.out);
    let at = |words: &str| top.out.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(at("coldring new") < at("coldring check"));
    assert!(at("coldring check") < at("coldring build"));
    assert!(at("coldring build") < at("Papers"));
    let commands = commands();
    assert!(commands.len() >= 18, "{commands:?}");
    for command in &commands {
        let short = coldring_with(&[command.as_str(), "-h"]);
        assert_eq!(short.code, Some(0), "{command}: {}", short.err);
        let lines = short.out.lines().count();
        assert!(
            lines <= SCREEN,
            "{command} has {lines} lines:\n{}",
            short.out
        );
        let long = coldring_with(&[command.as_str(), "--help"]);
        assert!(long.out.contains("Example"), "{command}");
        assert!(
            long.out.contains(&format!("coldring {command}")),
            "{command}"
        );
    }
    let widest = top.out.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(LINE), "{widest:?}");
}

/// Words that a step to take begins with.
const STEPS: [&str; 14] = [
    "next: ",
    "Next: ",
    "`coldring ",
    "--help",
    "; check ",
    "; choose ",
    "; give ",
    "; leave ",
    "; name ",
    "; ask ",
    "; write ",
    "; put ",
    "; run",
    "run: ",
];

#[test]
fn whoever_is_stuck_is_told_a_next_step() {
    let folder = tempdir().unwrap();
    let place = folder.path();
    let out = place.join("out");
    let out = out.to_str().unwrap();
    fs::create_dir(place.join("empty")).unwrap();
    fs::write(place.join("taken"), "x").unwrap();
    let inside = |name: &str| place.join(name).to_str().unwrap().to_owned();
    let (empty, taken, absent) = (inside("empty"), inside("taken"), inside("absent.yaml"));
    let binary = file(&folder, "binary.yaml", [0xff, 0xfe, 0x00]);
    let roster = file(&folder, "roster.yaml", "fusers: [\n");
    let pdf = file(&folder, "no.pdf", "no PDF");
    let keys = run(coldring().args(["keys", "k", "--out", &empty]));
    assert_eq!(keys.code, Some(0));
    let public = format!("{empty}/k.public.pem");
    let people = "specs/people/fusers.yaml";
    let cases: &[&[&str]] = &[
        // Usage.
        &[],
        &["bild"],
        &["check"],
        &["build", GAS, "--papre", "a4"],
        &["check", GAS, "--format", "xml"],
        &["check", GAS, "--as-of", "tomorrow"],
        &["build", GAS, "--measured-x", "99 mm"],
        &["build", GAS, "--image-resolution", "90"],
        &["build", GAS, "--image", "svg", "--image-resolution", "90"],
        &["build", GAS, "--language", "en,en"],
        &["watch", GAS, "--language", "en,en"],
        &["check", GAS, "--quiet", "--verbose"],
        &["limits", "--size", "huge"],
        // Files that are not there, or are others.
        &["check", &absent],
        &["check", &empty],
        &["check", &binary],
        &["build", &absent, "--out", out],
        &["build", GAS, "--house", &empty, "--out", out],
        &["build", GAS, "--house", &absent, "--out", out],
        &["build", GAS, "--key", &absent, "--out", out],
        &["build", GAS, "--key", &public, "--out", out],
        &["build", GAS, "--only", "depth-marks", "--out", &taken],
        &["new", &taken],
        &["forms", &absent, "--out", out],
        &["forms", GAS, "--record", &absent, "--out", out],
        &["confirm", &absent, "--out", out],
        &["heat", &absent],
        &["plan", &absent],
        &["plan", GAS, "--joints", "6 IPS=4", "--as-of", AS_OF],
        &["show", &absent, "--resolved"],
        &["compare", &absent, GAS],
        &["fusers", &absent],
        &["fusers", &roster],
        &["fusers", people, "--procedure", "XX-1", "--as-of", AS_OF],
        &["cards", GAS, "--fusers", &absent, "--out", out],
        &["cards", &absent, "--fusers", people, "--out", out],
        &["submittal", &absent, "--out", out],
        &["merge", &empty],
        &["merge", &absent],
        &["keys", "a/b", "--out", &empty],
        &["keys", "k", "--out", &empty],
        &["verify", &pdf, "--trust", &public],
        &["verify", &absent, "--trust", &public],
        &[
            "verify",
            "--text",
            "COLDRING/1/nonsense",
            "--trust",
            &public,
        ],
        &["verify", "--text", "x", "--trust", &absent],
        &["verify", "--text", "x", "--trust", &binary],
        // Names that are not known.
        &["explain", "no-such-rule"],
        &["explain", "--json", "nothing"],
        &["limits", "no-such-table"],
        // Findings.
        &["check", WRONG, "--as-of", AS_OF],
        &["build", WRONG, "--as-of", AS_OF, "--out", out],
        &["heat", WRONG, "--as-of", AS_OF],
        &["plan", WRONG, "--as-of", AS_OF],
        &["show", WRONG, "--resolved", "--as-of", AS_OF],
        &["confirm", &roster, "--out", out],
        &["compare", WRONG, GAS, "--as-of", AS_OF],
        &["submittal", &roster, "--out", out],
    ];
    for case in cases {
        let ran = coldring_with(case);
        assert!(
            matches!(ran.code, Some(1 | 2)),
            "{case:?}: {:?} {}",
            ran.code,
            ran.out
        );
        let said = format!("{}{}", ran.err, ran.out);
        let step = STEPS.iter().any(|step| said.contains(step));
        // A list of all commands is one too.
        assert!(step || said.contains("coldring new "), "{case:?}: {said}");
    }
}

#[test]
fn a_file_that_is_not_there_is_told_without_a_number_of_the_system() {
    for arguments in [
        &["check", "nowhere.yaml"][..],
        &["cards", GAS, "--fusers", "nowhere.yaml"],
        &["verify", "nowhere.pdf", "--trust", "nowhere.pem"],
    ] {
        let said = coldring_with(arguments).err;
        assert!(said.contains(": there is no such file; "), "{said}");
        assert!(!said.contains("os error"), "{said}");
    }
}

#[test]
fn whoever_wants_a_pocket_card_is_told_how() {
    let tip = "coldring build SPEC --only card";
    let without = coldring_with(&["cards", GAS]);
    assert_eq!(without.code, Some(2));
    assert!(without.err.contains(tip), "{}", without.err);
    // Only where the roster is what is missing.
    for other in [&["cards", "--fusers", "x.yaml"][..], &["build"]] {
        let said = coldring_with(other).err;
        assert!(!said.contains(tip), "{said}");
    }
}

#[test]
fn the_rule_that_is_named_next_is_one_that_explain_knows() {
    let ran = coldring_with(&["check", WRONG, "--as-of", AS_OF]);
    let last = ran.err.lines().last().unwrap();
    let slug = last.split("coldring explain ").nth(1).unwrap();
    let slug = slug.split('`').next().unwrap();
    assert_eq!(coldring_with(&["explain", slug]).code, Some(0), "{last}");
    // And it is an error of that spec.
    assert!(ran.err.contains(&format!("error[{slug}]")), "{slug}");
}

#[test]
fn quiet_leaves_errors_and_the_answer() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let build = |arguments: &[&str]| {
        run(coldring()
            .args(["build", "--as-of", AS_OF, "--only", "depth-marks"])
            .args(arguments)
            .arg("--out")
            .arg(&out))
    };
    let usual = build(&[GEOTHERMAL]);
    assert!(usual.out.contains("wrote") && usual.err.contains(": coldring check "));
    for quiet in [&["--quiet", GAS][..], &["-q", GAS, "--force"]] {
        let ran = build(quiet);
        assert_eq!(
            (ran.code, ran.out.as_str(), ran.err.as_str()),
            (Some(0), "", "")
        );
    }
    assert!(out.join("AF-JP-12-r2/depth-marks.pdf").exists());
    let wrong = build(&["-q", WRONG]);
    assert_eq!((wrong.code, wrong.out.as_str()), (Some(1), ""));
    assert!(wrong.err.contains("error["), "{}", wrong.err);
    assert!(!wrong.err.contains("warning["), "{}", wrong.err);
    assert!(build(&["-q", "nowhere.yaml"]).err.contains("nowhere.yaml"));
    // The option stands before the command too, and what was asked for is there.
    let shown = coldring_with(&["-q", "limits", "us-cycles"]);
    assert_eq!(shown.out, coldring_with(&["limits", "us-cycles"]).out);
    let check = ["check", "-q", "--as-of", AS_OF, "--format", "json", WRONG];
    let json = coldring_with(&check);
    assert!(json.out.contains("\"warning\"") && json.err.is_empty());
}

#[test]
fn verbose_tells_what_is_read_and_decided_on_standard_error() {
    let folder = tempdir().unwrap();
    let build = |more: &[&str]| {
        run(coldring()
            .args(["build", "--as-of", AS_OF, "--only", "depth-marks", GAS])
            .args(more)
            .arg("--out")
            .arg(folder.path().join("out")))
    };
    let first = build(&["--verbose"]);
    for said in [
        format!("read {GAS}: "),
        "read specs/records/AF-PQ-07.yaml: ".to_owned(),
        "there are no papers of build ".to_owned(),
        "laid out: ".to_owned(),
        "AF-JP-12-r2: written: ".to_owned(),
        "the whole run: ".to_owned(),
    ] {
        assert!(first.err.contains(&said), "{said} is not in {}", first.err);
    }
    // What is printed on standard output is the same.
    let usual = build(&["--force"]);
    assert_eq!(first.out, usual.out);
    let document = build(&["-v", "--format", "json", "--force"]);
    assert!(serde_json::from_str::<serde_json::Value>(&document.out).is_ok());
    assert!(!usual.err.contains("the whole run"), "{}", usual.err);
}

#[test]
fn nothing_but_the_document_is_on_standard_output() {
    for arguments in [
        &["check", "--format", "json"][..],
        &["check", "--format", "sarif"],
        &["heat", "--format", "json"],
    ] {
        for more in [&[][..], &["-v"], &["-q"]] {
            let ran = run(coldring()
                .args(arguments)
                .args(["--as-of", AS_OF, GEOTHERMAL])
                .args(more));
            let read = serde_json::from_str::<serde_json::Value>(&ran.out);
            assert!(read.is_ok(), "{arguments:?} {more:?}: {}", ran.out);
        }
    }
    // No bar in a log: standard error of a test is no terminal.
    let ran = coldring_with(&["check", "--as-of", AS_OF, GEOTHERMAL, GAS]);
    assert!(
        !ran.err.contains("a second") && !ran.err.contains('\r'),
        "{}",
        ran.err
    );
    assert_eq!(ran.out, "");
}

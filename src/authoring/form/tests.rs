//! Every field of every demo spec and starter is written, taken out and put back, and
//! nothing else in the text changes.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::LazyLock;

use chrono::NaiveDate;
use proptest::prelude::*;

use super::{Change, Entry, Form, Value, fields_at, form, put};
use crate::authoring::schema::Kind;
use crate::authoring::starter::Starter;
use crate::core::size::Size;
use crate::core::source::Span;
use crate::spec::Service;

const TODAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();

/// The demo specs and some starters, with names.
static SPECS: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("specs");
    let in_folder = |folder: PathBuf| {
        let files = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path());
        files.filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
    };
    let mut files: Vec<_> = ["", "tour", "earlier"]
        .into_iter()
        .flat_map(|name| in_folder(folder.join(name)))
        .collect();
    files.sort();
    assert!(files.len() > 8);
    let read = |path: PathBuf| {
        (
            path.display().to_string(),
            fs::read_to_string(path).unwrap(),
        )
    };
    let starter = |names: &[&str], service| {
        let sizes = names
            .iter()
            .map(|name| Size::parse(name).unwrap())
            .collect();
        let text = Starter::new(sizes, service, TODAY).unwrap().text();
        (format!("starter {names:?}"), text)
    };
    let starters = [
        starter(&["1 IPS", "2 IPS"], Service::Water),
        starter(&["1/2 CTS", "1 IPS"], Service::Gas),
        starter(&["25 mm", "63 mm"], Service::Geothermal),
    ];
    files.into_iter().map(read).chain(starters).collect()
});

/// The single values of a form by path: each with its value, and whether it is fixed.
fn singles(form: &Form, blanks: bool) -> BTreeMap<Vec<String>, (String, bool)> {
    fn walk(entries: &[Entry], blanks: bool, to: &mut BTreeMap<Vec<String>, (String, bool)>) {
        for entry in entries {
            match &entry.value {
                Value::Single { value, .. } if entry.given || blanks => {
                    to.insert(entry.path.clone(), (value.clone(), entry.fixed));
                }
                Value::Single { .. } => {}
                Value::Group { fields } | Value::Stated { fields } => walk(fields, blanks, to),
                Value::Keyed { entries, blank, .. } | Value::List { entries, blank } => {
                    walk(entries, blanks, to);
                    if blanks {
                        walk(std::slice::from_ref(blank), blanks, to);
                    }
                }
            }
        }
    }
    assert!(form.readable);
    let mut found = BTreeMap::new();
    walk(&form.fields, blanks, &mut found);
    found
}

fn given(text: &str) -> BTreeMap<Vec<String>, (String, bool)> {
    singles(&form(Kind::Spec, text), false)
}

/// The text after a change.
fn after(text: &str, path: &[String], change: Change<'_>) -> Result<String, &'static str> {
    let edit = put(Kind::Spec, text, path, change)?;
    Ok(edit.map_or_else(
        || text.to_owned(),
        |edit| {
            format!(
                "{}{}{}",
                &text[..edit.span.start],
                edit.text,
                &text[edit.span.end..]
            )
        },
    ))
}

/// A size that no demo has, in place of a key that is not chosen yet.
fn chosen(path: &[String]) -> Vec<String> {
    let key = |key: &String| if key.is_empty() { "6 IPS" } else { key }.to_owned();
    path.iter().map(key).collect()
}

/// The remarks of a text.
fn remarks(text: &str) -> Vec<&str> {
    let remark = |line: &'_ str| line.find("# ").map(|at| line[at..].trim_end().len());
    let lines = text.lines();
    lines
        .filter_map(|line| {
            remark(line).map(|length| {
                let line = line.trim_end();
                &line[line.len() - length..]
            })
        })
        .collect()
}

fn for_every_spec(check: impl Fn(&str, &str)) {
    for (number, (name, text)) in SPECS.iter().enumerate() {
        check(name, text);
        // It takes its time: every third has the other line ends too.
        if number % 3 == 0 {
            check(&format!("{name}, CRLF"), &text.replace('\n', "\r\n"));
        }
    }
}

#[test]
fn a_field_that_is_given_its_own_value_changes_nothing() {
    for_every_spec(|name, text| {
        let fields = given(text);
        assert!(fields.len() > 15, "{name}");
        for (path, (value, fixed)) in fields {
            let edit = put(Kind::Spec, text, &path, Change::Write(&value));
            assert!(!fixed, "{name} {path:?}");
            assert_eq!(edit, Ok(None), "{name} {path:?}");
        }
    });
}

#[test]
fn every_field_takes_a_new_value_and_nothing_else_changes() {
    for_every_spec(|name, text| {
        let before = given(text);
        for path in singles(&form(Kind::Spec, text), true).into_keys() {
            let path = chosen(&path);
            let value = "42 new: things";
            let changed = after(text, &path, Change::Write(value));
            let changed = changed.unwrap_or_else(|why| panic!("{name} {path:?}: {why}"));
            let mut read = given(&changed);
            assert_eq!(
                read.remove(&path).map(|it| it.0).as_deref(),
                Some(value),
                "{name} {path:?}\n{changed}"
            );
            let mut others = before.clone();
            others.remove(&path);
            assert_eq!(read, others, "{name} {path:?}");
            assert_eq!(remarks(&changed), remarks(text), "{name} {path:?}");
            assert_eq!(
                changed.matches('\n').count() == changed.matches("\r\n").count(),
                text.contains('\r'),
                "{name} {path:?}"
            );
        }
    });
}

#[test]
fn a_field_that_was_taken_out_is_put_back() {
    for_every_spec(|name, text| {
        let before = given(text);
        for (path, (value, _)) in &before {
            let without = after(text, path, Change::Remove);
            let without = without.unwrap_or_else(|why| panic!("{name} {path:?}: {why}"));
            let mut numbers = false;
            let left = given(&without);
            for (other, value) in &before {
                // What follows in a list moves up.
                let follows = path.iter().zip(other).find(|(one, other)| one != other);
                let in_list = |key: &str| key.bytes().all(|b| b.is_ascii_digit());
                numbers |= follows.is_some_and(|(one, other)| in_list(one) && in_list(other));
                if other != path && !numbers {
                    assert_eq!(left.get(other), Some(value), "{name} {path:?}");
                }
            }
            assert_eq!(remarks(&without), remarks(text), "{name} {path:?}");
            if path
                .iter()
                .any(|key| key.bytes().all(|b| b.is_ascii_digit()))
            {
                continue;
            }
            let again = after(&without, path, Change::Write(value));
            let again = again.unwrap_or_else(|why| panic!("{name} {path:?}: {why}\n{without}"));
            assert_eq!(given(&again), before, "{name} {path:?}");
        }
    });
}

#[test]
fn a_size_and_a_card_are_added_and_taken_out() {
    let text = &SPECS[0].1;
    let path = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<Vec<_>>()
    };
    let size = path(&["heater", "adapters", "6 IPS"]);
    let added = after(text, &size, Change::Open).unwrap();
    assert!(added.contains("2 IPS: {}, 6 IPS: {}}"), "{added}");
    assert_eq!(after(&added, &size, Change::Remove).unwrap(), *text);
    let gauge = path(&["tools", "depth_gauges", "6 IPS", "id"]);
    let added = after(text, &gauge, Change::Write("I-9")).unwrap();
    assert!(
        added.contains("\n    6 IPS: {id: I-9}\n  cold_rings:"),
        "{added}"
    );
    assert_eq!(after(&added, &gauge[..3], Change::Remove).unwrap(), *text);
    let issue = path(&["procedure", "revisions", "2", "date"]);
    let added = after(text, &issue, Change::Write("2026-12-01")).unwrap();
    assert!(
        added.contains("effective: 2026-10-01}\n    - {date: 2026-12-01}\n"),
        "{added}"
    );
    assert_eq!(after(&added, &issue[..3], Change::Remove).unwrap(), *text);
}

/// How a change looks in the text, way of writing by way of writing.
#[test]
fn a_change_is_the_smallest() {
    let cases: &[(&str, &[&str], Option<&str>, &str)] = &[
        // Quotes and remarks stay.
        (
            "heater:\n  step: \"2 °F\"  # read\n",
            &["heater", "step"],
            Some("3 °F"),
            "heater:\n  step: \"3 °F\"  # read\n",
        ),
        (
            "heater:\n  step: '2'\n",
            &["heater", "step"],
            Some("it's"),
            "heater:\n  step: \"it's\"\n",
        ),
        // A line at its place, with the margin of its group.
        (
            "heater:\n    set_point: 500 °F # x\n    swing: 4 °F\n",
            &["heater", "step"],
            Some("2 °F"),
            "heater:\n    set_point: 500 °F # x\n    step: 2 °F\n    swing: 4 °F\n",
        ),
        (
            "heater:\n  swing: 4 °F",
            &["heater", "set_point"],
            Some("500 °F"),
            "heater:\n  set_point: 500 °F\n  swing: 4 °F",
        ),
        (
            "heater:\n  step: 2 °F",
            &["heater", "swing"],
            Some("4 °F"),
            "heater:\n  step: 2 °F\n  swing: 4 °F",
        ),
        // A minus needs no quotes, a colon does.
        (
            "heater: {step: 2 °F}\n",
            &["heater", "face_offset"],
            Some("-2 °F"),
            "heater: {face_offset: -2 °F, step: 2 °F}\n",
        ),
        (
            "procedure: {title: a}\n",
            &["procedure", "title"],
            Some("a: b, c"),
            "procedure: {title: \"a: b, c\"}\n",
        ),
        // Groups that are not there yet.
        (
            "coldring: 1\n\ncycles: {}\n",
            &["heater", "face_check", "method"],
            Some("pyrometer"),
            "coldring: 1\n\nheater:\n  face_check: {method: pyrometer}\n\ncycles: {}\n",
        ),
        (
            "cycles: {}\n",
            &["cycles", "waits", "before_handling", "value"],
            Some("5 min"),
            "cycles:\n  waits: {before_handling: 5 min}\n",
        ),
        (
            "cycles:  # none\n  # yet\n",
            &["cycles", "change_over", "value"],
            Some("3 s"),
            "cycles:  # none\n  change_over: 3 s\n  # yet\n",
        ),
        (
            "# nothing\n",
            &["heater", "step"],
            Some("2 °F"),
            "# nothing\nheater:\n  step: 2 °F\n",
        ),
        // A value gets its source, one entry another.
        (
            "cycles: {change_over: 3 s}\n",
            &["cycles", "change_over", "source"],
            Some("Manual 4, 2"),
            "cycles: {change_over: {value: 3 s, source: \"Manual 4, 2\"}}\n",
        ),
        (
            "scope: {pipe: {sizes: 1 IPS}}\n",
            &["scope", "pipe", "0", "sizes", "1"],
            Some("2 IPS"),
            "scope: {pipe: {sizes: [1 IPS, 2 IPS]}}\n",
        ),
        (
            "scope: {pipe: {sizes: 1 IPS}}\n",
            &["scope", "pipe", "1", "sizes", "0"],
            Some("1 CTS"),
            "scope: {pipe: [{sizes: 1 IPS}, {sizes: 1 CTS}]}\n",
        ),
        // Out again.
        (
            "heater:\n  step: 2 °F  # read\n  swing: 4 °F\n",
            &["heater", "step"],
            None,
            "heater:\n  # read\n  swing: 4 °F\n",
        ),
        (
            "heater:\n  step: 2 °F\n",
            &["heater", "step"],
            None,
            "heater:\n  {}\n",
        ),
        (
            "tools:\n  stand: a\n  cutter: {largest: 1 IPS}\n",
            &["tools", "cutter", "largest"],
            None,
            "tools:\n  stand: a\n",
        ),
        (
            "a: 1\n\ncleaning: {agent: x}\n\ncycles: {}\n",
            &["cleaning", "agent"],
            None,
            "a: 1\n\ncycles: {}\n",
        ),
        (
            "procedure:\n  revisions:\n    - revision: 1\n      date: x\n",
            &["procedure", "revisions", "0", "revision"],
            None,
            "procedure:\n  revisions:\n    - date: x\n",
        ),
        (
            "references:\n  - a # x\n  - b\n",
            &["references", "1"],
            None,
            "references:\n  - a # x\n",
        ),
        (
            "references: [a, b, c]\n",
            &["references", "1"],
            None,
            "references: [a, c]\n",
        ),
    ];
    for (text, path, value, wanted) in cases {
        let path: Vec<_> = path.iter().map(|name| (*name).to_owned()).collect();
        let change = value.map_or(Change::Remove, Change::Write);
        assert_eq!(after(text, &path, change).as_deref(), Ok(*wanted), "{text}");
    }
}

#[test]
fn what_is_not_safe_is_left_to_the_text() {
    for (text, path) in [
        ("heater: &h {step: 2 °F}\ntools: *h\n", ["heater", "step"]),
        ("heater: &h\n  step: 2 °F\ntools: *h\n", ["heater", "step"]),
        ("heater: {step: &s 2 °F, swing: *s}\n", ["heater", "step"]),
        ("heater: {step: &s 2 °F, swing: *s}\n", ["heater", "swing"]),
        ("heater:\n  step: |\n    2 °F\n", ["heater", "step"]),
        ("heater:\n  step: [2 °F]\n", ["heater", "step"]),
        ("heater:\n  step: 1\n  step: 2\n", ["heater", "step"]),
        ("heater:\n  step: 2 °F\n   x: [\n", ["heater", "step"]),
        ("heater: 3\n", ["heater", "step"]),
        ("heater:\n  step: 2 °F\n", ["heater", "steps"]),
    ] {
        let path = path.map(str::to_owned);
        assert!(
            put(Kind::Spec, text, &path, Change::Write("3 °F")).is_err(),
            "{text}"
        );
    }
    let fixed = |text: &str| {
        let form = form(Kind::Spec, text);
        let heater = form
            .fields
            .into_iter()
            .find(|field| field.path == ["heater"])
            .unwrap();
        let Value::Group { fields } = heater.value else {
            panic!("a group");
        };
        let step = fields
            .into_iter()
            .find(|field| field.label == "Step")
            .unwrap();
        step.fixed
    };
    assert!(fixed("heater: {step: &s 2 °F, swing: *s}\n"));
    assert!(fixed("heater:\n  step: |\n    2 °F\n"));
    assert!(fixed("heater:\n  step: [2 °F]\n"));
    assert!(!fixed("heater:\n  step: 2 °F\n"));
    assert!(!form(Kind::Spec, "heater: [\n").readable);
}

#[test]
fn a_finding_is_told_at_its_field() {
    let text = "coldring: 1\nheater:\n  set_point: 900\n  adapters: {1 IPS: {depth: x}}\ncycles:\n  \
                change_over: 3 s\nscope:\n  pipe: {sizes: [1 IPS, y]}\nprocedure:\n  revisions:\n    \
                - {date: z}\n";
    let at = |words: &str, missing| {
        let start = text.find(words).unwrap();
        let place = Span::new(start, start + 1);
        let fields = fields_at(Kind::Spec, text, &[Some((place, missing))]);
        fields.concat().join(" ")
    };
    assert_eq!(at("900", None), "heater set_point");
    assert_eq!(at("set_point", None), "heater set_point");
    assert_eq!(at("heater", Some("heater.step")), "heater step");
    assert_eq!(at("heater", Some("heater.no_such")), "heater");
    assert_eq!(at("coldring", None), "coldring");
    assert_eq!(at("x}", None), "heater adapters 1 IPS depth");
    assert_eq!(at("1 IPS: {d", None), "heater adapters 1 IPS");
    assert_eq!(at("3 s", None), "cycles change_over value");
    assert_eq!(at("y]", None), "scope pipe 0 sizes 1");
    assert_eq!(
        at("{date", Some("procedure.revisions.revision")),
        "procedure revisions 0 revision"
    );
    // What is missing at the top is told at the first character.
    let top = fields_at(
        Kind::Spec,
        text,
        &[Some((Span::default(), Some("tools"))), None],
    );
    assert_eq!(top, [vec!["tools".to_owned()], vec![]]);
}

/// The questions that stand first.
#[test]
fn what_is_asked_of_every_spec_stands_first() {
    let form = form(Kind::Spec, "coldring: 1\n");
    let heater = form
        .fields
        .iter()
        .find(|field| field.path == ["heater"])
        .unwrap();
    let Value::Group { fields } = &heater.value else {
        panic!("a group");
    };
    let asked: Vec<_> = fields.iter().filter(|field| field.asked).collect();
    let asked: Vec<_> = asked.iter().map(|field| field.label.as_str()).collect();
    assert_eq!(
        asked,
        [
            "Set point",
            "Face offset",
            "Step",
            "Swing",
            "Face check",
            "Adapters"
        ]
    );
    let names = |path: &str| {
        form.fields
            .iter()
            .find(|field| field.path == [path])
            .unwrap()
            .asked
    };
    assert!(names("procedure") && names("scope") && names("cleaning"));
    assert!(!names("documents") && !names("references"));
    let Value::Single { offer, .. } = &fields[0].value else {
        panic!("one value");
    };
    assert_eq!(
        (offer.units, offer.choices, offer.open),
        ("°F or °C", None, true)
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is typed into a field stays a value.
    #[test]
    fn a_hostile_text_is_data(
        value in "[-a-c:{}\\[\\]&*!|>'\"#%@` \n\r\t\u{0}\u{85}\u{2028}\u{202e}é°,0-9.~]{1,40}",
        spec in 0..4usize,
    ) {
        let text = &SPECS[spec].1;
        let before = given(text);
        for path in [
            &["procedure", "title"][..],
            &["heater", "face_check", "accuracy"],
            &["tools", "stand"],
            &["references", "0"],
            &["cycles", "waits", "before_handling", "source"],
            &["least_wall", "source"],
        ] {
            let path: Vec<_> = path.iter().map(|name| (*name).to_owned()).collect();
            let changed = after(text, &path, Change::Write(&value)).unwrap();
            let mut read = given(&changed);
            let mut others = before.clone();
            others.remove(&path);
            prop_assert_eq!(read.remove(&path).map(|it| it.0), Some(value.clone()));
            prop_assert_eq!(read, others);
        }
    }

    /// A key of a size is data too.
    #[test]
    fn a_hostile_key_is_data(key in "[-a-c:{}\\[\\]&*!|>'\"#%@ é°,0-9.~]{1,20}") {
        let text = &SPECS[0].1;
        let path = ["heater", "adapters", &key, "depth"].map(str::to_owned);
        let changed = after(text, &path, Change::Write("1 in")).unwrap();
        let read = given(&changed).remove(&path[..]);
        prop_assert_eq!(read.map(|it| it.0), Some("1 in".to_owned()));
    }

    /// Whatever the text is, a change of it is refused or right.
    #[test]
    fn no_text_is_broken(text in "(heater|tools|cycles)?: ?[-a-c:{}\\[\\]&*!|>'\"#%@ \né°,0-9.]{0,40}", value in "[a-c:# {,]{0,6}") {
        let path = ["heater", "step"].map(str::to_owned);
        for change in [Change::Write(&value), Change::Remove] {
            if let Ok(changed) = after(&text, &path, change) {
                prop_assert!(form(Kind::Spec, &changed).readable);
            }
        }
    }
}

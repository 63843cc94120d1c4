//! The rooms of `src`, in the order in which `src/lib.rs` lists them: each uses only
//! those before it. A process is a folder whose stages are rooms of their own. Within a room no two files use each other, by whatever way
//! around. A `use` of a module's own children counts as part of declaring them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use regex::Regex;

use crate::support::{path, read};

/// The rooms, in the order of the table at the head of `src/lib.rs`.
fn rooms() -> Vec<String> {
    let row = Regex::new(r"(?m)^//! \| \[?`([\w:]+)`\]? \|").unwrap();
    let text = read("src/lib.rs");
    row.captures_iter(&text).map(|c| c[1].to_owned()).collect()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let (folders, files): (Vec<_>, Vec<_>) = entries.partition(|path| path.is_dir());
    let below = folders.iter().flat_map(|folder| self::files(folder));
    files.into_iter().chain(below).collect()
}

/// The path of a module as code writes it, part by part.
type Module = Vec<String>;

/// Every module with its code: without comments, without unit tests.
fn modules() -> BTreeMap<Module, String> {
    let root = path("src");
    let code = |file: &Path| {
        let text = fs::read_to_string(file).unwrap();
        let (code, _) = text.split_once("#[cfg(test)]\nmod ").unwrap_or((&text, ""));
        let lines = code.lines();
        let lines = lines.filter(|line| !line.trim_start().starts_with("//"));
        lines.collect::<Vec<_>>().join("\n")
    };
    let module = |file: &Path| {
        let name = file.strip_prefix(&root).unwrap().with_extension("");
        let parts = name.iter().map(|part| part.to_string_lossy().into_owned());
        let mut parts: Vec<_> = parts.collect();
        if parts.last().is_some_and(|last| last == "mod") {
            parts.pop();
        }
        parts
    };
    let files = files(&root).into_iter();
    files
        .filter(|file| file.extension().is_some_and(|e| e == "rs"))
        // Files of tests alone may use anything.
        .filter(|file| !file.to_string_lossy().contains("tests"))
        .map(|file| (module(&file), code(&file)))
        .filter(|(module, _)| *module != ["lib"])
        .collect()
}

/// The paths in a `use`, its braces multiplied out.
fn paths(tree: &str) -> Vec<String> {
    let Some((head, inner)) = tree.split_once('{') else {
        let path = tree.split(" as ").next().unwrap_or_default();
        return vec![path.trim().to_owned()];
    };
    let inner = inner.trim_end().strip_suffix('}').unwrap();
    let (mut parts, mut depth) = (vec![String::new()], 0);
    for c in inner.chars() {
        depth += i32::from(c == '{') - i32::from(c == '}');
        match c {
            ',' if depth == 0 => parts.push(String::new()),
            c => parts.last_mut().unwrap().push(c),
        }
    }
    let parts = parts.iter().filter(|part| !part.trim().is_empty());
    let tails = parts.flat_map(|part| paths(part));
    tails.map(|tail| format!("{}{tail}", head.trim())).collect()
}

/// The modules that a module's code uses.
fn used(module: &Module, code: &str, all: &BTreeMap<Module, String>) -> BTreeSet<Module> {
    let uses = Regex::new(r"\buse ((?:crate|super|self)\b[^;]*);").unwrap();
    let inline = Regex::new(r"\b(?:crate|super)(?:::\w+)+").unwrap();
    let rest = uses.replace_all(code, "");
    let trees = uses.captures_iter(code).flat_map(|c| paths(&c[1]));
    let named = inline
        .find_iter(&rest)
        .map(|found| found.as_str().to_owned());
    let target = |path: String| {
        let mut at = module.clone();
        let mut parts = path.split("::").map(str::trim).peekable();
        if parts.next_if_eq(&"crate").is_some() {
            at.clear();
        }
        let _ = parts.next_if_eq(&"self");
        while parts.next_if_eq(&"super").is_some() {
            at.pop();
        }
        for part in parts {
            at.push(part.to_owned());
            if !all.contains_key(&at) {
                at.pop();
                break;
            }
        }
        at
    };
    let mut targets: BTreeSet<_> = trees.chain(named).map(target).collect();
    targets.remove(module);
    targets
}

fn arrows() -> BTreeMap<Module, BTreeSet<Module>> {
    let all = modules();
    let of = |(module, code): (&Module, &String)| (module.clone(), used(module, code, &all));
    all.iter().map(of).collect()
}

#[test]
fn no_room_uses_one_that_comes_after_it() {
    let rooms = rooms();
    // The room of a module is the longest row that it lies in.
    let place = |module: &Module| {
        let path = module.join("::");
        let lies_in = |room: &String| path == *room || path.starts_with(&format!("{room}::"));
        let found = rooms.iter().enumerate().filter(|(_, room)| lies_in(room));
        let longest = found.max_by_key(|(_, room)| room.len());
        longest.map(|(place, _)| place)
    };
    let (mut backward, mut count) = (Vec::new(), 0);
    for (module, used) in arrows() {
        for used in used.iter().filter(|used| !used.is_empty()) {
            count += 1;
            match (place(&module), place(used)) {
                (Some(at), Some(other)) if other <= at => {}
                _ => backward.push(format!("{}: {}", module.join("::"), used.join("::"))),
            }
        }
    }
    assert!(rooms.len() > 10 && count > 500, "{rooms:?}: {count}");
    assert!(backward.is_empty(), "{}", backward.join("\n"));
}

/// What can be reached from a module, by one arrow or more.
fn reached(from: &Module, arrows: &BTreeMap<Module, BTreeSet<Module>>) -> BTreeSet<Module> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from];
    while let Some(module) = open.pop() {
        for next in arrows.get(module).into_iter().flatten() {
            if reached.insert(next.clone()) {
                open.push(next);
            }
        }
    }
    reached
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    let arrows = arrows();
    let circled: Vec<_> = arrows
        .keys()
        .filter(|module| reached(module, &arrows).contains(*module))
        .map(|module| module.join("::"))
        .collect();
    assert!(circled.is_empty(), "{}", circled.join("\n"));
}

#[test]
fn a_use_is_read_as_the_compiler_reads_it() {
    assert_eq!(
        paths("super::{a::{B, c::D as E}, f}"),
        ["super::a::B", "super::a::c::D", "super::f"]
    );
    let module = |path: &str| path.split("::").map(str::to_owned).collect::<Module>();
    let all = ["x", "x::y", "x::z", "w"].map(|path| (module(path), String::new()));
    let all = BTreeMap::from(all);
    let code = "use super::z::{T, self};\nfn f() { crate::w::g() }\nuse serde::Serialize;";
    let used = used(&module("x::y"), code, &all);
    assert_eq!(used, BTreeSet::from([module("x::z"), module("w")]));
    let pair = |from, to| (module(from), BTreeSet::from([module(to)]));
    let circle = BTreeMap::from([pair("a", "b"), pair("b", "c"), pair("c", "b")]);
    assert!(!reached(&module("a"), &circle).contains(&module("a")));
    assert!(reached(&module("b"), &circle).contains(&module("b")));
}

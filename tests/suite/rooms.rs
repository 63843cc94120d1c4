//! The rooms of `src`, in the order in which `src/lib.rs` lists them: each uses only
//! those before it.

use std::fs;
use std::path::{Path, PathBuf};

use regex::Regex;

use crate::support::{path, read};

/// The rooms, in the order of the table at the head of `src/lib.rs`.
fn rooms() -> Vec<String> {
    let row = Regex::new(r"(?m)^//! \| \[`(\w+)`\]").unwrap();
    let text = read("src/lib.rs");
    row.captures_iter(&text).map(|c| c[1].to_owned()).collect()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let (folders, files): (Vec<_>, Vec<_>) = entries.partition(|path| path.is_dir());
    let below = folders.iter().flat_map(|folder| self::files(folder));
    files.into_iter().chain(below).collect()
}

/// What a file uses of the crate, without its comments and its unit tests.
fn used(text: &str) -> Vec<String> {
    let of_crate = Regex::new(r"\bcrate::(\w+)").unwrap();
    let (code, _) = text.split_once("#[cfg(test)]\nmod ").unwrap_or((text, ""));
    let lines = code
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    let code = lines.collect::<Vec<_>>().join("\n");
    of_crate
        .captures_iter(&code)
        .map(|c| c[1].to_owned())
        .collect()
}

#[test]
fn no_room_uses_one_that_comes_after_it() {
    let rooms = rooms();
    let place = |room: &str| rooms.iter().position(|known| known == room);
    let (mut backward, mut arrows) = (Vec::new(), 0);
    for (at, room) in rooms.iter().enumerate() {
        let of_room = files(&path(&format!("src/{room}")));
        let code = of_room
            .iter()
            .filter(|file| file.extension().is_some_and(|e| e == "rs"));
        // Files of tests alone may use any room.
        for file in code.filter(|file| !file.to_string_lossy().contains("tests")) {
            for used in used(&fs::read_to_string(file).unwrap()) {
                arrows += 1;
                match place(&used) {
                    Some(other) if other <= at => {}
                    _ => backward.push(format!("{}: {used}", file.display())),
                }
            }
        }
    }
    assert!(rooms.len() > 10 && arrows > 500, "{rooms:?}: {arrows}");
    assert!(backward.is_empty(), "{}", backward.join("\n"));
}

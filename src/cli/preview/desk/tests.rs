use tempfile::TempDir;

use super::*;

fn desk(text: &str) -> (TempDir, Desk) {
    let folder = TempDir::new().unwrap();
    let spec = folder.path().join("a b.yaml");
    fs::write(&spec, text).unwrap();
    let desk = Desk::new(&PreviewArguments {
        spec,
        port: 0,
        house: None,
        as_of: None,
    });
    (folder, desk)
}

fn is_changed(saved: Result<OnDisk, NotDone>) -> OnDisk {
    match saved {
        Err(NotDone::Changed(file)) => file,
        other => panic!("{other:?}"),
    }
}

#[test]
fn only_the_state_that_was_seen_is_written_over() {
    let (_folder, desk) = desk("one");
    let seen = desk.read().digest;
    let saved = desk.save("two", seen.as_deref()).unwrap();
    assert_eq!(saved.text.as_deref(), Some("two"));
    let now = is_changed(desk.save("three", seen.as_deref()));
    assert_eq!(now, saved);
    assert_eq!(fs::read(&desk.spec).unwrap(), b"two");
    // Whoever has seen what is there now may.
    desk.save("three", now.digest.as_deref()).unwrap();
    assert_eq!(fs::read(&desk.spec).unwrap(), b"three");
}

#[test]
fn a_file_that_is_gone_is_told_and_made_again_only_by_who_knows() {
    let (_folder, desk) = desk("one");
    let seen = desk.read().digest;
    fs::remove_file(&desk.spec).unwrap();
    let gone = is_changed(desk.save("two", seen.as_deref()));
    assert_eq!((gone.text, gone.digest), (None, None));
    assert!(!desk.spec.exists());
    desk.save("two", None).unwrap();
    assert_eq!(fs::read(&desk.spec).unwrap(), b"two");
}

#[test]
fn what_cannot_be_read_is_not_written_over() {
    let (_folder, desk) = desk("x");
    let long = "x".repeat(budget::SPEC.bytes + 1);
    fs::write(&desk.spec, &long).unwrap();
    assert_eq!(desk.read().digest, None);
    match desk.save("two", None) {
        Err(NotDone::Failed(why)) => assert!(why.contains("more than"), "{why}"),
        other => panic!("{other:?}"),
    }
    assert_eq!(fs::read(&desk.spec).unwrap(), long.as_bytes());
}

#[test]
fn a_file_that_is_for_reading_only_stays_as_it_is() {
    let (folder, desk) = desk("one");
    let mut rights = fs::metadata(&desk.spec).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&desk.spec, rights).unwrap();
    let seen = desk.read().digest;
    match desk.save("two", seen.as_deref()) {
        Err(NotDone::Failed(why)) => assert!(why.contains("permission denied"), "{why}"),
        other => panic!("{other:?}"),
    }
    assert_eq!(fs::read(&desk.spec).unwrap(), b"one");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn bytes_are_kept_as_they_are() {
    let text = "\u{feff}a: 1\r\nb: é\r\n";
    let (_folder, desk) = desk("x");
    let seen = desk.read().digest;
    let saved = desk.save(text, seen.as_deref()).unwrap();
    assert_eq!(fs::read(&desk.spec).unwrap(), text.as_bytes());
    assert_eq!(saved.text.as_deref(), Some(text));
}

#[test]
fn what_is_no_text_is_told_and_kept() {
    let (_folder, desk) = desk("x");
    fs::write(&desk.spec, b"a: \xff").unwrap();
    let file = desk.read();
    assert_eq!(file.text, None);
    assert!(file.digest.is_some() && file.why.is_some(), "{file:?}");
}

#[test]
fn a_copy_stands_beside_and_replaces_nothing() {
    let (folder, desk) = desk("theirs");
    let first = desk.copy("mine").unwrap();
    let second = desk.copy("mine too").unwrap();
    assert!(first.ends_with("/a b-copy.yaml"), "{first}");
    assert!(second.ends_with("/a b-copy-2.yaml"), "{second}");
    let read = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    assert_eq!(read("a b.yaml"), "theirs");
    assert_eq!(read("a b-copy.yaml"), "mine");
    assert_eq!(read("a b-copy-2.yaml"), "mine too");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn no_more_is_written_than_a_spec_may_have() {
    let (_folder, desk) = desk("x");
    let long = "x".repeat(budget::SPEC.bytes + 1);
    let seen = desk.read().digest;
    assert!(matches!(
        desk.save(&long, seen.as_deref()),
        Err(NotDone::Failed(_))
    ));
    assert!(matches!(desk.copy(&long), Err(NotDone::Failed(_))));
    assert_eq!(fs::read(&desk.spec).unwrap(), b"x");
    assert!(desk.sources(&long).is_err());
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_and_rights_are_kept() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let (folder, mut desk) = desk("one");
    let real = desk.spec.clone();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o600)).unwrap();
    desk.spec = folder.path().join("link.yaml");
    symlink(&real, &desk.spec).unwrap();
    let seen = desk.read().digest;
    desk.save("two", seen.as_deref()).unwrap();
    assert!(fs::symlink_metadata(&desk.spec).unwrap().is_symlink());
    assert_eq!(fs::read(&real).unwrap(), b"two");
    let mode = fs::metadata(&real).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

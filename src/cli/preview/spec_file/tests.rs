use tempfile::TempDir;

use super::*;

fn spec_file(text: &str) -> (TempDir, SpecFile) {
    let folder = TempDir::new().unwrap();
    let spec = folder.path().join("a b.yaml");
    fs::write(&spec, text).unwrap();
    let spec_file = SpecFile::new(&PreviewArguments {
        spec,
        port: 0,
        house: None,
        as_of: None,
    });
    (folder, spec_file)
}

fn is_changed(saved: Result<FileState, FileError>) -> FileState {
    match saved {
        Err(FileError::Changed(file)) => file,
        other => panic!("{other:?}"),
    }
}

#[test]
fn only_the_state_that_was_seen_is_written_over() {
    let (_folder, spec_file) = spec_file("one");
    let seen = spec_file.read().digest;
    let saved = spec_file.save("two", seen.as_deref()).unwrap();
    assert_eq!(saved.text.as_deref(), Some("two"));
    let now = is_changed(spec_file.save("three", seen.as_deref()));
    assert_eq!(now, saved);
    assert_eq!(fs::read(&spec_file.spec).unwrap(), b"two");
    // Whoever has seen what is there now may.
    spec_file.save("three", now.digest.as_deref()).unwrap();
    assert_eq!(fs::read(&spec_file.spec).unwrap(), b"three");
}

#[test]
fn a_file_that_is_gone_is_told_and_made_again_only_by_who_knows() {
    let (_folder, spec_file) = spec_file("one");
    let seen = spec_file.read().digest;
    fs::remove_file(&spec_file.spec).unwrap();
    let gone = is_changed(spec_file.save("two", seen.as_deref()));
    assert_eq!((gone.text, gone.digest), (None, None));
    assert!(!spec_file.spec.exists());
    spec_file.save("two", None).unwrap();
    assert_eq!(fs::read(&spec_file.spec).unwrap(), b"two");
}

#[test]
fn what_cannot_be_read_is_not_written_over() {
    let (_folder, spec_file) = spec_file("x");
    let long = "x".repeat(budget::SPEC.bytes + 1);
    fs::write(&spec_file.spec, &long).unwrap();
    assert_eq!(spec_file.read().digest, None);
    match spec_file.save("two", None) {
        Err(FileError::Failed(why)) => assert!(why.contains("more than"), "{why}"),
        other => panic!("{other:?}"),
    }
    assert_eq!(fs::read(&spec_file.spec).unwrap(), long.as_bytes());
}

#[test]
fn a_file_that_is_for_reading_only_stays_as_it_is() {
    let (folder, spec_file) = spec_file("one");
    let mut rights = fs::metadata(&spec_file.spec).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&spec_file.spec, rights).unwrap();
    let seen = spec_file.read().digest;
    match spec_file.save("two", seen.as_deref()) {
        Err(FileError::Failed(why)) => assert!(why.contains("permission denied"), "{why}"),
        other => panic!("{other:?}"),
    }
    assert_eq!(fs::read(&spec_file.spec).unwrap(), b"one");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn bytes_are_kept_as_they_are() {
    let text = "\u{feff}a: 1\r\nb: é\r\n";
    let (_folder, spec_file) = spec_file("x");
    let seen = spec_file.read().digest;
    let saved = spec_file.save(text, seen.as_deref()).unwrap();
    assert_eq!(fs::read(&spec_file.spec).unwrap(), text.as_bytes());
    assert_eq!(saved.text.as_deref(), Some(text));
}

#[test]
fn what_is_no_text_is_told_and_kept() {
    let (_folder, spec_file) = spec_file("x");
    fs::write(&spec_file.spec, b"a: \xff").unwrap();
    let file = spec_file.read();
    assert_eq!(file.text, None);
    assert!(file.digest.is_some() && file.why.is_some(), "{file:?}");
}

#[test]
fn a_copy_stands_beside_and_replaces_nothing() {
    let (folder, spec_file) = spec_file("theirs");
    let first = spec_file.save_copy("mine").unwrap();
    let second = spec_file.save_copy("mine too").unwrap();
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
    let (_folder, spec_file) = spec_file("x");
    let long = "x".repeat(budget::SPEC.bytes + 1);
    let seen = spec_file.read().digest;
    assert!(matches!(
        spec_file.save(&long, seen.as_deref()),
        Err(FileError::Failed(_))
    ));
    assert!(matches!(
        spec_file.save_copy(&long),
        Err(FileError::Failed(_))
    ));
    assert_eq!(fs::read(&spec_file.spec).unwrap(), b"x");
    assert!(spec_file.sources(&long).is_err());
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_and_rights_are_kept() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let (folder, mut spec_file) = spec_file("one");
    let real = spec_file.spec.clone();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o600)).unwrap();
    spec_file.spec = folder.path().join("link.yaml");
    symlink(&real, &spec_file.spec).unwrap();
    let seen = spec_file.read().digest;
    spec_file.save("two", seen.as_deref()).unwrap();
    assert!(fs::symlink_metadata(&spec_file.spec).unwrap().is_symlink());
    assert_eq!(fs::read(&real).unwrap(), b"two");
    let mode = fs::metadata(&real).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

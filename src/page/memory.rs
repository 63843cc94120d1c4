//! The files that the page holds where there is no disk to read: those that were
//! opened, by their path. A spec reaches only what was opened with it.

use std::collections::BTreeMap;

use crate::core::finding::Finding;
use crate::core::source::{HouseFile, Source, Sources, Unavailable, stays_inside};
use crate::page::answers::oversized;
use crate::papers::house::rules::HOUSE_NOT_READ;
use crate::papers::house::{STYLE_FILE, house_files};
use crate::spec;

/// Files by path, with `/` between folders.
#[derive(Debug, Default)]
pub(crate) struct MemoryFiles(BTreeMap<String, Vec<u8>>);

impl MemoryFiles {
    pub(crate) fn put(&mut self, path: String, bytes: Vec<u8>) {
        self.0.insert(path, bytes);
    }

    pub(crate) fn clear(&mut self) {
        self.0.clear();
    }

    /// The text of the file at this path, which has at most so many bytes.
    ///
    /// # Errors
    /// Why it cannot be read, in words.
    pub(crate) fn text(&self, path: &str, most: usize) -> Result<Source, String> {
        let bytes = self.0.get(path);
        let bytes = bytes.ok_or_else(|| format!("{path} is not open here; open it again"))?;
        if bytes.len() > most {
            return Err(format!(
                "{path} has more than {most} bytes; check that the right file was opened"
            ));
        }
        let text = String::from_utf8(bytes.clone());
        let text = text.map_err(|_| {
            format!("{path} is not UTF-8; save it as UTF-8 in the editor, and open it again")
        })?;
        Ok(Source::new(path, text))
    }

    /// A text with the files it names and the house style, whose `house.yaml` is at the
    /// path `house`.
    ///
    /// # Errors
    /// The finding that a build would stop at.
    pub(crate) fn sources(
        &self,
        path: &str,
        text: &str,
        house: Option<&str>,
    ) -> Result<Sources, (Box<Sources>, Box<Finding>)> {
        if let Some(finding) = oversized(text) {
            return Err((Box::new(Source::new(path, "").into()), Box::new(finding)));
        }
        let included = spec::included(text).into_iter();
        let sources = included.fold(
            Sources::from(Source::new(path, text)),
            |sources, (role, named)| sources.with(role, self.included(folder_of(path), &named)),
        );
        let Some(house) = house else {
            return Ok(sources);
        };
        match self.house(folder_of(house)) {
            Ok(files) => Ok(sources.in_house(files)),
            Err(message) => {
                let finding = HOUSE_NOT_READ.about_file(message);
                Err((Box::new(sources), Box::new(finding)))
            }
        }
    }

    fn house(&self, folder: &str) -> Result<Vec<HouseFile>, String> {
        let read = |named: &str| Ok(self.find(folder, named)?.1.to_vec());
        let files = house_files(folder, read);
        match files.first() {
            Some(style) if !style.source.text.is_empty() => Ok(files),
            _ => Err(format!(
                "{STYLE_FILE} is not open here, is empty, or is not UTF-8; open it again"
            )),
        }
    }

    fn included(&self, folder: &str, named: &str) -> Result<Source, Unavailable> {
        let (path, bytes) = self.find(folder, named)?;
        let text = String::from_utf8(bytes.to_vec())
            .map_err(|_| Unavailable::Unreadable("it is not UTF-8".to_owned()))?;
        Ok(Source::new(path, text))
    }

    /// A file that is named from a folder, and its path. Browsers open files without
    /// their folders, so one that is nowhere else is found by its name alone.
    fn find(&self, folder: &str, named: &str) -> Result<(String, &[u8]), Unavailable> {
        if !stays_inside(named) {
            return Err(Unavailable::Outside);
        }
        let parts = named.split('/').filter(|part| !matches!(*part, "" | "."));
        let named = parts.collect::<Vec<_>>().join("/");
        let path = join(folder, &named);
        if let Some(bytes) = self.0.get(&path) {
            return Ok((path, bytes));
        }
        let last = |path: &str| path.rsplit('/').next().map(str::to_owned);
        let mut same_name = self.0.iter().filter(|(is, _)| last(is) == last(&named));
        match (same_name.next(), same_name.next()) {
            (Some((_, bytes)), None) => Ok((path, bytes)),
            _ => Err(Unavailable::Unreadable(
                "it is not open here; open it together with the spec".to_owned(),
            )),
        }
    }
}

fn folder_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

fn join(folder: &str, named: &str) -> String {
    match folder {
        "" => named.to_owned(),
        folder => format!("{folder}/{named}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(paths: &[&str]) -> MemoryFiles {
        let mut files = MemoryFiles::default();
        for path in paths {
            files.put((*path).to_owned(), path.as_bytes().to_vec());
        }
        files
    }

    #[test]
    fn a_file_is_found_by_its_path_and_else_by_a_name_that_is_there_once() {
        let found = |open: &[&str], folder: &str, named: &str| {
            let files = files(open);
            let found = files.find(folder, named);
            found.map(|(path, bytes)| (path, String::from_utf8(bytes.to_vec()).unwrap()))
        };
        let pair = |path: &str, bytes: &str| Ok((path.to_owned(), bytes.to_owned()));
        let open = ["a/records/r.yaml", "r.yaml"];
        let path = "a/records/r.yaml";
        assert_eq!(found(&open, "a", "records/r.yaml"), pair(path, path));
        assert_eq!(found(&open, "a", "./records//r.yaml"), pair(path, path));
        assert_eq!(
            found(&["r.yaml"], "a", "records/r.yaml"),
            pair(path, "r.yaml")
        );
        // Twice, or not at all.
        for open in [&["b/r.yaml", "r.yaml"][..], &["s.yaml"]] {
            let missing = found(open, "a", "records/r.yaml");
            assert!(
                matches!(missing, Err(Unavailable::Unreadable(_))),
                "{open:?}"
            );
        }
        for outside in ["../r.yaml", "/r.yaml", "C:\\r.yaml"] {
            assert_eq!(found(&open, "a", outside), Err(Unavailable::Outside));
        }
    }
}

//! The files of the page, as `coldring preview` serves them. `tests/package/page`
//! makes one HTML file of the same, with an `engine.js` of its own.

/// A file that the page loads.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PageFile {
    /// The name that the page loads it by.
    pub(crate) name: &'static str,
    /// Its type, as HTTP calls it.
    pub(crate) kind: &'static str,
    pub(crate) text: &'static str,
}

const fn file(name: &'static str, kind: &'static str, text: &'static str) -> PageFile {
    PageFile { name, kind, text }
}

const IMAGE: &str = "image/svg+xml";
const SCRIPT: &str = "text/javascript; charset=utf-8";
/// The type of a style sheet.
pub(crate) const STYLE: &str = "text/css; charset=utf-8";

/// The page itself.
pub(crate) const HTML: &str = include_str!("web/index.html");

/// What it loads.
pub(crate) const FILES: &[PageFile] = &[
    file("mark.svg", IMAGE, include_str!("web/mark.svg")),
    file("fonts.css", STYLE, include_str!("web/fonts.css")),
    file("preview.css", STYLE, include_str!("web/preview.css")),
    file("editor.css", STYLE, include_str!("web/editor.css")),
    file("outline.css", STYLE, include_str!("web/outline.css")),
    file("findings.css", STYLE, include_str!("web/findings.css")),
    file("form.css", STYLE, include_str!("web/form.css")),
    file("preview.js", SCRIPT, include_str!("web/preview.js")),
    file("engine.js", SCRIPT, include_str!("web/engine-http.js")),
    file("failure.js", SCRIPT, include_str!("web/failure.js")),
    file("editor.js", SCRIPT, include_str!("web/editor.js")),
    file("outline.js", SCRIPT, include_str!("web/outline.js")),
    file("findings.js", SCRIPT, include_str!("web/findings.js")),
    file("edits.js", SCRIPT, include_str!("web/edits.js")),
    file("form.js", SCRIPT, include_str!("web/form.js")),
    file("fields.js", SCRIPT, include_str!("web/fields.js")),
    file("pages.js", SCRIPT, include_str!("web/pages.js")),
    file("scale.js", SCRIPT, include_str!("web/scale.js")),
    file("file.js", SCRIPT, include_str!("web/file.js")),
    file("fold.js", SCRIPT, include_str!("web/fold.js")),
    file("side.js", SCRIPT, include_str!("web/side.js")),
    file("storage.js", SCRIPT, include_str!("web/storage-browser.js")),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_engine_of_the_page_talks_to_the_program() {
        let scripts = FILES.iter().filter(|file| file.kind == SCRIPT);
        let asks = [
            "fetch(",
            "XMLHttpRequest",
            "WebSocket",
            "EventSource",
            "picture/",
        ];
        let talk = scripts.filter(|file| asks.iter().any(|ask| file.text.contains(ask)));
        let names: Vec<_> = talk.map(|file| file.name).collect();
        assert_eq!(names, ["engine.js"]);
    }

    /// A script that is not served would leave the page dead.
    #[test]
    fn every_script_that_is_imported_is_served() {
        for file in FILES {
            for import in { file.text.lines() }.filter(|line| line.starts_with("import ")) {
                let from = import.split('"').nth(1).unwrap_or(import);
                let served = |other: &PageFile| from.strip_prefix("./") == Some(other.name);
                assert!(FILES.iter().any(served), "{}: {import}", file.name);
            }
        }
    }
}

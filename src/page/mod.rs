//! The page that edits a spec, shows what is wrong with it, and shows its papers.
//!
//! One page has two engines: `coldring preview` answers it over HTTP, and in
//! `coldring.html` a worker with this library as WebAssembly does. They differ in
//! one file of the page, `engine.js`; all the others are the same.
//!
//! | file | holds |
//! |---|---|
//! | `web/` | the files of the page |
//! | `files` | the list of those that are served |
//! | `messages` | what the page and its engine send each other, as JSON |
//! | `answers` | why a rule exists, what a field is for, the form of a text and its changes |

pub(crate) mod answers;
pub(crate) mod files;
pub(crate) mod messages;

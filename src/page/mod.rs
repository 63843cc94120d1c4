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
//! | `answers` | why a rule exists, what a field is for, the form of a text and its changes, one paper, a spec to start from |
//! | `memory` | the files that a page without a disk holds |
//! | `module` | what the worker asks of the module: one entry, one function each |
//! | `exports` | what WebAssembly shows of the module |

mod answers;
#[cfg(target_family = "wasm")]
mod exports;
pub(crate) mod files;
mod memory;
pub(crate) mod messages;
pub mod module;

pub(crate) use answers::{FieldRequest, describe, form, one_paper, oversized, why, write_field};

//! coldring compiles a socket-fusion procedure, written once as YAML, into the
//! papers a crew works from. The rooms, in the order that a spec travels:
//!
//! | room | holds |
//! |---|---|
//! | [`core`] | quantities as types, sizes, places in a text, findings, digests, bounds, the sandbox protocol |
//! | [`process::socket::practice`] | what each practice of socket fusion knows: units, tools, cycle, words |
//! | [`published`] | embedded tables → published numbers with id, basis and source |
//! | [`spec`] | text → typed spec; every value keeps its place and its digits |
//! | [`procedure`] | spec + published numbers → joints, records, comparison, plan, every number listed |
//! | [`process::socket::heat`] | a joint → thermal estimate, and the advice made from it |
//! | [`rules`] | procedure → findings |
//! | `process::socket::rules` | the rules for socket fusion alone |
//! | [`people`] | rosters, wallet cards and submittals → who is qualified for what until when |
//! | [`proof`] | what a paper says of itself → signed text, QR code; and back |
//! | `papers::fonts` | the embedded fonts, and how wide a line is in them |
//! | [`papers::sheets`] | procedure → the data of each paper, as far as all processes share it |
//! | [`process::socket::sheets`] | the data of the papers of socket fusion |
//! | [`process`] | the list of processes; a process is a folder, and stands in this order stage by stage |
//! | [`papers`] | house style, typesetting, and the whole way for one spec |
//! | [`verify`] | a paper, read back → what its signed code proves |
//! | `batch` | one part of a batch; the manifests of the parts → one list |
//! | [`authoring`] | JSON Schemas, starters, forms, the index of all rules |
//! | [`page`] | the page that edits a spec: its files, and what it and its engine tell each other |
//! | [`cli`] | arguments → exit code; the only place that prints, reads the clock or touches files |
//!
//! An arrow only points up: each room uses those above it, and a test reads the
//! `use` lines. [`papers::compile`] is the whole way for one spec, bytes in and
//! bytes out. What is public is what a caller of that, or a test from outside,
//! hands in or gets back; all else is `pub(crate)`, so that the compiler names
//! what nobody uses.

#![cfg_attr(
    test,
    allow(
        clippy::expect_used,
        clippy::indexing_slicing,
        clippy::string_slice,
        clippy::unwrap_used,
        reason = "a test ends where something is not as it says"
    )
)]
// The page has no command line, which alone uses some of what is here.
#![cfg_attr(target_family = "wasm", allow(dead_code, unused_imports))]

pub mod authoring;
mod batch;
#[cfg(not(target_family = "wasm"))]
pub mod cli;
pub mod core;
pub mod page;
pub mod papers;
pub mod people;
pub mod procedure;
pub mod process;
pub mod proof;
pub mod published;
pub mod rules;
pub mod spec;
pub mod verify;

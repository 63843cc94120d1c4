//! coldring compiles a socket-fusion procedure, written once as YAML, into the
//! papers a crew works from.
//!
//! | stage | in → out |
//! |---|---|
//! | [`budget`] | how much a file may have in it, by what it is |
//! | [`spec`] | text → typed spec; every value keeps its place and its digits |
//! | [`schema`] | the files that people write → JSON Schema, for their editors |
//! | [`limits`] | embedded tables → published figures with id, basis and source |
//! | [`confirm`] | limits + confirmations → the figures as somebody read them in an edition |
//! | [`resolve`] | spec + limits → the procedure, every figure sourced |
//! | [`heat`] | a joint → thermal estimate; physics only |
//! | [`record`] | procedure + its records → what each test came to, and the range they support |
//! | [`advice`] | procedure → thermal estimates of its joints |
//! | [`plan`] | procedure → how long joints take |
//! | [`check`] | procedure → findings |
//! | [`fusers`] | roster + rule sets + a day → who is qualified for what until when |
//! | [`compare`] | two revisions of a procedure → what differs, how it weighs, what has to be qualified again |
//! | [`submittal`] | file of a submittal, and the PDFs it attaches → what is submitted |
//! | [`wallet`] | standings + procedures → who gets which wallet card |
//! | [`proof`] | what a paper says of itself → signed text, QR code; and back |
//! | [`shard`], [`merge`] | batch → one part of it; manifests of the parts → one list |
//! | [`sheets`] | procedure → plain data for one paper |
//! | [`house`] | files of a house style → how papers look and read |
//! | [`typeset`] | sheet data + templates → PDF |
//! | [`verify`] | a paper, read back → what its signed code proves |
//! | [`cli`] | arguments → exit code; the only place that prints, reads the clock or touches files |
//!
//! An arrow only points down: each stage is a pure function of those above it.
//! [`compile`] is the whole way for one spec, bytes in and bytes out.

pub mod advice;
pub mod apart;
pub mod budget;
pub mod check;
pub mod cli;
pub mod compare;
pub mod compile;
pub mod confirm;
pub mod digest;
pub mod finding;
pub mod fusers;
pub mod heat;
pub mod house;
pub mod language;
pub mod limits;
pub mod merge;
pub mod parallel;
pub mod pdf_parts;
pub mod plan;
pub mod proof;
pub mod record;
pub mod resolve;
pub mod schema;
pub mod shard;
pub mod sheets;
pub mod show;
pub mod size;
pub mod source;
pub mod spec;
pub mod starter;
pub mod submittal;
pub mod typeset;
pub mod units;
pub mod verify;
pub mod wallet;

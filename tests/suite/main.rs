//! The end-to-end tests, one binary so that typst is linked once.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    unreachable_pub,
    reason = "a test ends where something is not as it says"
)]

mod archival;
mod cards;
mod change;
mod cli;
mod compare;
mod confirm;
mod corpus;
mod docs;
mod documents;
mod drawing;
mod edits;
mod escapes;
mod every_field;
mod every_limit;
mod families;
mod faults;
mod figures;
mod figures_drawn;
mod first_page;
mod fit;
mod fusers;
mod gallery;
mod heat;
mod hostile;
mod house;
mod languages;
mod lettering;
mod lid;
mod limits;
mod metric;
mod newcomer;
mod no_joint;
mod output;
mod page;
mod pages;
mod papers;
mod pdf_parts;
mod pictures;
mod plan;
mod plausible;
mod preview;
mod proof;
mod records;
mod resolved;
mod rooms;
mod rules;
mod said;
mod sarif;
mod schema;
mod second_units;
mod shard;
mod shell;
mod show;
mod slips;
mod sources;
mod spelled;
mod strips;
mod submittal;
mod support;
mod tables;
mod tour;
mod unchanged;
mod wallet;
mod watch;
mod wild;
mod withheld;

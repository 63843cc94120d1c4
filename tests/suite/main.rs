//! The end-to-end tests, one binary so that typst is linked once.

mod cli;
mod confirm;
mod drawing;
mod figures;
mod fit;
mod heat;
mod hostile;
mod limits;
mod metric;
mod output;
mod papers;
mod plan;
mod rules;
mod strips;
mod support;
mod wild;
mod withheld;

//! The end-to-end tests, one binary so that typst is linked once.

mod cli;
mod drawing;
mod figures;
mod hostile;
mod output;
mod papers;
mod rules;
mod strips;
mod support;
mod wild;
mod withheld;

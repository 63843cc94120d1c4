//! The end-to-end tests, one binary so that typst is linked once.

mod archival;
mod cards;
mod cli;
mod confirm;
mod drawing;
mod figures;
mod figures_drawn;
mod fit;
mod fusers;
mod gallery;
mod heat;
mod hostile;
mod house;
mod languages;
mod lettering;
mod limits;
mod metric;
mod output;
mod papers;
mod plan;
mod records;
mod rules;
mod strips;
mod support;
mod wild;
mod withheld;

//! Earlier revisions of a submitted procedure: whether specimens made under them
//! count for the submitted one.

use super::Binder;
use super::faults::not_read;
use crate::core::digest;
use crate::core::finding::{Finding, Severity};
use crate::core::source::Sources;
use crate::papers::compile::earlier::Earlier;
use crate::papers::compile::{Checked, ParsedInputs, identity};
use crate::people::fusers::Revisions;
use crate::people::submittal::{EnclosedProcedure, NamedProcedure, rules};
use crate::published::library;
use crate::spec::Spec;

impl Binder {
    /// Which revisions of a procedure still count.
    pub(super) fn previous(
        &mut self,
        named: &NamedProcedure,
        given: &EnclosedProcedure,
        sources: &Sources,
        spec: &Spec,
    ) -> Revisions {
        let mut revisions = Revisions::from_spec(spec, library());
        let read = ParsedInputs::read(sources, &[]);
        let Some(procedure) = read.procedure() else {
            return revisions;
        };
        let mut of_later = Vec::new();
        for (named, given) in named.previous.iter().zip(&given.previous) {
            let earlier = match given {
                Ok(earlier) => earlier,
                Err(why) => {
                    self.findings.push(not_read(named, why));
                    continue;
                }
            };
            let read = Earlier::read(earlier, self.as_of);
            let (checked, found) = read.compare_with(sources, &procedure, &mut revisions);
            of_later.extend(found);
            if !checked.findings.is_empty() {
                self.findings.push(
                    rules::SUBMITTED_PROCEDURE_HAS_ERRORS
                        .at(named.span, format!("'{}' has errors", named.value))
                        .help("fix what is said of it above, or take it out of the submittal"),
                );
                self.file_findings.push((earlier.clone(), checked));
            }
        }
        let is_error = |finding: &Finding| finding.severity() == Severity::Error;
        if of_later.iter().any(is_error) {
            self.findings.push(
                rules::SUBMITTED_PROCEDURE_HAS_ERRORS
                    .at(
                        named.spec.span,
                        format!(
                            "'{}' does not follow from its earlier revision",
                            named.spec.value
                        ),
                    )
                    .help("fix what is said of it above"),
            );
            let checked = Checked {
                identity: Some(identity(spec)),
                spec_digest: digest::spec_digest(sources),
                findings: of_later,
            };
            self.file_findings.push((sources.clone(), checked));
        }
        revisions
    }
}

//! Compares an earlier revision's spec with the current one, to decide whether
//! specimens made under it still count.

use chrono::NaiveDate;

use super::{Checked, ParsedInputs, check_inputs};
use crate::core::digest;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{FileId, Role, Sources, Span};
use crate::people::fusers::Revisions;
use crate::procedure::compare::{self, Change, Fusers, Input, rules};
use crate::procedure::resolve::Procedure;
use crate::published::library;

pub(super) struct Earlier<'a> {
    sources: &'a Sources,
    inputs: ParsedInputs,
    checked: Checked,
}

impl<'a> Earlier<'a> {
    /// Reads the spec. Only findings that keep it from being read are reported,
    /// because it is no longer in effect.
    pub(crate) fn read(sources: &'a Sources, as_of: NaiveDate) -> Self {
        let inputs = ParsedInputs::read(sources, &[]);
        let mut checked = check_inputs(sources, &inputs, inputs.procedure().as_ref(), None, as_of);
        let keeps = |finding: &Finding| inputs.unread && finding.severity() == Severity::Error;
        checked.findings.retain(keeps);
        Self {
            sources,
            inputs,
            checked,
        }
    }

    /// Its procedure number, if it could be read.
    pub(crate) fn number(&self) -> Option<&str> {
        let spec = self.inputs.spec.as_ref().filter(|_| !self.inputs.unread)?;
        Some(spec.number.value.as_str())
    }

    /// The findings to report when no spec of its procedure was given.
    pub(crate) fn without_current(mut self) -> Checked {
        let number = self.inputs.spec.as_ref().map(|spec| &spec.number);
        if let Some(number) = number.filter(|_| !self.inputs.unread) {
            let message = format!("no spec of {} is given to compare it with", number.value);
            let finding = rules::COMPARED_WITH_OTHER_PROCEDURE.at(number.span, message);
            let help = "give the spec of the current revision too, or leave this one out";
            self.checked.findings.push(finding.help(help));
        }
        self.checked
    }

    /// Compares it with the current spec of its procedure and records the result
    /// in `revisions`. Returns the findings about it, and those about how the
    /// current spec follows it.
    pub(crate) fn compare_with(
        self,
        sources: &Sources,
        current: &Procedure<'_>,
        revisions: &mut Revisions,
    ) -> (Checked, Vec<Finding>) {
        let Some(earlier) = self.inputs.procedure().filter(|_| !self.inputs.unread) else {
            return (self.checked, Vec::new());
        };
        let mut checked = self.checked;
        let (Some((was, span)), Some((is, _))) = (revision(&earlier), revision(current)) else {
            return (checked, Vec::new());
        };
        let (number, other) = (&earlier.spec.number, &current.spec.number.value);
        if number.value != *other {
            let message = format!("this is {}, and the later spec is {other}", number.value);
            let finding = rules::COMPARED_WITH_OTHER_PROCEDURE
                .at(number.span, message)
                .help("give an earlier revision of the same procedure here");
            checked.findings.push(finding);
            return (checked, Vec::new());
        }
        if was >= is {
            let message = format!("this is revision {was}, and the current spec is revision {is}");
            let finding = rules::COMPARED_IN_REVERSE
                .at(span, message)
                .help("give the spec of an earlier revision here");
            checked.findings.push(finding);
            return (checked, Vec::new());
        }
        let [old_digest, new_digest] = [self.sources, sources].map(digest::spec_digest);
        let comparison = compare::compare(
            Input {
                procedure: &earlier,
                text: &self.sources.spec().text,
                digest: &old_digest,
            },
            Input {
                procedure: current,
                text: &sources.spec().text,
                digest: &new_digest,
            },
            library(),
        );
        let asks = |change: &&Change| change.rating.fusers == Fusers::Requalify;
        let again = comparison.changes.iter().filter(asks).map(rules::describe);
        revisions.add_compared(was, again.collect::<Vec<_>>().join("; "));
        // The current spec is reported without the earlier one among its sources,
        // so locations in the earlier one are dropped.
        let with_earlier = sources
            .clone()
            .with(Role::Earlier, Ok(self.sources.spec().clone()));
        let old_file = with_earlier
            .of_role(Role::Earlier)
            .map_or(FileId::SPEC, |(id, _)| id);
        let mut found = rules::check(&comparison, &earlier, current, old_file, library());
        for finding in &mut found {
            finding.related.retain(|related| related.file != old_file);
        }
        (checked, found)
    }
}

/// The number of a procedure's last revision and its location.
fn revision(procedure: &Procedure<'_>) -> Option<(u32, Span)> {
    let last = procedure.spec.revisions.last()?;
    Some((last.number.value, last.number.span))
}

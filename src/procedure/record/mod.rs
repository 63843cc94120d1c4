//! Procedure + its records → the result of each test by its cited criterion,
//! where a test joint departed from the procedure, and the sizes and walls the
//! joints support. The program compares numbers; it approves nothing.
//!
//! A joint counts if it was made by the numbers of the procedure as it is now
//! and it passed every test that has a criterion, both by the numbers and by
//! the witness. A joint of an earlier revision with a shorter hold or a longer
//! change-over was tested harder, and counts. Criteria were found for strap and
//! tensile tests only; any other test uses one that the record states with its
//! source. A record names people: it is part of the digests and never of a
//! procedure's papers, and `coldring forms` writes to a folder of its own.

mod criteria;
mod joint;
mod range;

pub(crate) use criteria::{Outcome, Verdict, test_name};
pub(crate) use joint::{Face, Fault, JudgedJoint, label};
pub(crate) use range::{BeyondTemperatures, Support, Uncovered};
pub use range::{Tested, support};

use crate::core::finding::Finding;
use crate::core::source::{FileId, Role, Source, Sources, Span, Unavailable};
use crate::procedure::unavailable::file_unavailable;
use crate::spec::Spec;
use crate::spec::record::{RecordFile, record};

/// The records a spec names.
#[derive(Debug, Clone, Default)]
pub struct Records {
    /// Records that could be read.
    pub files: Vec<RecordFile>,
    /// Findings about the files.
    pub findings: Vec<Finding>,
    /// Whether a file, or a value in one, could not be read.
    pub unread: bool,
}

/// Reads the records that a spec names.
pub fn records(spec: &Spec, sources: &Sources) -> Records {
    let mut records = Records::default();
    let mut files = sources.all_of_role(Role::Record);
    let named = spec.qualification.iter().flat_map(|q| &q.record_files);
    for path in named {
        match files.next().unwrap_or(Err(Unavailable::NotGiven)) {
            Ok((file, source)) => records.add(file, path.span, source),
            Err(why) => {
                records.findings.push(file_unavailable(
                    path,
                    &why,
                    "hand it over with the spec, or cite the record by number, date and revision",
                    "records/PQ-7.yaml",
                    "; until there is a record, take the line out",
                ));
                records.unread = true;
            }
        }
    }
    records
}

impl Records {
    /// Adds a record named at a place in the spec.
    pub(crate) fn add(&mut self, file: FileId, named_at: Span, source: &Source) {
        let (record, found) = record(&source.text);
        let whole = !found.iter().any(|finding| finding.rule.leaves_unread);
        self.unread |= !whole;
        let found = found.into_iter().map(|finding| finding.in_file(file));
        self.findings.extend(found);
        self.files.extend(record.map(|record| RecordFile {
            file,
            named_at,
            record,
            whole,
        }));
    }
}

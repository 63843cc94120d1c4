//! The folders of one run's papers: two specs of the same number and revision
//! would write theirs over each other.

use std::collections::BTreeMap;

use crate::core::finding::Finding;
use crate::papers::compile::Identity;
use crate::spec::rules;

/// Which spec each folder belongs to.
#[derive(Debug, Default)]
pub struct FolderClaims(BTreeMap<String, String>);

impl FolderClaims {
    /// Takes in the spec called `spec`; a finding where the folder of its papers
    /// belongs to an earlier one.
    pub fn claim(&mut self, identity: &Identity, spec: &str) -> Option<Finding> {
        // Compared as a file system that ignores case would.
        let folder = folder_name(identity).to_lowercase();
        if let Some(first) = self.0.get(&folder) {
            let message = format!(
                "{first} is already procedure {} revision {} in this run",
                identity.number, identity.revision
            );
            let help = "give one of them another number, or build them into different folders";
            return Some(rules::SAME_NUMBER_TWICE.about_file(message).help(help));
        }
        self.0.insert(folder, spec.to_owned());
        None
    }
}

/// The name of the folder of a procedure's papers.
pub fn folder_name(identity: &Identity) -> String {
    format!("{}-r{}", identity.number, identity.revision)
}

//! The output folders that the specs of one run claim: two specs of the same number
//! and revision would overwrite each other's papers.

use std::collections::BTreeMap;

use crate::core::finding::Finding;
use crate::papers::compile::Identity;
use crate::spec::rules;

/// The spec that each folder belongs to.
#[derive(Debug, Default)]
pub(crate) struct FolderClaims(BTreeMap<String, String>);

impl FolderClaims {
    /// Claims the folder of a spec's papers; a finding where an earlier spec has it.
    pub(crate) fn claim(&mut self, identity: &Identity, spec: &str) -> Option<Finding> {
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

pub(crate) fn folder_name(identity: &Identity) -> String {
    format!("{}-r{}", identity.number, identity.revision)
}

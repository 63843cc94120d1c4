//! Who approves the procedure.

use super::super::block::{SignatureLabels, SignatureRole};
use super::writer::{Block, Clause, Section, Writer};

pub(crate) fn approval(w: &Writer) -> Section {
    let roles = [
        Clause::RolePrepared,
        Clause::RoleReviewed,
        Clause::RoleApproved,
    ];
    w.section(
        Clause::TitleApproval,
        vec![
            w.text(Clause::Approval),
            Block::Signatures {
                roles: roles
                    .into_iter()
                    .map(|role| SignatureRole {
                        role: w.say(role),
                        note: None,
                    })
                    .collect(),
                labels: SignatureLabels {
                    name: w.say(Clause::LabelName),
                    signature: w.say(Clause::LabelSignature),
                    date: w.say(Clause::LabelDate),
                },
            },
        ],
    )
}

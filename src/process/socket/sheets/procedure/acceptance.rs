//! How a joint is judged: acceptance criteria in words.

use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::process::socket::sheets::procedure::numbers::Numbers;

pub(crate) fn acceptance(w: &Writer, numbers: &Numbers) -> Section {
    let mut lists = vec![
        (Clause::AcceptanceIntro, "acceptance"),
        (Clause::RejectionIntro, "rejection"),
        (Clause::RulesIntro, "acceptance-rules"),
    ];
    // The tests come from the gas regulation, which applies only to gas.
    if w.is_gas() {
        lists.push((Clause::TestsIntro, "joint-tests"));
    }
    let mut blocks = Vec::new();
    for (intro, table) in lists {
        let items = w.statements(table);
        if items.is_empty() {
            continue;
        }
        blocks.push(w.text(intro));
        blocks.push(match table {
            "acceptance" => Block::Checks { items },
            _ => Block::List { items },
        });
    }
    blocks.push(w.text(Clause::AcceptancePlateAtEnd {
        number: numbers.plate.to_string(),
    }));
    w.section(Clause::TitleAcceptance, blocks)
}

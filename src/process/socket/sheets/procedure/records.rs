//! Responsibilities and records: who does what, the words of the papers, how a joint is
//! marked, what follows one that fails, who keeps which record, and what the status rests
//! on. What only the organization can say has a box to fill in until it has.

use crate::papers::sheets::block::Block;
use crate::papers::sheets::figures::StepPicture;
use crate::papers::sheets::procedure::writer::{Clause, Section, Writer, work};
use crate::papers::sheets::records::{
    Duties, Entry, FailedJoint, FillIn, Glossary, JointMark, KeptRow, Qualified, RecordsKept,
    ShortRecords,
};
use crate::papers::sheets::standing::Standing;
use crate::process::socket::sheets::procedure::scope;
use crate::process::socket::sheets::steps::joint_steps;
use crate::spec::{FittingKind, RecordKind, Status};

pub(crate) fn records(w: &Writer, letterhead: bool) -> Section {
    let spec = w.p.spec;
    let filled = spec.own_rules.open(spec.cold_weather.is_some()).is_empty();
    let compact = filled || w.has_few_sizes();
    let duties = Duties {
        glossaries: (!on_first_page(w, letterhead)).then(|| glossaries(w)),
        short: compact.then(|| ShortRecords {
            mark: joint_mark(w),
            qualified: qualified(w),
            failed: failed_joint(w),
            kept: records_kept(w),
        }),
    };
    let mut blocks = vec![Block::Duties(Box::new(duties))];
    if !compact {
        blocks.extend([
            Block::JointMark(Box::new(joint_mark(w))),
            Block::FailedJoint(Box::new(failed_joint(w))),
            Block::RecordsKept(Box::new(records_kept(w))),
            Block::Qualified(Box::new(qualified(w))),
        ]);
    }
    w.section(Clause::TitleRecords, blocks)
}

/// Who does what, and the words of the papers.
pub(super) fn glossaries(w: &Writer) -> [Glossary; 2] {
    [who(w), words(w)]
}

/// Whether the first page has room for them: with one size, no letterhead, and no
/// duties that the organization worded.
pub(super) fn on_first_page(w: &Writer, letterhead: bool) -> bool {
    !letterhead && w.has_one_size() && w.p.spec.own_rules.responsibilities.is_empty()
}

fn entry(w: &Writer, head: Clause, text: Clause) -> Entry {
    Entry {
        head: w.say(head),
        text: w.say(text),
        lang: None,
    }
}

/// An author's text under a head of the paper.
fn authors(w: &Writer, head: Clause, text: &str) -> Entry {
    Entry {
        head: w.say(head),
        text: text.to_owned(),
        lang: w.text_lang,
    }
}

fn fill_in(w: &Writer, hint: String) -> FillIn {
    FillIn {
        word: w.say(Clause::FillIn),
        hint,
    }
}

fn who(w: &Writer) -> Glossary {
    let mut rows = vec![
        entry(w, Clause::WhoFuses, Clause::WhoFusesText),
        entry(w, Clause::WhoInspects, Clause::WhoInspectsText),
        entry(w, Clause::WhoAnyone, Clause::WhoAnyoneText),
    ];
    let own = w.p.spec.own_rules.responsibilities.iter();
    rows.extend(own.map(|duty| Entry {
        head: duty.who.value.clone(),
        text: duty.does.value.clone(),
        lang: w.text_lang,
    }));
    Glossary {
        title: w.say(Clause::WhoTitle),
        rows,
    }
}

/// What the words in the tables and at the steps mean.
fn words(w: &Writer) -> Glossary {
    let has_ring = w.practice().has_ring();
    // As the table of times heads it: a bar below the table, or a column of it.
    let one_limit = w.p.common(|joint| joint.cycle.change_over()).is_some();
    let off_heater = match one_limit && !w.practice().times_by_size {
        true => Clause::BarOffHeater,
        false => Clause::HeadOffHeater,
    };
    let mut rows = vec![
        entry(w, Clause::HeadHeat, Clause::WordHeat),
        entry(w, off_heater, Clause::WordOffHeater),
    ];
    if work::all_hold_until_cool(w.p) {
        rows.push(entry(w, Clause::HeadHoldAndCool, Clause::WordHoldAndCool));
    } else if w.practice().holds_until_cool {
        rows.push(entry(w, Clause::HeadHold, Clause::WordHoldMark));
        rows.push(entry(w, Clause::HeadCool, Clause::WordCool));
    } else {
        let hold = match has_ring {
            true => Clause::WordHold,
            false => Clause::WordHoldMark,
        };
        rows.push(entry(w, Clause::HeadHold, hold));
        rows.push(entry(w, Clause::HeadHandsOff, Clause::WordHandsOff));
    }
    let depth = match has_ring {
        true => Clause::WordDepth,
        false => Clause::WordDepthMetric,
    };
    rows.push(entry(w, Clause::HeadDepth, depth));
    if work::has_witness_lines(w.p, w.limits) {
        rows.push(entry(w, Clause::HeadSight, Clause::WordSight));
    }
    if has_ring {
        rows.push(entry(w, Clause::WordRing, Clause::WordRingText));
    }
    if w.covers(FittingKind::Spigot) {
        rows.push(entry(w, Clause::WordSpigot, Clause::WordSpigotText));
    }
    Glossary {
        title: w.say(Clause::WordsTitle),
        rows,
    }
}

fn joint_mark(w: &Writer) -> JointMark {
    let own = w.p.spec.own_rules.joint_mark.as_ref();
    JointMark {
        title: w.say(Clause::MarkTitle),
        lead: w.say(Clause::MarkLead),
        alt: w.say(Clause::MarkAlt),
        id: w.say(Clause::MarkId),
        date: w.say(Clause::MarkDate),
        fitting: w.say(Clause::MarkFitting),
        own: own.map(|own| authors(w, Clause::MarkHow, &own.value)),
        fill_in: own.is_none().then(|| fill_in(w, w.say(Clause::MarkHint))),
    }
}

fn failed_joint(w: &Writer) -> FailedJoint {
    let failed = &w.p.spec.own_rules.failed_joint;
    let rules = [
        (&failed.told, Clause::FailsTold, Clause::FailsAskTold),
        (&failed.cut_out, Clause::FailsCutOut, Clause::FailsAskCutOut),
        (&failed.fuser, Clause::FailsFuser, Clause::FailsAskFuser),
    ];
    let (mut own, mut open) = (Vec::new(), Vec::new());
    for (rule, head, ask) in rules {
        match rule {
            Some(rule) => own.push(authors(w, head, &rule.value)),
            None => open.push(w.say(ask)),
        }
    }
    FailedJoint {
        title: w.say(Clause::FailsTitle),
        lead: w.say(Clause::FailsLead),
        steps: vec![
            entry(w, Clause::FailsReject, Clause::FailsRejectText),
            entry(w, Clause::FailsCut, Clause::FailsCutText),
            entry(
                w,
                Clause::FailsAgain,
                Clause::FailsAgainText {
                    step: first_on_pipe(w).to_string(),
                },
            ),
            entry(w, Clause::FailsSame, Clause::FailsSameText),
        ],
        log: w.say(Clause::FailsLog),
        own,
        fill_in: (!open.is_empty())
            .then(|| fill_in(w, format!("{}:", capitalized(&open.join(", "))))),
    }
}

/// The step that a joint is begun again from: the cut.
fn first_on_pipe(w: &Writer) -> usize {
    let steps = joint_steps(w);
    let mut steps = steps.iter();
    let cut = steps.find(|step| step.picture == Some(StepPicture::Cut));
    cut.map_or(1, |step| step.number)
}

/// The text with a capital at its head.
fn capitalized(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn records_kept(w: &Writer) -> RecordsKept {
    let own = &w.p.spec.own_rules;
    let rows: Vec<_> = own
        .records(w.p.spec.cold_weather.is_some())
        .map(|kind| {
            let kept = own.kept(kind);
            KeptRow {
                record: w.say(named(kind)),
                kept: kept.map(|kept| [kept.by.value.clone(), kept.until.value.clone()]),
            }
        })
        .collect();
    let open = rows.iter().any(|row| row.kept.is_none());
    let has_boxes = !own.open(w.p.spec.cold_weather.is_some()).is_empty();
    RecordsKept {
        title: w.say(Clause::KeptTitle),
        lead: w.say(Clause::KeptLead),
        columns: [
            Clause::KeptColumnRecord,
            Clause::KeptColumnBy,
            Clause::KeptColumnUntil,
        ]
        .map(|column| w.say(column)),
        rows,
        fill_in: open.then(|| w.say(Clause::FillIn)),
        legend: has_boxes.then(|| w.say(Clause::FillInLegend)),
        lang: w.text_lang,
    }
}

/// What a record is called.
fn named(kind: RecordKind) -> Clause {
    match kind {
        RecordKind::JointLog => Clause::KeptJointLog,
        RecordKind::FuserTests => Clause::KeptFuserTests,
        RecordKind::QualificationRecords => Clause::KeptQualificationRecords,
        RecordKind::Roster => Clause::KeptRoster,
        RecordKind::ColdTrials => Clause::KeptColdTrials,
        RecordKind::Procedure => Clause::KeptProcedure,
    }
}

/// What the status rests on. How far test joints reach stands on the paper of sources.
fn qualified(w: &Writer) -> Qualified {
    let spec = w.p.spec;
    let standing = Standing::new(w.p, w.words);
    let cited: Vec<_> = w.p.cited().collect();
    let bar = match spec.status.value {
        Status::Qualified => None,
        Status::Withdrawn => Some([
            standing.record_line.clone(),
            w.say(Clause::StandingWithdrawn),
        ]),
        Status::Draft => Some([
            w.say(Clause::StandingNotQualified),
            w.say(match cited.is_empty() {
                true => Clause::StandingNoRecord,
                false => Clause::StandingDraft,
            }),
        ]),
    };
    let own = |text: String| Entry {
        head: String::new(),
        text,
        lang: None,
    };
    let mut lines = Vec::new();
    if spec.status.value == Status::Qualified {
        lines.push(Entry {
            head: format!("{}. {}.", standing.record_line, standing.effective_line),
            text: String::new(),
            lang: None,
        });
    }
    let records: Vec<_> = cited
        .iter()
        .map(|record| {
            w.say(Clause::QualificationRecord {
                number: record.number.value.clone(),
                date: record.date.value.to_string(),
                revision: record.revision.value.to_string(),
            })
        })
        .collect();
    if !records.is_empty() {
        lines.push(own(w.say(Clause::QualificationRecords {
            records: records.join("; "),
        })));
    }
    let stated = spec.qualification.as_ref();
    let how = stated.and_then(|q| q.operator_qualification.as_ref());
    let operators = how.map(|how| Clause::QualificationOperator {
        how: how.value.clone(),
    });
    if w.is_gas() {
        let operators = operators.unwrap_or(Clause::QualificationOperatorOpen);
        lines.push(own(w.say(Clause::QualificationGas)));
        lines.push(own(w.say(operators)));
    } else {
        lines.push(own(w.say(Clause::QualificationOther {
            service: w.say(scope::service(spec.service.value)),
        })));
        lines.extend(operators.map(|operators| own(w.say(operators))));
    }
    let rules: Vec<_> = stated
        .iter()
        .flat_map(|q| &q.rules)
        .map(|rule| rule.value.as_str())
        .collect();
    if !rules.is_empty() {
        lines.push(own(w.say(Clause::QualificationRules {
            rules: rules.join("; "),
        })));
    }
    Qualified {
        title: w.say(Clause::TitleQualification),
        bar,
        lines,
    }
}

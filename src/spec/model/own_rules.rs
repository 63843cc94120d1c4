//! Rules that only the organization can make: how a joint is marked, what follows a
//! failed one, who keeps which record. Nothing stands in for one that is left out. The
//! records are read by hand: each is a field, and its facts are stated of it.

use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::spec::declare::kinds::text_like;
use crate::spec::declare::{
    Field as _, FieldOutput as _, Kind, KindOutput, group, list, nested, optional, optional_group,
    optional_list, place, required,
};
use crate::spec::fact::{Collector, Of};
use crate::spec::fields::{At, Fields};
use crate::spec::node::Node;
use crate::spec::schema;
use crate::spec::tree::Tree;

/// A record that the work leaves behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RecordKind {
    /// One line for each joint.
    JointLog,
    /// The test joints of one fuser.
    FuserTests,
    /// The test joints of the procedure.
    QualificationRecords,
    /// Who may fuse, and until when.
    Roster,
    /// The heating times that were found for cold pipe.
    ColdTrials,
    /// The signed procedure, every revision of it.
    Procedure,
}

impl RecordKind {
    /// Every kind, in the order of the papers.
    pub(crate) const ALL: [Self; 6] = [
        Self::JointLog,
        Self::FuserTests,
        Self::QualificationRecords,
        Self::Roster,
        Self::ColdTrials,
        Self::Procedure,
    ];

    /// The field of the spec.
    pub(crate) const fn field(self) -> &'static str {
        match self {
            Self::JointLog => "joint_log",
            Self::FuserTests => "fuser_tests",
            Self::QualificationRecords => "qualification_records",
            Self::Roster => "roster",
            Self::ColdTrials => "cold_trials",
            Self::Procedure => "procedure",
        }
    }

    /// What the duty is. for the schema.
    const fn about(self) -> &'static str {
        match self {
            Self::JointLog => "The joint log.",
            Self::FuserTests => "The test sheets of the fusers.",
            Self::QualificationRecords => "The records of the test joints of this procedure.",
            Self::Roster => "The roster of who may fuse.",
            Self::ColdTrials => "The heating times found by trial on cold days.",
            Self::Procedure => "The signed procedure, every revision of it.",
        }
    }
}

group! {
    /// Who keeps a record, and until when.
    pub struct Kept written {
        /// Who keeps it.
        by: Spanned<String> = required(text_like("district office")).fact("record-kept-by"),
        /// How long it is kept.
        until: Spanned<String> =
            required(text_like("as long as the line is in use")).fact("record-kept-until"),
    }
}

/// Records, each with who keeps it.
struct KeptRecords;

impl Kind for KeptRecords {
    type Value = Vec<(RecordKind, Kept)>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let mut kept = Vec::new();
        for kind in RecordKind::ALL {
            let one = optional(nested(), "").read(kind.field(), &mut fields, findings);
            kept.extend(one.flatten().map(|one| (kind, one)));
        }
        fields.finish(findings);
        Some(kept)
    }

    fn schema(&self) -> schema::Value {
        let mut declared = Vec::new();
        for kind in RecordKind::ALL {
            let without = "the papers have a FILL IN box.";
            optional(nested::<Kept>(), without).declare(kind.field(), kind.about(), &mut declared);
        }
        schema::group(declared)
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl KindOutput for KeptRecords {
    fn write(&self, value: &Self::Value) -> Tree {
        let mut to = Vec::new();
        for (kind, kept) in value {
            required(nested()).write(kind.field(), kept, &mut to);
        }
        Tree::Group(to)
    }

    fn facts(&self, value: &Self::Value, _of: &Of, to: &mut Collector<'_>) {
        for (kind, kept) in value {
            let of = Of::from(kind.field().replace('_', " ").as_str());
            nested().facts(kept, &of, to);
        }
    }
}

group! {
    /// What follows a joint that fails, beyond cutting it out.
    pub struct FailedJoint written {
        /// Who is told, and how soon.
        told: Option<Spanned<String>> = optional(
            text_like("the crew foreman, at once"),
            "the papers have a FILL IN box.",
        ).fact("failed-joint-told"),
        /// What happens to the joint that was cut out.
        cut_out: Option<Spanned<String>> = optional(
            text_like("tagged with the joint number and sent to the district office"),
            "the papers have a FILL IN box.",
        ).fact("failed-joint-cut-out"),
        /// What happens to the qualification of the fuser who made it.
        fuser: Option<Spanned<String>> = optional(
            text_like("makes no joint until a new test joint passes"),
            "the papers have a FILL IN box.",
        ).fact("failed-joint-fuser"),
    }
}

group! {
    /// A duty beyond those that the papers name by themselves.
    pub struct Responsibility written {
        /// Who has the duty.
        who: Spanned<String> = required(text_like("Crew foreman")),
        /// What the duty is.
        does: Spanned<String> =
            required(text_like("keeps this procedure and its card on the truck"))
                .fact("responsibility"),
    }
}

group! {
    /// Rules that only the organization can make.
    pub struct OwnRules written {
        /// How a joint is marked: with what, how far from it, when, and who checks it.
        joint_mark: Option<Spanned<String>> = optional(
            text_like("paint marker, 2 in from the joint, before it is covered"),
            "the papers have a FILL IN box.",
        ).fact("joint-mark"),
        /// What happens after a joint fails.
        failed_joint: FailedJoint = optional_group("the papers have FILL IN boxes."),
        /// Who keeps which record, and for how long.
        records_kept: Vec<(RecordKind, Kept)> =
            optional_list(KeptRecords, "the papers have FILL IN boxes."),
        /// Duties beyond those that the papers name by themselves.
        responsibilities: Vec<Responsibility> = optional_list(
            list(nested())
                .of(|duty: &Responsibility, _| Of::from(duty.who.value.as_str())),
            "the papers name who prepares, reviews, approves, fuses and inspects.",
        ),
        /// The place of the group.
        span: Span = place(),
    }
}

impl OwnRules {
    /// Who keeps a record, if the spec says.
    pub(crate) fn kept(&self, kind: RecordKind) -> Option<&Kept> {
        let mut kept = self.records_kept.iter();
        kept.find(|(of, _)| *of == kind).map(|(_, kept)| kept)
    }
}

/// A rule that only the organization can make.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OwnRule {
    JointMark,
    FailedJointTold,
    FailedJointCutOut,
    FailedJointFuser,
    Kept(RecordKind),
}

impl OwnRule {
    /// The group that its field stands in, and the field.
    pub(crate) const fn field(self) -> (&'static str, &'static str) {
        match self {
            Self::JointMark => ("own_rules", "joint_mark"),
            Self::FailedJointTold => ("own_rules.failed_joint", "told"),
            Self::FailedJointCutOut => ("own_rules.failed_joint", "cut_out"),
            Self::FailedJointFuser => ("own_rules.failed_joint", "fuser"),
            Self::Kept(kind) => ("own_rules.records_kept", kind.field()),
        }
    }

    /// What it says, in a few words.
    pub(crate) const fn about(self) -> &'static str {
        match self {
            Self::JointMark => "how a joint is marked",
            Self::FailedJointTold => "who is told of a joint that fails",
            Self::FailedJointCutOut => "what happens to a joint that is cut out",
            Self::FailedJointFuser => "what a failed joint does to the fuser's qualification",
            Self::Kept(RecordKind::JointLog) => "who keeps the joint log",
            Self::Kept(RecordKind::FuserTests) => "who keeps the fusers' test sheets",
            Self::Kept(RecordKind::QualificationRecords) => "who keeps the qualification records",
            Self::Kept(RecordKind::Roster) => "who keeps the roster",
            Self::Kept(RecordKind::ColdTrials) => "who keeps the cold-weather trials",
            Self::Kept(RecordKind::Procedure) => "who keeps the signed procedure",
        }
    }
}

impl OwnRules {
    /// The records that work by the procedure leaves behind, with those of cold-weather
    /// trials where it has them, and others that are said to be kept.
    pub(crate) fn records(&self, cold_trials: bool) -> impl Iterator<Item = RecordKind> {
        RecordKind::ALL.into_iter().filter(move |kind| {
            let made = *kind != RecordKind::ColdTrials || cold_trials;
            made || self.kept(*kind).is_some()
        })
    }

    /// The rules that the papers ask for, in their order.
    pub(crate) fn asked(&self, cold_trials: bool) -> impl Iterator<Item = OwnRule> {
        let first = [
            OwnRule::JointMark,
            OwnRule::FailedJointTold,
            OwnRule::FailedJointCutOut,
            OwnRule::FailedJointFuser,
        ];
        let kept = self.records(cold_trials).map(OwnRule::Kept);
        first.into_iter().chain(kept)
    }

    /// What the spec says of a rule: who keeps a record and until when are two texts.
    pub(crate) fn texts(&self, rule: OwnRule) -> Vec<&Spanned<String>> {
        let failed = &self.failed_joint;
        let one = match rule {
            OwnRule::JointMark => &self.joint_mark,
            OwnRule::FailedJointTold => &failed.told,
            OwnRule::FailedJointCutOut => &failed.cut_out,
            OwnRule::FailedJointFuser => &failed.fuser,
            OwnRule::Kept(kind) => {
                let kept = self.kept(kind).map(|kept| [&kept.by, &kept.until]);
                return kept.into_iter().flatten().collect();
            }
        };
        one.iter().collect()
    }

    /// What is left open, in the order of the papers.
    pub(crate) fn open(&self, cold_trials: bool) -> Vec<OwnRule> {
        let asked = self.asked(cold_trials);
        asked.filter(|rule| self.texts(*rule).is_empty()).collect()
    }
}

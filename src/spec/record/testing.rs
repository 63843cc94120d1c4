//! Destructive tests of a joint. A test is read by hand: its fields are those of its
//! kind, and its criterion has the limits of that kind.

use chrono::NaiveDate;

use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Duration, Percent, Pressure};
use crate::spec::declare::kinds::{count, date, duration, percent, pressure, text_like, word};
use crate::spec::declare::{Field, Group, Kind as _, group, nested, optional, required};
use crate::spec::fields::Fields;
use crate::spec::schema::values::{names, word_among};
use crate::spec::schema::{self, Declared, either, must};
use crate::spec::words::Word;
use crate::spec::{Written, plausible};

/// What a test came to, as the witness says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Witnessed {
    /// Passed.
    Pass,
    /// Failed.
    Fail,
}

impl Word for Witnessed {
    const WORDS: &'static [(&'static str, Self)] =
        &[("pass", Witnessed::Pass), ("fail", Witnessed::Fail)];
}

/// Where a tensile specimen failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FailedAt {
    /// In the joint area.
    Joint,
    /// Outside the joint area.
    Outside,
    /// Nowhere; the test was ended.
    Nowhere,
}

impl Word for FailedAt {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("in the joint", FailedAt::Joint),
        ("outside the joint", FailedAt::Outside),
        ("none", FailedAt::Nowhere),
    ];
}

/// What a stated criterion asks, and where it stands.
#[derive(Debug, Clone)]
pub struct Criterion<L> {
    /// The limit.
    pub limit: L,
    /// Where it stands.
    pub source: Spanned<String>,
}

impl<L: Group> Group for Criterion<L> {
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self> {
        let limit = L::read(fields, findings);
        let source = where_it_stands().read("source", fields, findings);
        Some(Self {
            limit: limit?,
            source: source?,
        })
    }

    fn declare(to: &mut Vec<Declared>) {
        L::declare(to);
        where_it_stands().declare("source", "Where that limit is written.", to);
    }
}

fn where_it_stands() -> impl Field<Value = Spanned<String>> {
    required(text_like("Qualification plan 3.2"))
}

/// What the test is held against; nothing is made of a test whose criterion cannot be read.
fn criterion<L: Group>() -> impl Field<Value = Option<Criterion<L>>> {
    let without = "the test does not count.";
    optional(nested(), without).whole()
}

group! {
    /// The criterion of a tensile test.
    pub struct LeastElongation {
        /// Minimum elongation of a specimen that does not fail outside the joint.
        at_least: Written<Percent> = required(percent(&plausible::ELONGATION)),
    }
}

group! {
    /// The criterion of a burst test.
    pub struct LeastPressure {
        /// Minimum pressure it must reach.
        at_least: Written<Pressure> = required(pressure(&plausible::TEST_PRESSURE)),
    }
}

group! {
    /// The criterion of a test under sustained pressure.
    pub struct LeastHeld {
        /// Minimum pressure.
        pressure: Written<Pressure> = required(pressure(&plausible::TEST_PRESSURE)),
        /// Minimum time.
        time: Written<Duration> = required(duration(&plausible::TEST_TIME)),
    }
}

group! {
    /// The criterion of a crush test.
    pub struct MostSeparated {
        /// Maximum that may come apart.
        at_most: Written<Percent> = required(percent(&plausible::SHARE)),
    }
}

group! {
    /// Cut lengthwise into straps, each deformed.
    pub struct Straps {
        /// How many straps were cut from the joint.
        straps: Spanned<u32> = required(count(&plausible::STRAPS)),
        /// Number of straps with voids on their cut faces.
        with_voids: Spanned<u32> = required(count(&plausible::STRAPS)),
        /// Number of straps that failed starting in the joint.
        failed_in_joint: Spanned<u32> = required(count(&plausible::STRAPS)),
    }
}

group! {
    /// Pulled.
    pub struct Tensile {
        /// Elongation at failure.
        elongation: Written<Percent> = required(percent(&plausible::ELONGATION)),
        /// Where it failed.
        failure: Spanned<FailedAt> = required(word()),
        /// The limit that decides whether the test passed.
        criterion: Option<Criterion<LeastElongation>> = criterion(),
    }
}

group! {
    /// Pressure raised until it burst.
    pub struct Burst {
        /// The pressure it burst at.
        pressure: Written<Pressure> = required(pressure(&plausible::TEST_PRESSURE)),
        /// The limit that decides whether the test passed.
        criterion: Option<Criterion<LeastPressure>> = criterion(),
    }
}

group! {
    /// Held under pressure.
    pub struct Sustained {
        /// The pressure it was held at.
        pressure: Written<Pressure> = required(pressure(&plausible::TEST_PRESSURE)),
        /// For how long.
        time: Written<Duration> = required(duration(&plausible::TEST_TIME)),
        /// Whether it failed or leaked in that time.
        failed: Spanned<bool> = required(word()),
        /// The limit that decides whether the test passed.
        criterion: Option<Criterion<LeastHeld>> = criterion(),
    }
}

group! {
    /// Crushed.
    pub struct Crush {
        /// How much of the joint's length came apart.
        separated: Written<Percent> = required(percent(&plausible::SHARE)),
        /// The limit that decides whether the test passed.
        criterion: Option<Criterion<MostSeparated>> = criterion(),
    }
}

/// A destructive test with its figures.
#[derive(Debug, Clone)]
pub enum TestFigures {
    /// Cut lengthwise into straps, each deformed.
    Straps(Straps),
    /// Pulled.
    Tensile(Tensile),
    /// Pressure raised until it burst.
    Burst(Burst),
    /// Held under pressure.
    Sustained(Sustained),
    /// Crushed.
    Crush(Crush),
}

/// The kinds of test.
#[derive(Debug, Clone, Copy, PartialEq)]
enum TestKind {
    Straps,
    Tensile,
    Burst,
    Sustained,
    Crush,
}

impl Word for TestKind {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("straps", TestKind::Straps),
        ("tensile", TestKind::Tensile),
        ("burst", TestKind::Burst),
        ("sustained pressure", TestKind::Sustained),
        ("crush", TestKind::Crush),
    ];
}

impl TestKind {
    /// The figures of a test of this kind.
    fn read(self, fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<TestFigures> {
        Some(match self {
            TestKind::Straps => TestFigures::Straps(Straps::read(fields, findings)?),
            TestKind::Tensile => TestFigures::Tensile(Tensile::read(fields, findings)?),
            TestKind::Burst => TestFigures::Burst(Burst::read(fields, findings)?),
            TestKind::Sustained => TestFigures::Sustained(Sustained::read(fields, findings)?),
            TestKind::Crush => TestFigures::Crush(Crush::read(fields, findings)?),
        })
    }

    fn declare(self, to: &mut Vec<Declared>) {
        match self {
            TestKind::Straps => Straps::declare(to),
            TestKind::Tensile => Tensile::declare(to),
            TestKind::Burst => Burst::declare(to),
            TestKind::Sustained => Sustained::declare(to),
            TestKind::Crush => Crush::declare(to),
        }
    }
}

/// A destructive test of a joint.
#[derive(Debug, Clone)]
pub struct JointTest {
    /// The day it was made.
    pub date: Option<Spanned<NaiveDate>>,
    /// Its figures.
    pub figures: TestFigures,
    /// What the witness says.
    pub result: Spanned<Witnessed>,
    /// The place of the test.
    pub span: Span,
}

fn test_date() -> impl Field<Value = Option<Spanned<NaiveDate>>> {
    optional(date(), "the date is not checked.")
}

impl Group for JointTest {
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self> {
        let kind = required(word::<TestKind>()).read("kind", fields, findings);
        let date = test_date().read("date", fields, findings);
        let figures = kind.as_ref();
        let figures = figures.and_then(|kind| kind.value.read(fields, findings));
        let result = required(word()).read("result", fields, findings);
        if kind.is_none() {
            // Nobody can tell which fields a test has without its kind.
            let mut of_any_kind = Vec::new();
            Self::declare(&mut of_any_kind);
            for field in of_any_kind {
                fields.take(field.name);
            }
        }
        Some(Self {
            date: date?,
            figures: figures?,
            result: result?,
            span: fields.span,
        })
    }

    fn declare(to: &mut Vec<Declared>) {
        for (_, kind) in TestKind::WORDS {
            kind.declare(to);
        }
    }

    /// The fields of each kind.
    fn schema() -> schema::Value {
        either(TestKind::WORDS.iter().map(|(name, kind)| {
            let of_kind = word_among(name, names::<TestKind>());
            let mut declared = vec![must("kind", "What was done to the joint.", of_kind)];
            test_date().declare("date", "The day of the test.", &mut declared);
            kind.declare(&mut declared);
            let result = word::<Witnessed>().schema();
            declared.push(must("result", "The witness's result.", result));
            schema::group(declared)
        }))
    }
}

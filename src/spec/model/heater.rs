//! The heater. The check of its faces is read by hand: which ratings it has depends on
//! its method.

use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Length, Temperature, TemperatureDifference, TemperatureUnit};
use crate::spec::declare::kinds::{
    length, temperature, temperature_difference, temperature_spread, word,
};
use crate::spec::declare::{
    Field, FieldOutput, Group, GroupOutput, Weighed, by_size, group, nested, optional, place,
    required, required_or_empty,
};
use crate::spec::fact::{Collector, Of};
use crate::spec::fields::Fields;
use crate::spec::plausible;
use crate::spec::schema::values::{names, word_among};
use crate::spec::schema::{self, Declared, either};
use crate::spec::tree::Tree;
use crate::spec::words::Word;
use crate::spec::written::Written;

/// How the face temperature is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaceCheckMethod {
    /// Contact or surface pyrometer.
    Pyrometer,
    /// One temperature-indicating stick, which melts at or above its rating.
    Stick,
    /// A lower stick that melts and an upper one that does not.
    TwoSticks,
}

impl Word for FaceCheckMethod {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("pyrometer", FaceCheckMethod::Pyrometer),
        ("indicating stick", FaceCheckMethod::Stick),
        ("two indicating sticks", FaceCheckMethod::TwoSticks),
    ];
}

/// Stands where nothing is known of a setting.
const UNKNOWN: &str = "unknown; check reports it.";

group! {
    /// The heater.
    pub struct Heater written {
        /// What the controller is set to.
        set_point: Written<(Temperature, TemperatureUnit)> =
            required(temperature(&plausible::SET_POINT)).fact("set-point"),
        /// Face minus display, measured on the adapter faces with a pyrometer; 0 °F if it was
        /// measured and there is none.
        face_offset: Option<Written<(TemperatureDifference, TemperatureUnit)>> =
            optional(temperature_difference(&plausible::FACE_OFFSET), UNKNOWN).fact("face-offset"),
        /// The smallest step that the controller can be set in.
        step: Option<Written<(TemperatureDifference, TemperatureUnit)>> =
            optional(temperature_spread(&plausible::STEP), UNKNOWN).fact("heater-step"),
        /// How far the heater moves around its set point, each way.
        swing: Option<Written<(TemperatureDifference, TemperatureUnit)>> =
            optional(temperature_spread(&plausible::SWING), UNKNOWN).fact("heater-swing"),
        /// How the temperature of the adapter faces is checked.
        face_check: Option<FaceCheck> = optional(
            nested(),
            "an error, since nothing shows that the faces are right.",
        ),
        /// The heater adapters on the truck, a pair for each size; {} if nothing on the pair was
        /// measured.
        adapters: Vec<(Spanned<Size>, Adapter)> =
            required_or_empty(by_size(nested())).fact("adapter"),
        /// The place of the group.
        span: Span = place(),
    }
}

group! {
    /// A pair of adapters, male and female, for one size.
    pub struct Adapter written {
        /// Depth of the female adapter, measured.
        depth: Option<Written<Length>> = optional(
            length(&plausible::DEPTH),
            "not compared with the depth gauge.",
        ).fact("adapter-depth"),
    }
}

/// How the face is checked, and how well.
#[derive(Debug, Clone)]
pub struct FaceCheck {
    /// The instrument.
    pub method: Spanned<FaceCheckMethod>,
    /// Its accuracy each way.
    pub accuracy: Option<Written<(TemperatureDifference, TemperatureUnit)>>,
    /// What the lower (or only) stick is rated to melt at.
    pub melts: Option<Written<(Temperature, TemperatureUnit)>>,
    /// What the upper stick, which must stay solid, is rated at.
    pub stays_solid: Option<Written<(Temperature, TemperatureUnit)>>,
    /// The place of the group.
    pub span: Span,
}

fn method() -> impl FieldOutput<Value = Spanned<FaceCheckMethod>> {
    required(word()).fact("face-check")
}

fn accuracy() -> impl FieldOutput<Value = Option<Written<(TemperatureDifference, TemperatureUnit)>>>
{
    let without = "not considered; check may report it.";
    optional(temperature_spread(&plausible::ACCURACY), without).fact("face-check-accuracy")
}

type Rating = Written<(Temperature, TemperatureUnit)>;

/// The rating of a stick, which the methods with that stick need.
fn rating(variable: &'static str) -> impl FieldOutput<Value = Option<Rating>> {
    let without = "the other methods have no such field.";
    optional(temperature(&plausible::STICK), without).fact(variable)
}

const STICKS: [(&str, &str, &str); 2] = [
    (
        "melts",
        "stick-melts",
        "The rating of the stick that must melt on the face.",
    ),
    (
        "stays_solid",
        "stick-stays-solid",
        "The rating of the stick that must not melt.",
    ),
];

impl FaceCheckMethod {
    /// How many sticks it takes.
    fn sticks(self) -> usize {
        match self {
            FaceCheckMethod::Pyrometer => 0,
            FaceCheckMethod::Stick => 1,
            FaceCheckMethod::TwoSticks => 2,
        }
    }
}

impl Group for FaceCheck {
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self> {
        let method = method().read("method", fields, findings);
        let accuracy = accuracy().read("accuracy", fields, findings);
        // Without its method, nobody can tell which of these a check has.
        let sticks = method.as_ref().map_or(STICKS.len(), |m| m.value.sticks());
        let mut ratings = STICKS.iter().take(sticks).map(|(name, variable, _)| {
            if method.is_some() {
                fields.need(name, findings);
            }
            rating(variable).read(name, fields, findings).flatten()
        });
        let (melts, stays_solid) = (ratings.next().flatten(), ratings.next().flatten());
        Some(Self {
            method: method?,
            accuracy: accuracy?,
            melts,
            stays_solid,
            span: fields.span,
        })
    }

    fn declare(to: &mut Vec<Declared>) {
        method().declare("method", "The instrument.", to);
        let about = "Accuracy of the instrument, plus or minus, from its data sheet.";
        accuracy().declare("accuracy", about, to);
        for (name, variable, about) in STICKS {
            rating(variable).declare(name, about, to);
        }
    }

    /// What each method needs besides.
    fn schema() -> schema::Value {
        let of_method = |(word, method): &(&'static str, FaceCheckMethod)| {
            let mut declared = Vec::new();
            Self::declare(&mut declared);
            declared.truncate(2 + method.sticks());
            for field in &mut declared {
                match field.name {
                    "method" => {
                        field.value = Some(word_among(word, names::<FaceCheckMethod>()));
                    }
                    "accuracy" => {}
                    _ => field.without = None,
                }
            }
            schema::group(declared)
        };
        either(FaceCheckMethod::WORDS.iter().map(of_method))
    }
}

impl GroupOutput for FaceCheck {
    fn write(&self) -> Vec<(String, Tree)> {
        let mut to = Vec::new();
        method().write("method", &self.method, &mut to);
        accuracy().write("accuracy", &self.accuracy, &mut to);
        for ((name, variable, _), value) in STICKS.iter().zip([&self.melts, &self.stays_solid]) {
            rating(variable).write(name, value, &mut to);
        }
        to
    }

    fn facts(&self, of: &Of, to: &mut Collector<'_>) {
        method().facts(&self.method, of, to);
        accuracy().facts(&self.accuracy, of, to);
        for ((_, variable, _), value) in STICKS.iter().zip([&self.melts, &self.stays_solid]) {
            rating(variable).facts(value, of, to);
        }
    }
}

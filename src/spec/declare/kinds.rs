//! Kinds of single values: each a reader with the schema of what it takes.

use std::marker::PhantomData;

use chrono::NaiveDate;

use super::parts::{Kind, KindOutput};
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::core::units::{
    DimensionRatio, Duration, Length, Percent, Pressure, Range, Temperature, TemperatureDifference,
    TemperatureUnit,
};
use crate::spec::fields::At;
use crate::spec::node::Node;
use crate::spec::plausible::{self, Band};
use crate::spec::schema::{self, values as described};
use crate::spec::tree::Tree;
use crate::spec::values;
use crate::spec::words::Word;
use crate::spec::written::{Scalar, Written};

/// A single value: how it is read, and what may be written.
pub(crate) fn single<T, R, S>(read: R, schema: S) -> Single<T, R, S>
where
    R: Fn(&Node, &mut Vec<Finding>) -> Option<T>,
    S: Fn() -> schema::Value,
{
    Single {
        read,
        schema,
        value: PhantomData,
    }
}

/// See [`single`].
pub(crate) struct Single<T, R, S> {
    read: R,
    schema: S,
    value: PhantomData<fn() -> T>,
}

impl<T, R, S> Kind for Single<T, R, S>
where
    R: Fn(&Node, &mut Vec<Finding>) -> Option<T>,
    S: Fn() -> schema::Value,
{
    type Value = T;

    fn read(&self, node: &Node, _at: At<'_>, findings: &mut Vec<Finding>) -> Option<T> {
        (self.read)(node, findings)
    }

    fn schema(&self) -> schema::Value {
        (self.schema)()
    }
}

impl<T: Scalar, R, S> KindOutput for Single<T, R, S>
where
    Self: Kind<Value = T>,
{
    fn write(&self, value: &T) -> Tree {
        value.tree()
    }
}

/// The same value without its place.
pub(crate) fn plain<T, K: Kind<Value = Spanned<T>>>(kind: K) -> Plain<K> {
    Plain { kind }
}

/// See [`plain`].
pub(crate) struct Plain<K> {
    kind: K,
}

impl<T, K: Kind<Value = Spanned<T>>> Kind for Plain<K> {
    type Value = T;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<T> {
        self.kind.read(node, at, findings).map(|value| value.value)
    }

    fn schema(&self) -> schema::Value {
        self.kind.schema()
    }
}

/// A temperature or a difference of temperature, with the scale it was written in.
type Scaled<T> = Written<(T, TemperatureUnit)>;

/// A line of text; `how` says what of.
pub(crate) fn text(how: &'static str) -> impl KindOutput<Value = Spanned<String>> {
    single(values::text, move || described::text(how))
}

/// A line of text, as in the example.
pub(crate) fn text_like(example: &'static str) -> impl KindOutput<Value = Spanned<String>> {
    single(values::text, move || described::text_like(example))
}

/// Where the author has a value from.
pub(crate) fn source() -> impl KindOutput<Value = Spanned<String>> {
    single(values::text, described::source)
}

/// The path of a file, from the folder of the file that names it.
pub(crate) fn path(example: &'static str) -> impl KindOutput<Value = Spanned<String>> {
    single(values::text, move || described::path(example))
}

pub(crate) fn procedure_number() -> impl KindOutput<Value = Spanned<String>> {
    single(values::procedure_number, described::procedure_number)
}

/// The designation of a resin.
pub(crate) fn resin() -> impl KindOutput<Value = Spanned<String>> {
    single(values::resin, described::resin)
}

/// One of the words of a type.
pub(crate) fn word<T: Word>() -> impl KindOutput<Value = Spanned<T>> {
    single(values::word::<T>, described::word::<T>)
}

/// A day.
pub(crate) fn date() -> impl KindOutput<Value = Spanned<NaiveDate>> {
    single(values::date, described::date)
}

/// A whole number from 1.
pub(crate) fn counting_number(band: &'static Band<u32>) -> impl KindOutput<Value = Spanned<u32>> {
    single(values::counting_number(band), move || {
        described::counting_number(band)
    })
}

/// A whole number from 0.
pub(crate) fn count(band: &'static Band<u32>) -> impl KindOutput<Value = Spanned<u32>> {
    single(values::count(band), move || described::count(band))
}

/// A nominal size.
pub(crate) fn size() -> impl KindOutput<Value = Spanned<Size>> {
    single(values::size, described::size)
}

/// A size, or a range of sizes of one system.
pub(crate) fn size_range() -> impl KindOutput<Value = Spanned<Range<Size>>> {
    single(values::size_range, described::size_range)
}

pub(crate) fn dimension_ratio() -> impl KindOutput<Value = Spanned<DimensionRatio>> {
    single(values::dimension_ratio, described::dimension_ratio)
}

macro_rules! quantities {
    ($($(#[doc = $about:literal])* $name:ident: $band:ty => $value:ty, $reader:path;)*) => {
        $($(#[doc = $about])*
        pub(crate) fn $name(band: &'static Band<$band>) -> impl KindOutput<Value = $value> {
            single($reader(band), move || described::$name(band))
        })*
    };
}

quantities! {
    length: Length => Written<Length>, values::length;
    length_range: Length => Written<Range<Length>>, values::length_range;
    /// A time.
    duration: Duration => Written<Duration>, values::duration;
    /// A time, or a range of times.
    duration_range: Duration => Written<Range<Duration>>, values::duration_range;
    /// A temperature of the heater.
    temperature: Temperature => Scaled<Temperature>, values::temperature;
    /// A difference of temperature, which has a sign.
    temperature_difference: TemperatureDifference => Scaled<TemperatureDifference>,
        values::temperature_difference;
    /// A difference of temperature that counts each way.
    temperature_spread: TemperatureDifference => Scaled<TemperatureDifference>,
        values::temperature_spread;
    /// A percentage.
    percent: Percent => Written<Percent>, values::percent;
    pressure: Pressure => Written<Pressure>, values::pressure;
}

/// A temperature of pipe or air.
pub(crate) fn weather() -> impl KindOutput<Value = Scaled<Temperature>> {
    single(values::temperature(&plausible::WEATHER), described::weather)
}

/// The same without the scale it was written in.
pub(crate) fn weather_limit() -> impl KindOutput<Value = Written<Temperature>> {
    let read = |node: &Node, findings: &mut Vec<Finding>| {
        let Written { value, text, span } =
            values::temperature(&plausible::WEATHER)(node, findings)?;
        let (value, _) = value;
        Some(Written { value, text, span })
    };
    single(read, described::weather)
}

/// A range of temperatures of pipe or air.
pub(crate) fn weather_range() -> impl KindOutput<Value = Written<Range<Temperature>>> {
    let read = values::temperature_range(&plausible::WEATHER);
    single(read, described::temperature_range)
}

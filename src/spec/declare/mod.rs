//! One declaration of each group of fields that people write: name, kind of value,
//! what it is for, what holds when it is left out, and the variable that a change of it
//! is weighed by. Reading, writing back, the JSON Schema, the facts that two revisions
//! are compared by and the reference page all come from it.
//!
//! `group!` makes a struct and its `Group` from a list of fields; a field is a
//! `Kind` of value in a `Field` that says whether it is needed. Groups with a shape
//! of their own write `Group` by hand: the check of a heater's faces (its fields depend
//! on the method), a claim of pipe (wall or ratio, or both of one size), a test of a
//! joint (its fields depend on its kind), a rule set of a roster.

mod collections;
pub(crate) mod kinds;
mod parts;
mod presence;

pub(crate) use collections::{by_size, list, nested, one_or_list, stated};
pub(crate) use parts::{
    Field, FieldOutput, Group, GroupOutput, Kind, KindOutput, file_schema, read_top, typed,
};
pub(crate) use presence::{
    Inner, Weighed, checked, optional, optional_group, optional_list, place, required,
    required_or_empty, required_or_none, within,
};

/// Declares a group: a struct with its [`Group`], and with `pub struct … written` its
/// [`GroupOutput`] too. The comment of a field is what its schema says of it.
macro_rules! group {
    (@name $field:ident) => { stringify!($field) };
    (@name $field:ident $name:literal) => { $name };
    (
        $(#[doc = $of_group:literal])*
        pub struct $Group:ident written { $($fields:tt)* }
    ) => {
        $crate::spec::declare::group! {
            $(#[doc = $of_group])*
            pub struct $Group { $($fields)* }
        }
        $crate::spec::declare::group! { @output $Group $($fields)* }
    };
    (
        $(#[doc = $of_group:literal])*
        pub struct $Group:ident {
            $($(#[doc = $about:literal])* $field:ident $(as $name:literal)?: $type:ty = $how:expr),* $(,)?
        }
    ) => {
        $(#[doc = $of_group])*
        #[derive(Debug, Clone)]
        #[allow(unreachable_pub, reason = "some groups are part of the public face, others not")]
        pub struct $Group {
            $($(#[doc = $about])* pub $field: $type,)*
        }

        impl $crate::spec::declare::Group for $Group {
            fn read(
                fields: &mut $crate::spec::fields::Fields<'_>,
                findings: &mut Vec<$crate::core::finding::Finding>,
            ) -> Option<Self> {
                #[allow(unused_imports, reason = "not every group is compared")]
                use $crate::spec::declare::{Field as _, Weighed as _};
                // All are read before any is missed; as a tuple, since a field may be
                // called like a kind of value.
                let read = ($($crate::spec::declare::typed::<$type, _>($how).read(
                    $crate::spec::declare::group!(@name $field $($name)?), fields, findings,
                ),)*);
                let ($($field,)*) = read;
                Some(Self { $($field: $field?,)* })
            }

            fn declare(to: &mut Vec<$crate::spec::schema::Declared>) {
                #[allow(unused_imports, reason = "not every group is compared")]
                use $crate::spec::declare::{Field as _, Weighed as _};
                $($crate::spec::declare::typed::<$type, _>($how).declare(
                    $crate::spec::declare::group!(@name $field $($name)?), concat!($($about),*), to,
                );)*
            }
        }
    };
    (
        @output $Group:ident
        $($(#[doc = $about:literal])* $field:ident $(as $name:literal)?: $type:ty = $how:expr),* $(,)?
    ) => {
        impl $crate::spec::declare::GroupOutput for $Group {
            fn write(&self) -> Vec<(String, $crate::spec::tree::Tree)> {
                #[allow(unused_imports, reason = "not every group is compared")]
                use $crate::spec::declare::{FieldOutput as _, Weighed as _};
                let mut to = Vec::new();
                $($crate::spec::declare::typed::<$type, _>($how).write(
                    $crate::spec::declare::group!(@name $field $($name)?), &self.$field, &mut to,
                );)*
                to
            }

            fn facts(
                &self,
                of: &$crate::spec::fact::Of,
                to: &mut $crate::spec::fact::Collector<'_>,
            ) {
                #[allow(unused_imports, reason = "not every group is compared")]
                use $crate::spec::declare::{FieldOutput as _, Weighed as _};
                $($crate::spec::declare::typed::<$type, _>($how).facts(&self.$field, of, to);)*
            }
        }
    };
}
pub(crate) use group;

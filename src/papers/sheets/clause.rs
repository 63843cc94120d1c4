//! The sentences of the papers, each with a key and its quantities. A clause is a
//! variant that carries its quantities, so none can be forgotten. `build.rs`
//! makes the variants from `templates/clauses/en.yaml`: `times-caption: "… {{
//! resin }}"` is `Clause::TimesCaption { resin }`.

use std::collections::BTreeMap;

/// Declares the clauses: text in English, variant, key in the files, quantities.
macro_rules! clauses {
    ($(#[doc = $text:literal] $variant:ident: $key:literal $({ $($quantity:ident),* })?,)*) => {
        /// A sentence of the papers, with its quantities.
        #[derive(Debug, Clone, PartialEq, Eq)]
        #[expect(missing_docs, reason = "a quantity is what the text of its clause says of it")]
        pub enum Clause {
            $(#[doc = $text] $variant $({ $($quantity: String),* })?,)*
        }

        impl Clause {
            /// Key and quantities of every clause.
            pub(crate) const ALL: &[(&'static str, &'static [&'static str])] = &[
                $(($key, &[$($(stringify!($quantity)),*)?]),)*
            ];

            pub(crate) fn key(&self) -> &'static str {
                match self {
                    $(Clause::$variant { .. } => $key,)*
                }
            }

            /// The key, and the quantities by name.
            pub(crate) fn parts(self) -> (&'static str, BTreeMap<&'static str, String>) {
                match self {
                    $(Clause::$variant $({ $($quantity),* })? => (
                        $key,
                        BTreeMap::from([$($((stringify!($quantity), $quantity)),*)?]),
                    ),)*
                }
            }
        }
    };
}

include!(concat!(env!("OUT_DIR"), "/clauses.rs"));

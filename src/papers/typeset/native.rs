//! How a function of Rust becomes one that templates call.

/// A function as typst sees it: its name, what it is for, and the function of Rust, from the
/// arguments to a value.
macro_rules! native {
    ($name:literal, $docs:literal, $made:path) => {{
        use std::sync::LazyLock;

        use typst::foundations::{CastInfo, Func, IntoValue, NativeFuncData, NativeFuncPtr, Scope};

        static FUNCTION: NativeFuncData = NativeFuncData {
            function: NativeFuncPtr(&|_, _, arguments| Ok($made(arguments)?.into_value())),
            name: $name,
            title: $name,
            docs: $docs,
            def_site: None,
            keywords: &[],
            contextual: false,
            scope: LazyLock::new(&Scope::new),
            params: LazyLock::new(&Vec::new),
            returns: LazyLock::new(&|| CastInfo::Any),
        };
        Func::from(&FUNCTION)
    }};
}

pub(super) use native;

//! What a field of the spec is for: the one place that the page's help is from.

/// The help for the field at `path`, from the top of the spec down; `None` where
/// nothing is told of it.
pub fn field(_path: &[&str]) -> Option<String> {
    None
}

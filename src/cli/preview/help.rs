//! What a field of the spec is for.

/// The help for the field at `path`, from the top of the spec down.
pub fn field(path: &[&str]) -> Option<String> {
    let _ = path;
    None
}

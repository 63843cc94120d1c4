//! What the page is served from.

use std::sync::Arc;

use super::desk::Desk;
use super::session::Session;
use super::work::Work;

/// The longest request: a spec of the longest kind, every character escaped.
pub const LONGEST_REQUEST: usize = 8 << 20;

/// What the page is served from.
pub struct State {
    pub session: Session,
    pub desk: Arc<Desk>,
    pub work: Work,
}

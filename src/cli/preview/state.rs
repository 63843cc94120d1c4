//! What the page is served from.

use std::sync::Arc;

use super::session::Session;
use super::spec_file::SpecFile;
use super::worker::PreviewWorker;

/// The longest request: a spec of the longest kind, every character escaped.
pub const LONGEST_REQUEST: usize = 8 << 20;

/// What the page is served from.
pub struct PreviewState {
    pub session: Session,
    pub spec_file: Arc<SpecFile>,
    pub worker: PreviewWorker,
}

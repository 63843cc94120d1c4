//! The state that the handlers share.

use std::sync::Arc;

use super::connections::Limits;
use super::session::Session;
use super::spec_file::SpecFile;
use super::worker::PreviewWorker;

/// The longest request in bytes: the longest spec, with every character escaped.
pub(crate) const LONGEST_REQUEST: usize = 8 << 20;

pub(crate) struct PreviewState {
    pub(crate) limits: Limits,
    pub(crate) session: Session,
    pub(crate) spec_file: Arc<SpecFile>,
    pub(crate) worker: PreviewWorker,
}

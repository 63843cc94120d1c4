//! The lesson sheet of a trainer.
use serde::Serialize;
use crate::papers::sheets::frame::Frame;
use crate::procedure::resolve::Procedure;
use crate::published::Library;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LessonSheet {
    pub(crate) frame: Frame,
}

pub(crate) fn lesson_sheet(_procedure: &Procedure, _limits: &Library, frame: Frame) -> LessonSheet {
    LessonSheet { frame }
}

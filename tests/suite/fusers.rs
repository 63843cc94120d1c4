//! Fusers: until when a qualification holds, how a roster is read, and the
//! command that lists it.

mod command;
mod forms;
mod lesson_sheet;
mod reading;
mod sizes;
mod standing;
mod test_sheet;

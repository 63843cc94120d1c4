//! Estimates that were made before: while somebody types, all joints but one or
//! none are asked again what they were asked a moment ago, and the model is the
//! slowest part of a check.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::process::socket::heat::Refusal;
use crate::process::socket::heat::advice::estimate::{Estimate, EstimateKey};

/// Most answers that are kept; a procedure with every size has some sixty.
const CAPACITY: usize = 2_000;

type Answer = Result<Estimate, Refusal>;

/// Answers of the model by what it was asked. The same question has the same
/// answer, so nothing here is ever out of date.
#[derive(Debug, Default)]
pub(crate) struct EstimateCache(Mutex<HashMap<EstimateKey, Answer>>);

impl EstimateCache {
    /// The answer to a question, worked out if it is new.
    pub(super) fn answer(&self, question: &EstimateKey) -> Answer {
        let before = self.answers().get(question).cloned();
        before.unwrap_or_else(|| {
            let answer = question.answer();
            let mut answers = self.answers();
            if answers.len() >= CAPACITY {
                answers.clear();
            }
            answers.insert(*question, answer.clone());
            answer
        })
    }

    fn answers(&self) -> MutexGuard<'_, HashMap<EstimateKey, Answer>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

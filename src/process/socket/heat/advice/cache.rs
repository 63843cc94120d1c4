//! Caches estimates. While somebody types, nearly all joints keep their input, and the
//! model is the slowest part of a check.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::process::socket::heat::Refusal;
use crate::process::socket::heat::advice::estimate::{Estimate, EstimateKey};

/// Maximum number of cached estimates; a procedure with every size has about sixty.
const CAPACITY: usize = 2_000;

type Answer = Result<Estimate, Refusal>;

/// Estimates by their input. They depend on nothing else, so they never go out of date.
#[derive(Debug, Default)]
pub(crate) struct EstimateCache(Mutex<HashMap<EstimateKey, Answer>>);

impl EstimateCache {
    /// The estimate for an input, computed if not cached.
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

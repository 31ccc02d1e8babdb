//! What stays of an exercise once its sheets are drawn.

use super::{Exercise, Fact, Kind, Level};

/// The short answers of one sheet, with what tells which sheet it is. Far smaller than the [`Exercise`], which can go
/// as soon as its pages are drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct AnswerKey {
    /// What the sheet trains.
    pub kind: Kind,
    /// How hard it is.
    pub level: Level,
    /// The seed that it was drawn from.
    pub seed: u64,
    /// Number of the sheet within its kind, from 1.
    pub number: usize,
    /// Vehicle and layout in a line.
    pub subject: String,
    /// How many questions it has.
    pub questions: usize,
    /// Points of all questions.
    pub points: u32,
    /// The answers in the order of the questions.
    pub facts: Vec<Fact>,
}

impl Exercise {
    /// Its short answers.
    #[must_use]
    pub fn key(&self) -> AnswerKey {
        AnswerKey {
            kind: self.kind,
            level: self.level,
            seed: self.seed,
            number: self.number,
            subject: self.subject.clone(),
            questions: self.questions.len(),
            points: self.points(),
            facts: self.facts(),
        }
    }
}

//! What stays of an exercise once its sheets are drawn.

use super::{Exercise, Fact, Kind, Level};

/// The short answers of one sheet, with what says which sheet it is. Far smaller than the [`Exercise`], which can go
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
    /// What the trainee's page says in place of the seed.
    pub code: String,
    /// The trainee, where there is a list of the class.
    pub name: Option<String>,
    /// Vehicle and layout in a line.
    pub subject: String,
    /// What its questions are worth.
    pub questions: Vec<Worth>,
    /// Points of all questions.
    pub points: u32,
    /// The answers in the order of the questions.
    pub facts: Vec<Fact>,
}

/// What a question is worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worth {
    /// Points for a full answer.
    pub points: u32,
    /// The rule as the sheet says it; empty where the points are given for the whole.
    pub scoring: String,
}

impl Exercise {
    /// Its short answers.
    #[must_use]
    pub fn key(&self) -> AnswerKey {
        let worth = self.questions.iter().map(|question| Worth {
            points: question.points,
            scoring: question.rule(),
        });
        AnswerKey {
            kind: self.kind,
            level: self.level,
            seed: self.seed,
            number: self.number,
            code: self.code.clone(),
            name: self.name.clone(),
            subject: self.subject.clone(),
            questions: worth.collect(),
            points: self.points(),
            facts: self.facts(),
        }
    }
}

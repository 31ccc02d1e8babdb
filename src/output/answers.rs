//! The answers of exercises for machines.

use serde::Serialize;

use super::pretty;
use crate::practice::{Exercise, Fact, Level};

/// What exercises were drawn from, and the answers of each: number of the sheet, kind, title, subject, points, and the
/// facts (question, what it is of, answer) in the order of the questions.
#[must_use]
pub fn answers_json(seed: u64, level: Level, exercises: &[Exercise]) -> String {
    pretty(&AnswersJson {
        format: "answers/1",
        seed,
        level: level.number(),
        sheets: exercises.iter().map(SheetJson::of).collect(),
    })
}

#[derive(Serialize)]
struct AnswersJson<'e> {
    format: &'static str,
    seed: u64,
    level: u8,
    sheets: Vec<SheetJson<'e>>,
}

#[derive(Serialize)]
struct SheetJson<'e> {
    number: usize,
    kind: &'static str,
    title: &'static str,
    subject: &'e str,
    points: u32,
    facts: Vec<FactJson<'e>>,
}

#[derive(Serialize)]
struct FactJson<'e> {
    question: usize,
    of: &'e str,
    answer: &'e str,
}

impl<'e> SheetJson<'e> {
    fn of(exercise: &'e Exercise) -> Self {
        let fact = |fact: &'e Fact| FactJson { question: fact.question, of: &fact.of, answer: &fact.answer };
        Self {
            number: exercise.number,
            kind: exercise.kind.word(),
            title: exercise.kind.title(),
            subject: &exercise.subject,
            points: exercise.points(),
            facts: exercise.facts.iter().map(fact).collect(),
        }
    }
}

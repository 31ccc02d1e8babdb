//! The answers of exercises for machines.

use serde::Serialize;

use super::write::pretty;
use crate::practice::{AnswerKey, Fact, Level};

/// What exercises were drawn from, and the answers of each: number of the sheet, kind, title, subject, points, and the
/// facts (question, what it is of, answer) in the order of the questions.
#[must_use]
pub fn answers_json(seed: u64, level: Level, keys: &[AnswerKey]) -> String {
    pretty(&AnswersJson {
        format: "answers/1",
        seed,
        level: level.number(),
        sheets: keys.iter().map(SheetJson::of).collect(),
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
    fn of(key: &'e AnswerKey) -> Self {
        let fact = |fact: &'e Fact| FactJson {
            question: fact.question,
            of: &fact.of,
            answer: &fact.answer,
        };
        Self {
            number: key.number,
            kind: key.kind.word(),
            title: key.kind.title(),
            subject: &key.subject,
            points: key.points,
            facts: key.facts.iter().map(fact).collect(),
        }
    }
}

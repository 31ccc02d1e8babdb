//! The answers of exercises for machines.

use serde::Serialize;

use super::write::pretty;
use crate::practice::{AnswerKey, Fact};

/// What exercises were drawn from, and the answers of each: number of the sheet, kind, title, subject, points, and the
/// facts in the order of the questions. An answer that is a number stands as one, with its unit and how far off it still
/// counts as right; a word stands as text.
#[must_use]
pub fn answers_json(seed: u64, keys: &[AnswerKey]) -> String {
    pretty(&AnswersJson {
        format: "answers/2",
        seed,
        sheets: keys.iter().map(SheetJson::of).collect(),
    })
}

#[derive(Serialize)]
struct AnswersJson<'e> {
    format: &'static str,
    seed: u64,
    sheets: Vec<SheetJson<'e>>,
}

#[derive(Serialize)]
struct SheetJson<'e> {
    number: usize,
    code: &'e str,
    kind: &'static str,
    title: &'static str,
    level: u8,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'e str>,
    subject: &'e str,
    points: u32,
    questions: Vec<QuestionJson<'e>>,
    facts: Vec<FactJson<'e>>,
}

/// What a question is worth.
#[derive(Serialize)]
struct QuestionJson<'e> {
    points: u32,
    /// The rule on the sheet, empty where the points are given for the whole.
    scoring: &'e str,
}

#[derive(Serialize)]
struct FactJson<'e> {
    question: usize,
    of: &'e str,
    answer: AnswerJson<'e>,
    /// As it stands in the key.
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    /// Largest difference that counts as right, in the unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    tolerance: Option<f64>,
    /// Points for this answer alone, where the rule gives each its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    points: Option<u32>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum AnswerJson<'e> {
    Number(f64),
    Word(&'e str),
}

impl<'e> SheetJson<'e> {
    fn of(key: &'e AnswerKey) -> Self {
        let questions = key.questions.iter().map(|worth| QuestionJson {
            points: worth.points,
            scoring: &worth.scoring,
        });
        Self {
            number: key.number,
            code: &key.code,
            kind: key.kind.word(),
            title: key.kind.title(),
            level: key.level.number(),
            name: key.name.as_deref(),
            subject: &key.subject,
            points: key.points,
            questions: questions.collect(),
            facts: key.facts.iter().map(FactJson::of).collect(),
        }
    }
}

impl<'e> FactJson<'e> {
    fn of(fact: &'e Fact) -> Self {
        let answer = fact.answer.number();
        Self {
            question: fact.question,
            of: &fact.of,
            answer: answer.map_or_else(|| AnswerJson::Word(fact.answer.bare()), AnswerJson::Number),
            text: fact.answer.to_string(),
            unit: fact.answer.unit().filter(|unit| !unit.is_empty()),
            tolerance: fact.within,
            points: fact.points,
        }
    }
}

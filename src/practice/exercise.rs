//! An exercise and its answers, as data.

use super::{Figure, Kind, Level, Model, Scoring, TapePicture, Value};

/// A space and a hyphen at which no line is broken.
const NO_BREAK: &str = "\u{a0}";
const NO_BREAK_HYPHEN: &str = "\u{2011}";

/// One exercise of one sheet, with everything that its key needs.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// What it trains.
    pub kind: Kind,
    /// How hard it is.
    pub level: Level,
    /// The seed that it was drawn from.
    pub seed: u64,
    /// Number of the sheet within its kind, from 1.
    pub number: usize,
    /// What the trainee's page says in place of the seed: six letters and digits.
    pub code: String,
    /// The trainee, where there is a list of the class.
    pub name: Option<String>,
    /// Vehicle and layout in a line.
    pub subject: String,
    /// What is given, above the questions.
    pub given: Vec<Block>,
    /// The questions in order.
    pub questions: Vec<Question>,
    /// Wrong answers that are often given, and what they mean.
    pub wrong: Vec<WrongAnswer>,
    /// The layout made small with its sheets, for an exercise that hands them out.
    pub model: Option<Box<Model>>,
}

/// One question with everything that its key needs.
#[derive(Clone, Debug)]
pub struct Question {
    /// What is asked.
    pub text: String,
    /// Points for a full answer.
    pub points: u32,
    /// What its parts are worth.
    pub scoring: Scoring,
    /// How far a number may be off and still count as right, one for each unit that has such a bound; other numbers
    /// are right as they stand in the key.
    pub within: Vec<Value>,
    /// Where two bounds have one unit: how the names of the answers end that each is for.
    pub apart: Option<[&'static str; 2]>,
    /// What belongs to it: a table to fill, choices, room to write.
    pub blocks: Vec<Block>,
    /// The worked answer: formula, numbers put in, result, a line each.
    pub worked: Vec<String>,
    /// Its answers, each behind what it is of: see [`Fact`].
    pub answers: Vec<(String, Value)>,
}

/// A part of a page.
#[derive(Clone, Debug)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A table; blanks are for the trainee.
    Table {
        /// Headings of the columns.
        columns: Vec<String>,
        /// Rows, each as long as `columns`.
        rows: Vec<Vec<Cell>>,
    },
    /// A picture.
    Figure(Box<Figure>),
    /// Stretches of a tape, each with an arrow at its reading.
    Tapes(Vec<TapePicture>),
    /// Ruled lines to write on.
    Lines(usize),
    /// Boxes to tick; the right ones by index.
    Choices {
        /// What can be ticked.
        options: Vec<String>,
        /// Indices of the right ones.
        right: Vec<usize>,
    },
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Printed on the sheet.
    Given(String),
    /// Left blank on the sheet; the key has this.
    Blank(String),
}

/// A wrong answer and what went wrong.
#[derive(Clone, Debug)]
pub struct WrongAnswer {
    /// What is written.
    pub answer: String,
    /// What the trainee did.
    pub meaning: String,
    /// The number in it and the name of the answer that it stands in for, where it is one.
    number: Option<(String, Value)>,
}

/// An answer of the key: a number with its unit, or a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Number of the question, from 1.
    pub question: usize,
    /// What it is of: a mark's name and a quantity, such as "4R station".
    pub of: String,
    /// The answer as it stands in the key.
    pub answer: Value,
    /// Points for this answer alone; `None` where the question's rule goes by more than one.
    pub points: Option<u32>,
    /// How far a number may be off, in its own unit; `None` for a word.
    pub within: Option<f64>,
}

impl Exercise {
    /// Points of all questions.
    #[must_use]
    pub fn points(&self) -> u32 {
        self.questions.iter().map(|question| question.points).sum()
    }

    /// The answers one by one, question by question.
    #[must_use]
    pub fn facts(&self) -> Vec<Fact> {
        let numbered = (1..).zip(&self.questions);
        numbered
            .flat_map(|(number, question)| question.facts(number))
            .collect()
    }
}

impl Question {
    /// A question with nothing below it yet.
    #[must_use]
    pub fn new(text: impl Into<String>, points: usize) -> Self {
        let points = u32::try_from(points).unwrap_or(u32::MAX);
        Self {
            text: text.into(),
            points,
            scoring: Scoring::Whole,
            within: Vec::new(),
            apart: None,
            blocks: Vec::new(),
            worked: Vec::new(),
            answers: Vec::new(),
        }
    }

    /// With what its parts are worth.
    #[must_use]
    pub fn scored(mut self, scoring: Scoring) -> Self {
        self.scoring = scoring;
        self
    }

    /// With a bound within which numbers of its unit count as right.
    #[must_use]
    pub fn right_within(mut self, bound: Value) -> Self {
        self.within.push(bound);
        self
    }

    /// With two bounds in one unit: each for the answers whose names end so.
    #[must_use]
    pub fn right_within_each(mut self, bounds: [(&'static str, Value); 2]) -> Self {
        self.apart = Some(bounds.each_ref().map(|(end, _)| *end));
        self.within = bounds.map(|(_, bound)| bound).to_vec();
        self
    }

    /// With a table, a figure or the like below what is there.
    #[must_use]
    pub fn block(mut self, block: Block) -> Self {
        self.blocks.push(block);
        self
    }

    /// With ruled lines to write on.
    #[must_use]
    pub fn lines(self, count: usize) -> Self {
        self.block(Block::Lines(count))
    }

    /// With boxes of which one is right.
    #[must_use]
    pub fn one_of(mut self, options: Vec<String>, right: usize) -> Self {
        self.text.push_str(" Tick one.");
        self.block(Block::Choices {
            options,
            right: vec![right],
        })
    }

    /// With boxes of which any number may be right: those with the indices `right`.
    #[must_use]
    pub fn any_of(mut self, options: Vec<String>, right: Vec<usize>) -> Self {
        self.text.push_str(" Tick all that apply.");
        self.block(Block::Choices { options, right })
    }

    /// With further lines of the worked answer.
    #[must_use]
    pub fn worked(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.worked.extend(lines);
        self
    }

    /// With one more answer, and what it is of.
    #[must_use]
    pub fn answer(self, of: impl Into<String>, answer: impl Into<Value>) -> Self {
        self.answers([(of.into(), answer.into())])
    }

    /// With further answers, each behind what it is of.
    #[must_use]
    pub fn answers(mut self, answers: impl IntoIterator<Item = (String, Value)>) -> Self {
        self.answers.extend(answers);
        self
    }

    /// How its points are given and how far off a number may be, as the sheet says it: empty where there is nothing to
    /// say.
    #[must_use]
    pub fn rule(&self) -> String {
        let rule = self.scoring.rule();
        let bound = |(index, bound): (usize, &Value)| {
            let end = self.apart.and_then(|ends| ends.get(index).copied());
            format!("{bound}{}", end.unwrap_or(""))
        };
        let bounds: Vec<String> = self.within.iter().enumerate().map(bound).collect();
        if bounds.is_empty() {
            return rule;
        }
        let within = format!("right within {}", bounds.join(" or "));
        if rule.is_empty() {
            within
        } else {
            format!("{rule}; {within}")
        }
    }

    /// Its answers one by one.
    fn facts(&self, question: usize) -> impl Iterator<Item = Fact> {
        let answers = self.answers.iter().enumerate();
        answers.map(move |(index, (of, answer))| Fact {
            question,
            of: of.clone(),
            answer: answer.clone(),
            points: self.points_of(index),
            within: self.bound_of(of, answer),
        })
    }

    fn points_of(&self, answer: usize) -> Option<u32> {
        match &self.scoring {
            Scoring::Whole => (self.answers.len() == 1).then_some(self.points),
            Scoring::Each { points, .. } => Some(*points),
            Scoring::Parts(parts) => parts.get(answer).map(|(points, _)| *points),
            Scoring::LessEach { .. } | Scoring::Following => None,
        }
    }

    fn bound_of(&self, of: &str, answer: &Value) -> Option<f64> {
        let unit = answer.unit()?;
        if let Some(ends) = self.apart {
            let mut bounds = ends.iter().zip(&self.within);
            let own = bounds.find(|(end, _)| of.ends_with(**end));
            return own.and_then(|(_, bound)| bound.number());
        }
        let bounds = self
            .within
            .iter()
            .filter(|bound| bound.unit() == Some(unit));
        Some(bounds.filter_map(Value::number).next().unwrap_or(0.0))
    }
}

impl Block {
    /// A paragraph.
    #[must_use]
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A table under headings.
    #[must_use]
    pub fn table<S: Into<String>, const N: usize>(
        columns: [S; N],
        rows: impl IntoIterator<Item = Vec<Cell>>,
    ) -> Self {
        Self::Table {
            columns: columns.map(Into::into).to_vec(),
            rows: rows.into_iter().collect(),
        }
    }
}

impl Cell {
    /// Printed on the sheet.
    #[must_use]
    pub fn given(text: impl Into<String>) -> Self {
        Self::Given(text.into())
    }

    /// Printed on the sheet, all on one line.
    #[must_use]
    pub fn on_one_line(text: impl AsRef<str>) -> Self {
        let text = text.as_ref();
        let kept = text.replace(' ', NO_BREAK);
        // A dash alone stands for nothing, and stays one.
        Self::Given(match text {
            "–" => kept,
            _ => kept.replace('–', NO_BREAK_HYPHEN),
        })
    }

    /// Left blank on the sheet.
    #[must_use]
    pub fn blank(text: impl Into<String>) -> Self {
        Self::Blank(text.into())
    }
}

impl WrongAnswer {
    /// What is written in words, and what the trainee did.
    #[must_use]
    pub fn new(answer: impl Into<String>, meaning: impl Into<String>) -> Self {
        Self {
            answer: answer.into(),
            meaning: meaning.into(),
            number: None,
        }
    }

    /// A number that is written for the answer of this name. A sheet drops it where, as printed, it counts as right.
    #[must_use]
    pub fn number(of: impl Into<String>, value: Value, meaning: impl Into<String>) -> Self {
        let of = of.into();
        Self {
            answer: format!("{of} {value}"),
            meaning: meaning.into(),
            number: Some((of, value)),
        }
    }

    /// True when what is written counts as right among these answers.
    pub(super) fn is_right(&self, facts: &[Fact]) -> bool {
        let Some((of, value)) = &self.number else {
            return false;
        };
        let own = facts.iter().filter(|fact| fact.of == *of);
        let mut right = own.map(|fact| match (fact.answer.number(), value.number()) {
            (Some(right), Some(written)) => {
                (right - written).abs() <= fact.within.unwrap_or(0.0) + PRINTED
            }
            _ => fact.answer == *value,
        });
        right.any(|right| right)
    }
}

/// Printed numbers that differ by less are the same: a millionth of their unit.
const PRINTED: f64 = 1e-6;

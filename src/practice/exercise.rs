//! An exercise and its answers, as data.

use super::{Figure, Kind, Level, Model};

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
    /// What belongs to it: a table to fill, choices, room to write.
    pub blocks: Vec<Block>,
    /// The worked answer: formula, numbers put in, result, a line each.
    pub worked: Vec<String>,
    /// What each of its answers is of, and the answer: see [`Fact`].
    pub answers: Vec<(String, String)>,
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
}

/// An answer for machines: a number with its unit, or a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// Number of the question, from 1.
    pub question: usize,
    /// What it is of: a mark's name and a quantity, such as "4R station".
    pub of: String,
    /// The answer as it stands in the key.
    pub answer: String,
}

impl Exercise {
    /// Points of all questions.
    #[must_use]
    pub fn points(&self) -> u32 {
        self.questions.iter().map(|question| question.points).sum()
    }

    /// The answers for machines, question by question.
    #[must_use]
    pub fn facts(&self) -> Vec<Fact> {
        let of = |(question, asked): (usize, &Question)| {
            let answers = asked.answers.clone().into_iter();
            answers
                .map(move |(of, answer)| Fact {
                    question,
                    of,
                    answer,
                })
                .collect::<Vec<_>>()
        };
        (1..).zip(&self.questions).flat_map(of).collect()
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
            blocks: Vec::new(),
            worked: Vec::new(),
            answers: Vec::new(),
        }
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

    /// With boxes to tick, of which those with the indices `right` are right.
    #[must_use]
    pub fn choices(self, options: Vec<String>, right: Vec<usize>) -> Self {
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
    pub fn answer(self, of: impl Into<String>, answer: impl Into<String>) -> Self {
        self.answers([(of.into(), answer.into())])
    }

    /// With further answers, each behind what it is of.
    #[must_use]
    pub fn answers(mut self, answers: impl IntoIterator<Item = (String, String)>) -> Self {
        self.answers.extend(answers);
        self
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

    /// Left blank on the sheet.
    #[must_use]
    pub fn blank(text: impl Into<String>) -> Self {
        Self::Blank(text.into())
    }
}

impl WrongAnswer {
    /// What is written, and what the trainee did.
    #[must_use]
    pub fn new(answer: impl Into<String>, meaning: impl Into<String>) -> Self {
        Self {
            answer: answer.into(),
            meaning: meaning.into(),
        }
    }
}

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
    /// The worked answers, step by step.
    pub worked: Vec<Worked>,
    /// Wrong answers that are often given, and what they mean.
    pub wrong: Vec<WrongAnswer>,
    /// The answers for machines.
    pub facts: Vec<Fact>,
    /// The layout made small with its sheets, for an exercise that hands them out.
    pub model: Option<Box<Model>>,
}

/// One question.
#[derive(Clone, Debug)]
pub struct Question {
    /// What is asked.
    pub text: String,
    /// Points for a full answer.
    pub points: u32,
    /// What belongs to it: a table to fill, choices, room to write.
    pub blocks: Vec<Block>,
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

/// A worked answer.
#[derive(Clone, Debug)]
pub struct Worked {
    /// Number of the question, from 1.
    pub question: usize,
    /// Formula, numbers put in, result, a line each.
    pub lines: Vec<String>,
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
}

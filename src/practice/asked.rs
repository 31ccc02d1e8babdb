//! A question about a table, row by row.

use super::{Block, Cell, Question, Scoring, Value};

/// The rows of a table to fill in, with their answers and the lines of the worked answer. Each blank is worth a point.
#[derive(Default)]
pub(super) struct Asked {
    rows: Vec<Vec<Cell>>,
    /// What each answer is of, and the answer.
    pub answers: Vec<(String, Value)>,
    /// Lines of the worked answer.
    pub worked: Vec<String>,
}

impl Asked {
    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Notes an answer and returns its cell, which has no unit: the column says it.
    pub fn blank(&mut self, of: impl Into<String>, answer: impl Into<Value>) -> Cell {
        let answer = answer.into();
        let cell = Cell::blank(answer.bare());
        self.answers.push((of.into(), answer));
        cell
    }

    /// The question with its table.
    pub fn question<S: Into<String>>(
        self,
        text: impl Into<String>,
        columns: impl IntoIterator<Item = S>,
    ) -> Question {
        let columns = columns.into_iter().map(Into::into).collect();
        let blanks = self.rows.iter().flatten();
        let points = blanks.filter(|cell| matches!(cell, Cell::Blank(_))).count();
        let question = Question::new(text, points).scored(Scoring::BLANKS);
        question
            .block(Block::Table {
                columns,
                rows: self.rows,
            })
            .worked(self.worked)
            .answers(self.answers)
    }
}

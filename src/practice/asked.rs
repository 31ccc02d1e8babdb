//! A question about a table, row by row.

use super::{Block, Cell, Question};

/// The rows of a table to fill in, with their answers and the lines of the worked answer.
#[derive(Default)]
pub(super) struct Asked {
    rows: Vec<Vec<Cell>>,
    /// What each answer is of, and the answer.
    pub answers: Vec<(String, String)>,
    /// Lines of the worked answer.
    pub worked: Vec<String>,
}

impl Asked {
    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Notes an answer in mm.
    pub fn note(&mut self, of: impl Into<String>, answer: &str) {
        self.answers.push((of.into(), format!("{answer} mm")));
    }

    /// Notes an answer in mm and returns its cell.
    pub fn blank(&mut self, of: impl Into<String>, answer: String) -> Cell {
        self.note(of, &answer);
        Cell::Blank(answer)
    }

    /// The question with its table.
    pub fn question<S: Into<String>>(
        self,
        text: impl Into<String>,
        points: usize,
        columns: impl IntoIterator<Item = S>,
    ) -> Question {
        let table = Block::Table {
            columns: columns.into_iter().map(Into::into).collect(),
            rows: self.rows,
        };
        let question = Question::new(text, points).block(table);
        question.worked(self.worked).answers(self.answers)
    }
}

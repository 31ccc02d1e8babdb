//! Which width each column of an open table gets.

use super::{Cell, ROUNDING, Room, Table};
use crate::drawing::{Weight, text_width};

/// Clear width between two columns, mm.
const COLUMN_GAP: f64 = 1.8;

impl Table {
    /// Left and right edge of each column in a table of `width` mm.
    pub(super) fn column_spans(&self, width: f64) -> Option<Vec<(f64, f64)>> {
        let gaps = COLUMN_GAP * self.columns.len().saturating_sub(1) as f64;
        let least: Vec<f64> = (0..self.columns.len())
            .map(|index| self.least_of(index))
            .collect();
        let spare = width - gaps - least.iter().sum::<f64>();
        if spare < -ROUNDING {
            return None;
        }
        let growing = self
            .columns
            .iter()
            .filter(|c| matches!(c.room, Room::Rest(_)))
            .count();
        let spare = spare.max(0.0);
        // Without a column that grows, the gaps take what is left.
        let extra_gap = if growing == 0 && least.len() > 1 {
            spare / (least.len() - 1) as f64
        } else {
            0.0
        };
        let mut left = 0.0;
        let spans = self.columns.iter().zip(&least).map(|(column, &least)| {
            let grown = if matches!(column.room, Room::Rest(_)) {
                spare / growing as f64
            } else {
                0.0
            };
            let span = (left, left + least + grown);
            left = span.1 + COLUMN_GAP + extra_gap;
            span
        });
        Some(spans.collect())
    }

    fn least_of(&self, index: usize) -> f64 {
        let column = &self.columns[index];
        match column.room {
            Room::Rest(width) => width,
            Room::Content | Room::Words => {
                let heading = column
                    .heading
                    .lines()
                    .map(|line| text_width(line, self.headings, Weight::Bold));
                let cells = self
                    .rows
                    .iter()
                    .map(|row| self.natural_width(&row.cells[index]));
                heading.chain(cells).fold(0.0, f64::max)
            }
        }
    }

    fn natural_width(&self, cell: &Cell) -> f64 {
        match cell {
            Cell::Band(_) => 0.0,
            _ => text_width(cell.text(), self.height_in(cell), cell.weight()),
        }
    }
}

//! The table of sheet 0 that says which sheets begin a piece, and by which two points each is laid.

use crate::{
    cover::SheetPlan,
    drawing::{Text, heights},
    page::{Align, Cell, Column, Fragment, Room, Row, Table},
    plan::FloorPlan,
    words::printed::pieces,
};

/// Height of the numbers, mm: read by people who kneel.
const LETTERING: f64 = 3.0;

/// Height of a row, mm.
const ROW_MM: f64 = 5.0;

/// Depth of the title's line, mm.
const TITLE_MM: f64 = heights::HEADING * 1.4;

/// What a table holds at most, and which of its rows are still to come.
pub(super) struct PieceTable {
    headings: [String; 8],
    rows: Vec<[String; 8]>,
}

impl PieceTable {
    /// The table of a plan's sheets.
    pub(super) fn of(plan: &FloorPlan, sheets: &SheetPlan, inches: bool) -> Self {
        Self {
            headings: pieces::headings(sheets, inches),
            rows: pieces::rows(plan, sheets, inches),
        }
    }

    /// True when no row is left.
    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// As many of the rows that are left as fit on `width` × `height` mm, and drops them; `None` where not even one does.
    pub(super) fn take(&mut self, width: f64, height: f64) -> Option<Fragment> {
        let empty = self.lay_out(0, width)?;
        let room = ((height - empty.height) / ROW_MM).floor().max(0.0) as usize;
        let count = room.min(self.rows.len());
        let piece = (count > 0).then(|| self.lay_out(count, width))??;
        self.rows.drain(..count);
        Some(piece)
    }

    fn lay_out(&self, count: usize, width: f64) -> Option<Fragment> {
        let align = [
            Align::Left,
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Left,
        ];
        let columns = || {
            let columns = self.headings.iter().zip(align);
            columns
                .map(|(heading, align)| Column::new(heading.as_str(), align, Room::Content))
                .collect()
        };
        let cells = |row: &[String; 8]| {
            let mut cells: Vec<Cell> = row.iter().cloned().map(Cell::Text).collect();
            for bold in [0, 1, 4] {
                cells[bold] = Cell::Bold(row[bold].clone());
            }
            Row::of(cells)
        };
        let table = |lettering| Table {
            headings: heights::SMALL,
            columns: columns(),
            rows: self.rows[..count].iter().map(cells).collect(),
            lettering,
            row_height: ROW_MM,
        };
        let table = table(LETTERING)
            .lay_out(width)
            .or_else(|| table(heights::TEXT).lay_out(width))?;
        let mut piece = Fragment::new(width);
        let title = Text::new((0.0, -heights::HEADING), heights::HEADING, pieces::TITLE);
        piece.canvas().text(title.bold());
        piece.height = TITLE_MM;
        piece.stack(&table, 1.0);
        Some(piece)
    }
}

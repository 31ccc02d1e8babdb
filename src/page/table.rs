//! A small table layouter: columns that know their width, rows in groups, room to write by hand.

mod parts;
mod spans;

use kurbo::{Point, Rect};

use super::{Fragment, LEADING, shorten, wrap_to};
use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths};

/// Rounding allowed when a table is laid out just as wide as it needs, mm.
const ROUNDING: f64 = 1e-6;
/// Least clear height between the rule below the headings and the first row's capitals, mm.
const RULE_AIR: f64 = 0.7;
/// Clear height above and below a box for handwriting, mm, so that boxes of two rows stay apart.
const BOX_INSET: f64 = 0.35;
/// Side of a tick box as a multiple of the lettering.
const TICK: f64 = 1.15;
/// A wrapped cell takes at most this many lines where its group of rows leaves room for fewer.
const MOST_WRAPPED: usize = 3;

/// On which side the cells of a column stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Text.
    Left,
    /// Numbers.
    Right,
    /// Numbers at the right where a column in boxes holds nothing else, all else at the left.
    Content,
}

/// How wide a column is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Room {
    /// As wide as its widest cell or heading.
    Content,
    /// What the others leave, shared equally, at least this many mm; wider text is shortened.
    Rest(f64),
    /// In boxes: between its longest word and its longest line.
    Words,
}

/// A column.
#[derive(Clone, Debug)]
pub struct Column {
    /// Heading; `\n` breaks it.
    pub heading: String,
    /// Alignment of heading and cells.
    pub align: Align,
    /// Width.
    pub room: Room,
}

impl Column {
    /// A column of a table in boxes.
    #[must_use]
    pub fn boxed(heading: &String) -> Self {
        Self::new(heading, Align::Content, Room::Words)
    }

    /// A column with its heading.
    pub fn new(heading: impl Into<String>, align: Align, room: Room) -> Self {
        Self {
            heading: heading.into(),
            align,
            room,
        }
    }
}

/// What stands in a cell.
#[derive(Clone, Debug)]
pub enum Cell {
    /// Nothing.
    Blank,
    /// One line.
    Text(String),
    /// One line in bold.
    Bold(String),
    /// A number that is taped, in its own height.
    Number(String),
    /// Text that may run on over the blank cells below it in its group.
    Wrapped(String),
    /// A box to write in.
    Write,
    /// Room to write what is given here by hand, or nothing where it does not matter how much.
    Space(String),
    /// A line in bold over the whole row, in its first cell; the others are blank.
    Band(String),
}

impl Cell {
    /// What stands in it, or shall be written in it.
    pub(super) fn text(&self) -> &str {
        match self {
            Self::Text(text)
            | Self::Bold(text)
            | Self::Number(text)
            | Self::Wrapped(text)
            | Self::Band(text)
            | Self::Space(text) => text,
            Self::Blank | Self::Write => "",
        }
    }

    pub(super) const fn weight(&self) -> Weight {
        match self {
            Self::Bold(_) | Self::Band(_) | Self::Space(_) => Weight::Bold,
            _ => Weight::Regular,
        }
    }
}

/// A row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Cells, one per column.
    pub cells: Vec<Cell>,
    /// True where a new group begins: a thin rule is drawn above.
    pub starts_group: bool,
}

impl Row {
    /// A row that goes on with its group.
    #[must_use]
    pub const fn of(cells: Vec<Cell>) -> Self {
        Self {
            cells,
            starts_group: false,
        }
    }
}

/// A table to be laid out: open, with a rule between groups of rows, by [`Table::lay_out`]; in boxes by [`Table::pieces`].
#[derive(Clone, Debug)]
pub struct Table {
    /// Columns from left to right.
    pub columns: Vec<Column>,
    /// Rows from top to bottom.
    pub rows: Vec<Row>,
    /// Height of the lettering, mm; numbers that are taped have [`heights::NUMBER`].
    pub lettering: f64,
    /// Height of the headings of an open table, mm.
    pub headings: f64,
    /// Height of a one-line row, mm; in boxes, least height of a row with room to write.
    pub row_height: f64,
}

impl Table {
    /// Lays the table out to `width` mm; `None` when its columns need more.
    #[must_use]
    pub fn lay_out(&self, width: f64) -> Option<Fragment> {
        let columns = self.column_spans(width)?;
        let mut piece = Fragment::new(width);
        let mut y = -self.headings(piece.canvas(), &columns);
        piece.canvas().line(
            Layer::Labels,
            (0.0, y),
            (width, y),
            Stroke::solid(widths::MEDIUM),
        );
        y -= (RULE_AIR - (self.row_height - self.lettering) / 2.0).max(0.0);
        for group in self.groups() {
            if group.start > 0 {
                let rule = Stroke::solid(widths::FINE).toned(Tone::QUIET);
                piece
                    .canvas()
                    .line(Layer::Labels, (0.0, y), (width, y), rule);
            }
            y = self.group(piece.canvas(), &columns, group, y);
        }
        piece.canvas().line(
            Layer::Labels,
            (0.0, y),
            (width, y),
            Stroke::solid(widths::THIN),
        );
        piece.height = -y;
        Some(piece)
    }

    /// Writes the headings, bottom lines level; gives their height.
    fn headings(&self, canvas: &mut Drawing, columns: &[(f64, f64)]) -> f64 {
        let pitch = self.headings * LEADING;
        let lines = self
            .columns
            .iter()
            .map(|c| c.heading.lines().count())
            .max()
            .unwrap_or(0);
        let height = pitch * lines as f64 + 0.4;
        for (column, &span) in self.columns.iter().zip(columns) {
            let count = column.heading.lines().count();
            for (index, line) in column.heading.lines().enumerate() {
                let baseline = -height + 0.9 + pitch * (count - 1 - index) as f64;
                canvas.text(aligned(line, column.align, span, baseline, self.headings).bold());
            }
        }
        height
    }

    /// Runs of rows that belong together.
    fn groups(&self) -> Vec<std::ops::Range<usize>> {
        let mut starts: Vec<usize> = (0..self.rows.len())
            .filter(|&index| index == 0 || self.rows[index].starts_group)
            .collect();
        starts.push(self.rows.len());
        starts.windows(2).map(|pair| pair[0]..pair[1]).collect()
    }

    fn group(
        &self,
        canvas: &mut Drawing,
        columns: &[(f64, f64)],
        rows: std::ops::Range<usize>,
        top: f64,
    ) -> f64 {
        let height = self.row_height * rows.len() as f64;
        let mut wrapped_to = 0.0_f64;
        let mut y = top;
        for row in &self.rows[rows] {
            for ((cell, column), &span) in row.cells.iter().zip(&self.columns).zip(columns) {
                if let Cell::Wrapped(text) = cell {
                    let room = height - (top - y);
                    wrapped_to =
                        wrapped_to.max((top - y) + self.wrapped(canvas, text, span, y, room));
                } else {
                    self.cell(canvas, cell, column.align, span, y);
                }
            }
            y -= self.row_height;
        }
        y.min(top - wrapped_to)
    }

    /// Height of a cell's lettering, mm.
    const fn height_in(&self, cell: &Cell) -> f64 {
        match cell {
            Cell::Number(_) => heights::NUMBER,
            _ => self.lettering,
        }
    }

    /// Distance from a row's top to the baseline of its first line.
    fn first_baseline(&self) -> f64 {
        f64::midpoint(self.row_height, self.lettering)
    }

    /// Writes text that may run on within its group; gives the height that it takes.
    fn wrapped(
        &self,
        canvas: &mut Drawing,
        text: &str,
        span: (f64, f64),
        top: f64,
        room: f64,
    ) -> f64 {
        let pitch = self.lettering * LEADING;
        let fitting = ((room - self.row_height) / pitch + 1e-9).floor().max(0.0) as usize + 1;
        let lines = wrap_to(
            text,
            span.1 - span.0,
            self.lettering,
            Weight::Regular,
            fitting.max(MOST_WRAPPED),
        );
        for (index, line) in lines.iter().enumerate() {
            let baseline = top - self.first_baseline() - pitch * index as f64;
            canvas.text(Text::new((span.0, baseline), self.lettering, line.clone()));
        }
        self.row_height + pitch * lines.len().saturating_sub(1) as f64
    }

    fn cell(&self, canvas: &mut Drawing, cell: &Cell, align: Align, span: (f64, f64), top: f64) {
        let width = span.1 - span.0;
        let baseline = top - self.first_baseline();
        match cell {
            Cell::Blank | Cell::Wrapped(_) | Cell::Space(_) => {}
            Cell::Text(text) | Cell::Bold(text) | Cell::Number(text) => {
                let (height, weight) = (self.height_in(cell), cell.weight());
                let text = shorten(text, width + ROUNDING, height, weight);
                canvas.text(Text {
                    weight,
                    ..aligned(&text, align, span, baseline, height)
                });
            }
            Cell::Write => {
                let low = top - self.row_height + BOX_INSET;
                let space = Rect::new(span.0, low, span.1, top - BOX_INSET);
                canvas.rect(
                    Layer::Labels,
                    space,
                    None,
                    Some(Stroke::solid(widths::FINE)),
                );
            }
            Cell::Band(text) => {
                canvas.text(Text::new((span.0, baseline), self.lettering, text.clone()).bold())
            }
        }
    }
}

/// Draws a box to tick beside lettering of `lettering` mm whose baseline starts at `at`.
pub fn tick_box(canvas: &mut Drawing, at: Point, lettering: f64) {
    let side = TICK * lettering;
    let below = (side - lettering) / 2.0;
    let square = Rect::new(at.x, at.y - below, at.x + side, at.y - below + side);
    canvas.rect(
        Layer::Labels,
        square,
        None,
        Some(Stroke::solid(widths::THIN)),
    );
}

fn aligned(text: &str, align: Align, span: (f64, f64), baseline: f64, height: f64) -> Text {
    match align {
        Align::Left | Align::Content => Text::new((span.0, baseline), height, text),
        Align::Right => Text::new((span.1, baseline), height, text).right(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::drawing::Anchor;

    fn table(rows: &[(&str, &str)]) -> Table {
        Table {
            columns: vec![
                Column::new("name", Align::Left, Room::Rest(20.0)),
                Column::new("mm", Align::Right, Room::Content),
            ],
            rows: rows
                .iter()
                .map(|(name, mm)| Row {
                    cells: vec![Cell::Text((*name).to_owned()), Cell::Text((*mm).to_owned())],
                    starts_group: false,
                })
                .collect(),
            lettering: 2.5,
            headings: heights::SMALL,
            row_height: 4.4,
        }
    }

    fn texts(table: &Table, width: f64) -> Vec<Text> {
        let mut page = Drawing::new("", width, 200.0);
        table.lay_out(width).unwrap().place(&mut page, 0.0, 200.0);
        page.texts().into_iter().cloned().collect()
    }

    #[test]
    fn numbers_of_a_column_end_at_one_place() {
        let texts = texts(
            &table(&[("a", "1250"), ("b", "\u{2212}850"), ("c", "7")]),
            80.0,
        );
        let ends: Vec<f64> = texts
            .iter()
            .filter(|t| t.anchor == Anchor::End)
            .map(|t| t.at.x)
            .collect();
        assert_eq!(ends, vec![80.0; 4]);
    }

    #[test]
    fn a_table_that_is_too_wide_is_refused() {
        assert!(table(&[("a", "1250")]).lay_out(24.0).is_none());
        assert!(table(&[("a", "1250")]).lay_out(60.0).is_some());
    }

    #[test]
    fn text_wider_than_its_column_is_shortened_to_it() {
        let long = "a name that goes on and on and on and on";
        let texts = texts(&table(&[(long, "1250")]), 50.0);
        let name = texts
            .iter()
            .find(|t| t.content.starts_with("a name"))
            .unwrap();
        assert!(
            name.content.ends_with('…') && name.at.x + name.width() < 40.0,
            "{name:?}"
        );
    }

    #[test]
    fn each_row_adds_its_height() {
        let (one, three) = (
            table(&[("a", "1")]),
            table(&[("a", "1"), ("b", "2"), ("c", "3")]),
        );
        let difference = three.lay_out(60.0).unwrap().height - one.lay_out(60.0).unwrap().height;
        assert!((difference - 2.0 * 4.4).abs() < 1e-9);
    }

    #[test]
    fn wrapped_text_makes_a_lone_row_grow_and_uses_the_rows_of_a_group_first() {
        let long = "the foremost of the marks that lie on the centreline".to_owned();
        let mut lone = table(&[("a", "1")]);
        let short = lone.lay_out(60.0).unwrap().height;
        lone.rows[0].cells[0] = Cell::Wrapped(long.clone());
        assert!(lone.lay_out(60.0).unwrap().height > short + 3.0);
        let mut pair = table(&[("a", "1"), ("", "2")]);
        let plain = pair.lay_out(60.0).unwrap().height;
        pair.rows[0].cells[0] = Cell::Wrapped(long);
        assert!((pair.lay_out(60.0).unwrap().height - plain).abs() < 1e-9);
    }
}

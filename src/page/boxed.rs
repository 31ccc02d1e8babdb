//! A table in boxes: every cell has its borders, so that a hand finds its place. Cells run on over several lines, a long
//! narrow table stands in groups side by side, and its rows are pieces that flow over pages below their headings.

use std::rc::Rc;

use kurbo::Rect;

use super::{Align, Cell, Column, Fragment, Piece, Row, Table, height_of, words, wrap};
use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths};

/// Clear space left and right in a cell, as a part of the lettering.
const PADDING: f64 = 0.4;
/// Clear height above and below the lettering of a cell, as a part of the lettering; less where nothing is written in a
/// table of small lettering.
const AIR: f64 = 0.6;
const LITTLE_AIR: f64 = 0.36;
/// A column grows at most by this much beyond what stands in it, mm: a table of two columns need not be as wide as
/// the page.
const MOST_GROWTH: f64 = 22.0;
/// Narrowest clear width of a cell to write in, mm: five digits by hand.
const WRITE_LEAST: f64 = 13.0;
/// Fill of the headings: pale enough for a copy of a copy.
const HEADING: Tone = Tone(0.92);

/// Most groups of rows side by side.
const MOST_GROUPS: usize = 4;
/// Clear space between groups, mm.
const GROUPS_GAP: f64 = 3.0;
/// More groups have to make a table this much lower, as a part of its height: cells that run over several lines gain nothing.
const WORTH: f64 = 0.9;
/// Rows that stay together at the beginning and at the end of a table that is torn apart.
const TOGETHER: usize = 3;

/// Least and wished width of a column, mm, padding included.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    least: f64,
    wished: f64,
}

/// A table on its way to paper.
struct Ruled {
    widths: Vec<f64>,
    /// Columns of numbers: they stand at the right.
    numbers: Vec<bool>,
}

impl Table {
    /// The table as pieces, headings first, none wider than `width` mm. Text that is wider than its column runs on over
    /// several lines; where not even single words fit, the lettering gets smaller. A long narrow table stands in several
    /// groups of at least `least_rows` rows side by side.
    pub fn pieces(&self, width: f64, gap: f64, least_rows: usize) -> Vec<Piece> {
        if self.lettering > heights::TEXT && self.least_width() > width {
            let small = Self {
                lettering: heights::TEXT,
                ..self.clone()
            };
            return small.pieces(width, gap, least_rows);
        }
        let wishes = self.wishes();
        let groups = self.side_by_side(&wishes, width, least_rows);
        let ruled = self.boxes(&wishes, width, groups);
        let count = self.rows.len().div_ceil(groups).max(1);
        // Downwards first: the first rows on the left.
        let beside = |index: usize| -> Vec<Option<&Row>> {
            (0..groups)
                .map(|group| self.rows.get(group * count + index))
                .collect()
        };
        let rows = (0..count.min(self.rows.len()))
            .map(|index| self.boxed_row(&beside(index), &ruled, false))
            .collect();
        let headings = self.heading_row();
        let head = headings
            .as_ref()
            .map(|headings| Rc::new(self.boxed_row(&vec![Some(headings); groups], &ruled, true)));
        below(head, rows, gap)
    }

    /// How many groups side by side make the table lowest.
    fn side_by_side(&self, wishes: &[Wish], width: f64, least_rows: usize) -> usize {
        let (rows, least) = (self.rows.len(), sum_of_least(wishes));
        let fits = |groups: &usize| {
            rows >= groups * least_rows
                && least * *groups as f64 + GROUPS_GAP * (groups - 1) as f64 <= width
        };
        let more = (2..=MOST_GROUPS).take_while(fits);
        more.fold((1, None), |(best, height): (usize, Option<f64>), groups| {
            let height = height.unwrap_or_else(|| self.height(wishes, width, best));
            let lower = self.height(wishes, width, groups);
            if lower < WORTH * height {
                (groups, Some(lower))
            } else {
                (best, Some(height))
            }
        })
        .0
    }

    fn boxes(&self, wishes: &[Wish], width: f64, groups: usize) -> Ruled {
        let widths = column_widths(
            wishes,
            (width - GROUPS_GAP * (groups - 1) as f64) / groups as f64,
        );
        let right = |(index, column): (usize, &Column)| match column.align {
            Align::Left => false,
            Align::Right => true,
            Align::Content => self.is_numbers(index),
        };
        let numbers = self.columns.iter().enumerate().map(right).collect();
        Ruled { widths, numbers }
    }

    /// Height of the table in so many groups.
    fn height(&self, wishes: &[Wish], width: f64, groups: usize) -> f64 {
        let widths = self.boxes(wishes, width, groups).widths;
        let count = self.rows.len().div_ceil(groups).max(1);
        let row = |row: &Row| self.boxed_height(row, &self.lines(row, &widths));
        let heights: Vec<f64> = self.rows.iter().map(row).collect();
        let highest = |index: usize| {
            (index..heights.len())
                .step_by(count)
                .map(|row| heights[row])
                .fold(0.0, f64::max)
        };
        self.heading_row().map_or(0.0, |headings| row(&headings))
            + (0..count).map(highest).sum::<f64>()
    }

    /// None where no column has one.
    fn heading_row(&self) -> Option<Row> {
        let cells = self
            .columns
            .iter()
            .map(|column| Cell::Bold(column.heading.clone()));
        let any = self.columns.iter().any(|column| !column.heading.is_empty());
        any.then(|| Row::of(cells.collect()))
    }

    fn padding(&self) -> f64 {
        PADDING * self.lettering
    }

    /// Width that keeps every word in one piece, mm.
    pub fn least_width(&self) -> f64 {
        sum_of_least(&self.wishes())
    }

    fn wishes(&self) -> Vec<Wish> {
        (0..self.columns.len())
            .map(|index| self.wish(index))
            .collect()
    }

    fn wish(&self, column: usize) -> Wish {
        let line =
            |text: &str, weight| text_width(text, self.lettering, weight) + 2.0 * self.padding();
        let word = |text: &str, weight| {
            words(text)
                .map(|word| line(&word, weight))
                .fold(0.0, f64::max)
        };
        let heading = &self.columns[column].heading;
        let start = Wish {
            least: word(heading, Weight::Bold),
            wished: line(heading, Weight::Bold).min(45.0),
        };
        self.rows
            .iter()
            .map(|row| &row.cells[column])
            .fold(start, |wish, cell| {
                let (text, weight) = (cell.text(), cell.weight());
                let mut own = Wish {
                    least: word(text, weight),
                    wished: line(text, weight),
                };
                if matches!(cell, Cell::Space(_)) {
                    own.least = own.least.max(WRITE_LEAST + 2.0 * self.padding());
                    own.wished = own.wished.max(own.least);
                }
                Wish {
                    least: wish.least.max(own.least),
                    wished: wish.wished.max(own.wished).max(wish.least),
                }
            })
    }

    /// Numbers of a column stand at its right.
    fn is_numbers(&self, column: usize) -> bool {
        let mut texts = self
            .rows
            .iter()
            .map(|row| row.cells[column].text())
            .filter(|text| !text.is_empty())
            .peekable();
        let number = |text: &str| {
            let digits = text.trim_start_matches(['+', '-', '−', '±', ' ']);
            digits.starts_with(|first: char| first.is_ascii_digit())
                && !text.contains(char::is_alphabetic)
        };
        texts.peek().is_some() && texts.all(number)
    }

    /// Rows of all groups side by side, as high as the highest, so that their borders meet.
    fn boxed_row(&self, groups: &[Option<&Row>], ruled: &Ruled, heading: bool) -> Fragment {
        let table: f64 = ruled.widths.iter().sum();
        let step = table + GROUPS_GAP;
        let mut piece = Fragment::new(step * groups.len() as f64 - GROUPS_GAP);
        let lines: Vec<_> = groups
            .iter()
            .map(|row| row.map(|row| self.lines(row, &ruled.widths)))
            .collect();
        let rows = groups
            .iter()
            .zip(&lines)
            .filter_map(|(row, lines)| Some(self.boxed_height((*row)?, lines.as_ref()?)));
        piece.height = rows.fold(0.0, f64::max);
        let height = piece.height;
        for (group, (row, lines)) in groups.iter().zip(&lines).enumerate() {
            if let (Some(row), Some(lines)) = (row, lines) {
                let cells = row.cells.iter().zip(lines);
                self.draw_boxes(
                    piece.canvas(),
                    (group as f64 * step, height),
                    cells,
                    ruled,
                    heading,
                );
            }
        }
        piece
    }

    /// The cells of one row of one group, from `left` mm on and `height` mm high.
    fn draw_boxes<'r>(
        &self,
        canvas: &mut Drawing,
        (mut left, height): (f64, f64),
        cells: impl Iterator<Item = (&'r Cell, &'r Vec<String>)>,
        ruled: &Ruled,
        heading: bool,
    ) {
        let stroke = Stroke::solid(widths::THIN);
        for ((entry, lines), (&width, &right)) in cells.zip(ruled.widths.iter().zip(&ruled.numbers))
        {
            let cell = Rect::new(left, -height, left + width, 0.0);
            canvas.rect(Layer::Lines, cell, heading.then_some(HEADING), Some(stroke));
            let block = height_of(lines.len(), self.lettering);
            for (number, line) in lines.iter().enumerate() {
                let baseline =
                    -f64::midpoint(height, -block) - height_of(number + 1, self.lettering);
                let x = if right {
                    cell.x1 - self.padding()
                } else {
                    cell.x0 + self.padding()
                };
                let text = Text {
                    weight: entry.weight(),
                    ..Text::new((x, baseline), self.lettering, line.clone())
                };
                canvas.text(if right { text.right() } else { text });
            }
            left += width;
        }
    }

    fn boxed_height(&self, row: &Row, lines: &[Vec<String>]) -> f64 {
        let block = height_of(
            lines.iter().map(Vec::len).max().unwrap_or(0),
            self.lettering,
        );
        let is_space = |cell: &Cell| matches!(cell, Cell::Space(_));
        let written = self.rows.iter().flat_map(|row| &row.cells).any(is_space);
        let air = if written || self.lettering > heights::TEXT {
            AIR
        } else {
            LITTLE_AIR
        };
        let height = block + 2.0 * air * self.lettering;
        if row.cells.iter().any(is_space) {
            height.max(self.row_height)
        } else {
            height
        }
    }

    fn lines(&self, row: &Row, widths: &[f64]) -> Vec<Vec<String>> {
        let lines = |(cell, width): (&Cell, &f64)| match cell {
            Cell::Space(_) => Vec::new(),
            _ => wrap(
                cell.text(),
                width - 2.0 * self.padding(),
                self.lettering,
                cell.weight(),
            ),
        };
        row.cells.iter().zip(widths).map(lines).collect()
    }
}

fn sum_of_least(wishes: &[Wish]) -> f64 {
    wishes.iter().map(|wish| wish.least).sum()
}

/// Widths between what columns need and what they wish, or a little more.
fn column_widths(wishes: &[Wish], width: f64) -> Vec<f64> {
    let wished: f64 = wishes.iter().map(|wish| wish.wished).sum();
    let least = sum_of_least(wishes);
    let of = |wish: &Wish| {
        if wished <= width {
            wish.wished + ((width - wished) / wishes.len() as f64).min(MOST_GROWTH)
        } else if least >= width {
            wish.least * width / least
        } else {
            wish.least + (wish.wished - wish.least) * (width - least) / (wished - least)
        }
    };
    wishes.iter().map(of).collect()
}

/// Rows below their headings; few of them are never left alone at the beginning or the end.
fn below(head: Option<Rc<Fragment>>, rows: Vec<Fragment>, gap: f64) -> Vec<Piece> {
    let count = rows.len();
    let heading = head
        .as_ref()
        .map(|head| Piece::new((**head).clone(), gap).kept());
    let first_gap = if heading.is_some() { 0.0 } else { gap };
    let row = |(index, row)| {
        let keep = index + 1 < count && (index + 1 < TOGETHER || index + TOGETHER >= count);
        let gap = if index == 0 { first_gap } else { 0.0 };
        Piece {
            repeat: head.clone(),
            keep,
            ..Piece::new(row, gap)
        }
    };
    heading
        .into_iter()
        .chain(rows.into_iter().enumerate().map(row))
        .collect()
}

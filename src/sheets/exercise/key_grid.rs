//! A dense ruled table with headings over several columns.

use kurbo::Rect;

use super::key_columns::{Column, Columns, Group};
use crate::{
    drawing::{Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    sheets::{fragment::Fragment, wrap::wrap},
};

/// Clear space left and right in a cell, mm.
const PADDING: f64 = 0.75;
/// Clear height above and below the lettering of a cell, as a part of the lettering: descenders take 0.34.
const AIR: f64 = 0.5;
/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.5;
/// A column grows at most by this much beyond what stands in it, mm.
const MOST_GROWTH: f64 = 6.0;
/// A heading over several columns is broken into about this many lines before it widens them.
const HEADING_LINES: f64 = 3.0;
/// Clear space between parts of a table side by side, mm.
const PARTS_GAP: f64 = 5.0;
/// Most parts side by side, and fewest rows that are worth it.
const MOST_PARTS: usize = 3;
const PARTED_ROWS: usize = 8;
/// Clear height below a kind's heading and below its notes, mm.
const HEADING_GAP: f64 = 1.8;
/// Fill of the headings: pale enough for a copy of a copy.
const HEADING: Tone = Tone(0.92);

const QUESTION: &str = "Question";
const SHEET: &str = "Sheet";

/// A table laid out at a lettering: widths of its columns and heights of its rows are known.
pub struct KeyGrid<'a> {
    columns: &'a Columns,
    title: &'a str,
    lettering: f64,
    /// Width that is there, mm.
    width: f64,
    /// Width of the column of numbers, then of all others in order, mm.
    widths: Vec<f64>,
    /// Heights of the headings, mm: questions, quantities, names.
    heads: [f64; 3],
    /// Height of each sheet's row, mm.
    rows: Vec<f64>,
}

/// Least and wished width of a column, mm, padding included.
#[derive(Clone, Copy)]
struct Wish {
    least: f64,
    wished: f64,
}

impl<'a> KeyGrid<'a> {
    /// A table with its title and notes; `None` where not even single words fit the width.
    pub fn new(columns: &'a Columns, title: &'a str, lettering: f64, width: f64) -> Option<Self> {
        let mut grid = Self { columns, title, lettering, width, widths: Vec::new(), heads: [0.0; 3], rows: Vec::new() };
        grid.widths = shared_out(&grid.wishes(), width)?;
        grid.heads = grid.head_heights();
        grid.rows = (0..columns.sheets.len()).map(|sheet| grid.row_height(sheet)).collect();
        Some(grid)
    }

    /// All of it in one piece.
    pub fn whole(&self) -> Fragment {
        self.part(0, self.rows.len())
    }

    /// Pieces of at most `first` mm, then `next` mm in height, each with title and headings; a row is never torn.
    pub fn pieces(&self, first: f64, next: f64) -> Vec<Fragment> {
        let (mut pieces, mut start) = (Vec::new(), 0);
        while start < self.rows.len() {
            let room = if pieces.is_empty() { first } else { next };
            let fits = |end: &usize| self.height(start, *end) <= room;
            let end = (start + 1..=self.rows.len()).take_while(fits).last().unwrap_or(start + 1);
            pieces.push(self.part(start, end));
            start = end;
        }
        pieces
    }

    fn wishes(&self) -> Vec<Wish> {
        let bold = |text: &str| self.line(text, Weight::Bold);
        let numbers = [QUESTION, SHEET].map(bold).into_iter().fold(0.0, f64::max);
        let mut wishes = vec![Wish { least: numbers, wished: numbers }];
        for group in &self.columns.groups {
            let start = wishes.len();
            wishes.extend(group.columns.iter().map(|column| self.wish(column)));
            // The heading above all of them needs its room as well.
            let own = &mut wishes[start..];
            let least: f64 = own.iter().map(|wish| wish.least).sum();
            let wished: f64 = own.iter().map(|wish| wish.wished).sum();
            let word = self.longest_word(&group.label, Weight::Bold);
            let (lacking, wanting) = ((word - least).max(0.0), (bold(&group.label) / HEADING_LINES).max(word) - wished);
            let count = own.len() as f64;
            for wish in own {
                wish.least += lacking / count;
                wish.wished = (wish.wished + wanting.max(0.0) / count).max(wish.least);
            }
        }
        wishes
    }

    fn wish(&self, column: &Column) -> Wish {
        let label = self.longest_word(&column.label, Weight::Bold);
        let wished = (self.line(&column.label, Weight::Bold) / HEADING_LINES).max(label);
        let start = Wish { least: label, wished };
        column.answers.iter().fold(start, |wish, answer| Wish {
            least: wish.least.max(self.longest_word(answer, Weight::Regular)),
            wished: wish.wished.max(self.line(answer, Weight::Regular)),
        })
    }

    fn line(&self, text: &str, weight: Weight) -> f64 {
        text_width(text, self.lettering, weight) + 2.0 * PADDING
    }

    fn longest_word(&self, text: &str, weight: Weight) -> f64 {
        text.split_whitespace().map(|word| self.line(word, weight)).fold(2.0 * PADDING, f64::max)
    }

    fn lines(&self, text: &str, width: f64, weight: Weight) -> Vec<String> {
        wrap(text, width - 2.0 * PADDING, self.lettering, weight)
    }

    fn cell_height(&self, text: &str, width: f64, weight: Weight) -> f64 {
        let lines = self.lines(text, width, weight).len().max(1) as f64;
        self.lettering * (1.0 + LEADING * (lines - 1.0) + 2.0 * AIR)
    }

    /// Groups with the index of their first column and their width, mm.
    fn spans(&self) -> impl Iterator<Item = (&Group, usize, f64)> {
        self.columns.groups.iter().scan(1, |next, group| {
            let start = *next;
            *next += group.columns.len();
            Some((group, start, self.widths[start..*next].iter().sum()))
        })
    }

    fn head_heights(&self) -> [f64; 3] {
        let line = self.cell_height("", 0.0, Weight::Bold);
        let (mut quantities, mut names) = (line, 0.0_f64);
        for (group, start, width) in self.spans() {
            quantities = quantities.max(self.cell_height(&group.label, width, Weight::Bold));
            for (column, width) in group.columns.iter().zip(&self.widths[start..]).filter(|one| !one.0.label.is_empty())
            {
                names = names.max(self.cell_height(&column.label, *width, Weight::Bold));
            }
        }
        [line, quantities, names]
    }

    fn row_height(&self, sheet: usize) -> f64 {
        let columns = self.columns.groups.iter().flat_map(|group| &group.columns);
        let heights = columns
            .zip(&self.widths[1..])
            .map(|(column, width)| self.cell_height(&column.answers[sheet], *width, Weight::Regular));
        heights.fold(self.cell_height("", 0.0, Weight::Regular), f64::max)
    }

    fn table_width(&self) -> f64 {
        self.widths.iter().sum()
    }

    /// Rows from `start` to before `end`, shared out to parts side by side.
    fn parts(&self, start: usize, end: usize) -> Vec<std::ops::Range<usize>> {
        let room = ((self.width + PARTS_GAP) / (self.table_width() + PARTS_GAP)).floor() as usize;
        let most = if end - start < PARTED_ROWS { 1 } else { MOST_PARTS };
        let each = (end - start).div_ceil(room.clamp(1, most)).max(1);
        (start..end).step_by(each).map(|from| from..(from + each).min(end)).collect()
    }

    fn has_table(&self) -> bool {
        !self.columns.groups.is_empty()
    }

    fn height(&self, start: usize, end: usize) -> f64 {
        let head: f64 = self.heads.iter().sum();
        let part = |rows: std::ops::Range<usize>| head + self.rows[rows].iter().sum::<f64>();
        let table = self.parts(start, end).into_iter().map(part).fold(0.0, f64::max);
        self.title(start).height + if self.has_table() { table } else { 0.0 }
    }

    /// Title and notes; on from the second piece the title alone.
    fn title(&self, start: usize) -> Fragment {
        let mut title = Fragment::new(self.width);
        let more = if start > 0 { ", continued" } else { "" };
        let words = format!("{}{more}", self.title);
        title.canvas().text(Text::new((0.0, -heights::HEADING), heights::HEADING, words).bold());
        title.height = heights::HEADING + HEADING_GAP;
        if start > 0 || self.columns.notes.is_empty() {
            return title;
        }
        let notes = self.columns.notes.join(" ");
        for line in wrap(&notes, self.width, self.lettering, Weight::Regular) {
            title.height += self.lettering;
            let y = -title.height;
            title.canvas().text(Text::new((0.0, y), self.lettering, line));
            title.height += self.lettering * (LEADING - 1.0);
        }
        title.height += HEADING_GAP / 2.0;
        title
    }

    fn part(&self, start: usize, end: usize) -> Fragment {
        let mut piece = self.title(start);
        if self.has_table() {
            let top = -piece.height;
            for (index, rows) in self.parts(start, end).into_iter().enumerate() {
                let left = index as f64 * (self.table_width() + PARTS_GAP);
                self.draw(&mut piece, (left, top), rows);
            }
            piece.height = self.height(start, end);
        }
        piece
    }

    fn draw(&self, piece: &mut Fragment, (left, top): (f64, f64), rows: std::ops::Range<usize>) {
        let [questions, quantities, names] = self.heads;
        let (below, bottom) = (top - questions, top - questions - quantities - names);
        let number_width = self.widths[0];
        let box_of = |x: f64, width: f64, y1: f64, y0: f64| Rect::new(x, y0, x + width, y1);
        self.cell(piece, box_of(left, number_width, top, below), QUESTION, Weight::Bold, true);
        self.cell(piece, box_of(left, number_width, below, bottom), SHEET, Weight::Bold, true);
        let mut x = left + number_width;
        for question in self.columns.groups.chunk_by(|one, other| one.question == other.question) {
            let count: usize = question.iter().map(|group| group.columns.len()).sum();
            let start = self.spans().find(|(group, ..)| std::ptr::eq(*group, &raw const question[0]));
            let start = start.map_or(1, |(_, start, _)| start);
            let width = self.widths[start..start + count].iter().sum();
            self.cell(piece, box_of(x, width, top, below), &question[0].question.to_string(), Weight::Bold, true);
            x += width;
        }
        for (group, start, width) in self.spans() {
            let mut x = left + self.widths[..start].iter().sum::<f64>();
            let named = group.columns.iter().any(|column| !column.label.is_empty());
            let middle = if named { below - quantities } else { bottom };
            self.cell(piece, box_of(x, width, below, middle), &group.label, Weight::Bold, true);
            for (column, width) in group.columns.iter().zip(&self.widths[start..]) {
                if named {
                    self.cell(piece, box_of(x, *width, middle, bottom), &column.label, Weight::Bold, true);
                }
                x += width;
            }
        }
        let mut y = bottom;
        for sheet in rows {
            let next = y - self.rows[sheet];
            let number = self.columns.sheets[sheet].to_string();
            self.cell(piece, box_of(left, number_width, y, next), &number, Weight::Bold, false);
            let mut x = left + number_width;
            for (column, width) in self.columns.groups.iter().flat_map(|group| &group.columns).zip(&self.widths[1..]) {
                self.cell(piece, box_of(x, *width, y, next), &column.answers[sheet], Weight::Regular, false);
                x += width;
            }
            y = next;
        }
    }

    fn cell(&self, piece: &mut Fragment, cell: Rect, text: &str, weight: Weight, heading: bool) {
        let canvas = piece.canvas();
        canvas.rect(Layer::Lines, cell, heading.then_some(HEADING), Some(Stroke::solid(widths::FINE)));
        let lines = self.lines(text, cell.width(), weight);
        let block = self.lettering * (1.0 + LEADING * (lines.len().max(1) - 1) as f64);
        let first = f64::midpoint(cell.y0, cell.y1) + block / 2.0 - self.lettering;
        for (number, line) in lines.into_iter().enumerate() {
            let baseline = first - self.lettering * LEADING * number as f64;
            let right = !heading && is_number(text);
            let x = if right { cell.x1 - PADDING } else { cell.x0 + PADDING };
            let line = Text { weight, ..Text::new((x, baseline), self.lettering, line) };
            canvas.text(if right { line.right() } else { line });
        }
    }
}

fn is_number(text: &str) -> bool {
    text.chars().any(|letter| letter.is_ascii_digit())
        && !text.contains(|letter: char| letter.is_alphabetic() || letter == '·')
}

/// Widths between what columns need and what they wish; `None` where they need more than there is.
fn shared_out(wishes: &[Wish], width: f64) -> Option<Vec<f64>> {
    let least: f64 = wishes.iter().map(|wish| wish.least).sum();
    let wished: f64 = wishes.iter().map(|wish| wish.wished).sum();
    if wished <= width {
        // Columns keep together, so that parts can stand side by side.
        let growth = ((width - wished) / wishes.len() as f64).min(MOST_GROWTH);
        let parts = ((width + PARTS_GAP) / (wished + PARTS_GAP)).floor();
        let growth = if parts > 1.0 { 0.0 } else { growth };
        return Some(wishes.iter().map(|wish| wish.wished + growth).collect());
    }
    let share = (width - least) / (wished - least);
    (least <= width).then(|| wishes.iter().map(|wish| wish.least + (wish.wished - wish.least) * share).collect())
}

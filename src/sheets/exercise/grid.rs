//! A ruled table: every cell has its borders, so that a hand finds its place.

use std::{ops::RangeInclusive, rc::Rc};

use super::flow::Piece;
use crate::{
    drawing::{Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    sheets::{fragment::Fragment, wrap::wrap},
};

/// Clear space left and right in a cell, mm.
const PADDING: f64 = 1.5;
/// Clear height above and below the lettering of a cell, as a part of the lettering.
const AIR: f64 = 0.6;
/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.55;
/// A column grows at most by this much beyond what stands in it, mm: a table of two columns need not be as wide as
/// the page.
const MOST_GROWTH: f64 = 22.0;
/// Narrowest and usual clear width of a cell to write in, mm.
const WRITE_LEAST: f64 = 14.0;
const WRITE_USUAL: f64 = 24.0;
/// Fill of the headings: pale enough for a copy of a copy.
const HEADING: Tone = Tone(0.92);

/// Numbers of rows for which a narrow table stands in two halves: fewer are no gain, more may run over a page's end, and
/// nobody looks for the next row at the top of another half.
const HALVED_ROWS: RangeInclusive<usize> = 8..=40;
/// Clear space between the halves, mm.
const HALVES_GAP: f64 = 5.0;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Plain text.
    Text(String),
    /// An answer.
    Bold(String),
    /// Room to write what is given here.
    Blank(String),
}

impl Entry {
    fn text(&self) -> &str {
        match self {
            Self::Text(text) | Self::Bold(text) | Self::Blank(text) => text,
        }
    }

    const fn weight(&self) -> Weight {
        if matches!(self, Self::Text(_)) { Weight::Regular } else { Weight::Bold }
    }
}

/// A table to be ruled.
pub struct Grid {
    /// Headings.
    pub columns: Vec<String>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Vec<Entry>>,
    /// Height of the lettering, mm.
    pub lettering: f64,
    /// Least height of a row with room to write in, mm.
    pub write_row: f64,
}

/// Least and wished width of a column, mm, padding included.
#[derive(Clone, Copy, Debug)]
struct Wish {
    least: f64,
    wished: f64,
}

impl Grid {
    /// The table as pieces, headings first, none wider than `width` mm. Text that is wider than its column runs on over
    /// several lines; where not even single words fit, the lettering gets smaller. A long narrow table stands in two
    /// halves side by side.
    pub fn pieces(&self, width: f64, gap: f64) -> Vec<Piece> {
        if self.lettering > heights::TEXT && self.least_width() > width {
            return self.lettered(heights::TEXT).pieces(width, gap);
        }
        let half = (width - HALVES_GAP) / 2.0;
        if HALVED_ROWS.contains(&self.rows.len()) && self.least_width() <= half {
            return self.halves(half, gap);
        }
        let widths = self.column_widths(width);
        let head = Rc::new(self.row(&self.headings(), &widths, true));
        let rows = self.rows.iter().map(|row| self.row(row, &widths, false));
        below(&head, rows.collect(), gap)
    }

    /// Two halves of `width` mm each, the first rows on the left.
    fn halves(&self, width: f64, gap: f64) -> Vec<Piece> {
        let widths = self.column_widths(width);
        let table_width: f64 = widths.iter().sum();
        let beside = |left: &[Entry], right: Option<&Vec<Entry>>, heading: bool| {
            let mut piece = Fragment::new(2.0 * table_width + HALVES_GAP);
            let pair = [Some(left), right.map(Vec::as_slice)];
            let rows = pair.map(|row| row.map(|row| self.row(row, &widths, heading)));
            let height = rows.iter().flatten().map(|row| row.height).fold(0.0, f64::max);
            for (left, entries) in [0.0, table_width + HALVES_GAP].into_iter().zip(pair) {
                // Drawn again at the height of the higher one, so that the borders of both meet.
                if let Some(entries) = entries {
                    self.row_at_least(entries, &widths, heading, height).place(piece.canvas(), left, 0.0);
                }
            }
            piece.height = height;
            piece
        };
        let headings = self.headings();
        let head = Rc::new(beside(&headings, Some(&headings), true));
        let (first, second) = self.rows.split_at(self.rows.len().div_ceil(2));
        let rows = first.iter().enumerate().map(|(index, row)| beside(row, second.get(index), false));
        below(&head, rows.collect(), gap)
    }

    fn headings(&self) -> Vec<Entry> {
        self.columns.iter().map(|heading| Entry::Bold(heading.clone())).collect()
    }

    fn lettered(&self, lettering: f64) -> Self {
        Self { columns: self.columns.clone(), rows: self.rows.clone(), lettering, write_row: self.write_row }
    }

    /// Width that keeps every word in one piece, mm.
    fn least_width(&self) -> f64 {
        (0..self.columns.len()).map(|index| self.wish(index).least).sum()
    }

    fn column_widths(&self, width: f64) -> Vec<f64> {
        let wishes: Vec<Wish> = (0..self.columns.len()).map(|index| self.wish(index)).collect();
        let wished: f64 = wishes.iter().map(|wish| wish.wished).sum();
        if wished <= width {
            let growth = ((width - wished) / wishes.len().max(1) as f64).min(MOST_GROWTH);
            return wishes.iter().map(|wish| wish.wished + growth).collect();
        }
        let least: f64 = wishes.iter().map(|wish| wish.least).sum();
        if least >= width {
            return wishes.iter().map(|wish| wish.least * width / least).collect();
        }
        let share = (width - least) / (wished - least);
        wishes.iter().map(|wish| wish.least + (wish.wished - wish.least) * share).collect()
    }

    fn wish(&self, column: usize) -> Wish {
        let line = |text: &str, weight| text_width(text, self.lettering, weight) + 2.0 * PADDING;
        let word = |text: &str, weight| text.split_whitespace().map(|word| line(word, weight)).fold(0.0, f64::max);
        let heading = &self.columns[column];
        let start = Wish { least: word(heading, Weight::Bold), wished: line(heading, Weight::Bold).min(45.0) };
        self.rows.iter().map(|row| &row[column]).fold(start, |wish, entry| {
            let (text, weight) = (entry.text(), entry.weight());
            let mut own = Wish { least: word(text, weight), wished: line(text, weight) };
            if matches!(entry, Entry::Blank(_)) {
                own.least = own.least.max(WRITE_LEAST + 2.0 * PADDING);
                own.wished = own.wished.max(WRITE_USUAL + 2.0 * PADDING);
            }
            Wish { least: wish.least.max(own.least), wished: wish.wished.max(own.wished).max(wish.least) }
        })
    }

    /// Numbers of a column stand at its right.
    fn is_numbers(&self, column: usize) -> bool {
        let mut texts = self.rows.iter().map(|row| row[column].text()).filter(|text| !text.is_empty()).peekable();
        let number = |text: &str| {
            let digits = text.trim_start_matches(['+', '-', '−', '±', ' ']);
            digits.starts_with(|first: char| first.is_ascii_digit()) && !text.contains(char::is_alphabetic)
        };
        texts.peek().is_some() && texts.all(number)
    }

    fn row(&self, entries: &[Entry], columns: &[f64], heading: bool) -> Fragment {
        self.row_at_least(entries, columns, heading, 0.0)
    }

    fn row_at_least(&self, entries: &[Entry], columns: &[f64], heading: bool, least: f64) -> Fragment {
        let total = columns.iter().sum();
        let mut piece = Fragment::new(total);
        let lines: Vec<Vec<String>> =
            entries.iter().zip(columns).map(|(entry, &width)| self.lines(entry, width)).collect();
        let most = lines.iter().map(Vec::len).max().unwrap_or(0).max(1) as f64;
        let lettering = self.lettering * (1.0 + LEADING * (most - 1.0));
        let mut height = least.max(lettering + 2.0 * AIR * self.lettering);
        if entries.iter().any(|entry| matches!(entry, Entry::Blank(_))) {
            height = height.max(self.write_row);
        }
        piece.height = height;
        let canvas = piece.canvas();
        let stroke = Stroke::solid(widths::THIN);
        let mut left = 0.0;
        for (index, (lines, &width)) in lines.iter().zip(columns).enumerate() {
            let cell = kurbo::Rect::new(left, -height, left + width, 0.0);
            canvas.rect(Layer::Lines, cell, heading.then_some(HEADING), Some(stroke));
            let right = self.is_numbers(index);
            let block = self.lettering * (1.0 + LEADING * lines.len().saturating_sub(1) as f64);
            for (number, line) in lines.iter().enumerate() {
                let baseline = -f64::midpoint(height, -block) - self.lettering * (1.0 + LEADING * number as f64);
                let x = if right { cell.x1 - PADDING } else { cell.x0 + PADDING };
                let text =
                    Text { weight: entries[index].weight(), ..Text::new((x, baseline), self.lettering, line.clone()) };
                canvas.text(if right { text.right() } else { text });
            }
            left += width;
        }
        piece
    }

    fn lines(&self, entry: &Entry, width: f64) -> Vec<String> {
        match entry {
            Entry::Blank(_) => Vec::new(),
            _ => wrap(entry.text(), width - 2.0 * PADDING, self.lettering, entry.weight()),
        }
    }
}

/// Rows below their headings.
fn below(head: &Rc<Fragment>, rows: Vec<Fragment>, gap: f64) -> Vec<Piece> {
    let heading = Piece::new((**head).clone(), gap).kept();
    let rows = rows.into_iter().map(|row| Piece { repeat: Some(Rc::clone(head)), ..Piece::new(row, 0.0) });
    std::iter::once(heading).chain(rows).collect()
}

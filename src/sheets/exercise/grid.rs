//! A ruled table: every cell has its borders, so that a hand finds its place.

use std::{cell::OnceCell, rc::Rc};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    page::{Fragment, Piece, words, wrap},
};

/// Clear space left and right in a cell, as a part of the lettering.
const PADDING: f64 = 0.4;
/// Clear height above and below the lettering of a cell, as a part of the lettering; less where nothing is written in a
/// table of small lettering.
const AIR: f64 = 0.6;
const LITTLE_AIR: f64 = 0.36;
/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.5;
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
        if matches!(self, Self::Text(_)) {
            Weight::Regular
        } else {
            Weight::Bold
        }
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
    /// Widths that its columns wish, once they are measured; starts empty.
    pub wishes: OnceCell<Vec<Wish>>,
}

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

impl Grid {
    /// The table as pieces, headings first, none wider than `width` mm. Text that is wider than its column runs on over
    /// several lines; where not even single words fit, the lettering gets smaller. A long narrow table stands in several
    /// groups of at least `least_rows` rows side by side.
    pub fn pieces(&self, width: f64, gap: f64, least_rows: usize) -> Vec<Piece> {
        if self.lettering > heights::TEXT && self.least_width() > width {
            return self.lettered(heights::TEXT).pieces(width, gap, least_rows);
        }
        let groups = self.groups(width, least_rows);
        let ruled = self.ruled(width, groups);
        let count = self.rows.len().div_ceil(groups).max(1);
        // Downwards first: the first rows on the left.
        let beside = |index: usize| -> Vec<Option<&[Entry]>> {
            (0..groups)
                .map(|group| self.rows.get(group * count + index).map(Vec::as_slice))
                .collect()
        };
        let rows = (0..count.min(self.rows.len()))
            .map(|index| self.row(&beside(index), &ruled, false))
            .collect();
        let headings = self.headings();
        let head = headings
            .as_ref()
            .map(|headings| Rc::new(self.row(&vec![Some(&headings[..]); groups], &ruled, true)));
        below(head, rows, gap)
    }

    /// How many groups side by side make the table lowest.
    fn groups(&self, width: f64, least_rows: usize) -> usize {
        let (rows, least) = (self.rows.len(), self.least_width());
        let fits = |groups: &usize| {
            rows >= groups * least_rows
                && least * *groups as f64 + GROUPS_GAP * (groups - 1) as f64 <= width
        };
        let more = (2..=MOST_GROUPS).take_while(fits);
        more.fold((1, None), |(best, height): (usize, Option<f64>), groups| {
            let height = height.unwrap_or_else(|| self.height(width, best));
            let lower = self.height(width, groups);
            if lower < WORTH * height {
                (groups, Some(lower))
            } else {
                (best, Some(height))
            }
        })
        .0
    }

    fn ruled(&self, width: f64, groups: usize) -> Ruled {
        let widths = self.column_widths((width - GROUPS_GAP * (groups - 1) as f64) / groups as f64);
        let numbers = (0..self.columns.len())
            .map(|column| self.is_numbers(column))
            .collect();
        Ruled { widths, numbers }
    }

    /// Height of the table in so many groups.
    fn height(&self, width: f64, groups: usize) -> f64 {
        let widths = self.ruled(width, groups).widths;
        let count = self.rows.len().div_ceil(groups).max(1);
        let row = |entries: &[Entry]| self.row_height(entries, &self.lines(entries, &widths));
        let heights: Vec<f64> = self.rows.iter().map(|entries| row(entries)).collect();
        let highest = |index: usize| {
            (index..heights.len())
                .step_by(count)
                .map(|row| heights[row])
                .fold(0.0, f64::max)
        };
        self.headings().map_or(0.0, |headings| row(&headings))
            + (0..count).map(highest).sum::<f64>()
    }

    /// None where no column has one.
    fn headings(&self) -> Option<Vec<Entry>> {
        let any = self.columns.iter().any(|heading| !heading.is_empty());
        any.then(|| {
            self.columns
                .iter()
                .map(|heading| Entry::Bold(heading.clone()))
                .collect()
        })
    }

    fn lettered(&self, lettering: f64) -> Self {
        let (columns, rows) = (self.columns.clone(), self.rows.clone());
        Self {
            columns,
            rows,
            lettering,
            write_row: self.write_row,
            wishes: OnceCell::new(),
        }
    }

    fn padding(&self) -> f64 {
        PADDING * self.lettering
    }

    /// Width that keeps every word in one piece, mm.
    pub fn least_width(&self) -> f64 {
        self.wishes().iter().map(|wish| wish.least).sum()
    }

    fn column_widths(&self, width: f64) -> Vec<f64> {
        let wishes = self.wishes();
        let wished: f64 = wishes.iter().map(|wish| wish.wished).sum();
        if wished <= width {
            let growth = ((width - wished) / wishes.len().max(1) as f64).min(MOST_GROWTH);
            return wishes.iter().map(|wish| wish.wished + growth).collect();
        }
        let least: f64 = wishes.iter().map(|wish| wish.least).sum();
        if least >= width {
            return wishes
                .iter()
                .map(|wish| wish.least * width / least)
                .collect();
        }
        let share = (width - least) / (wished - least);
        wishes
            .iter()
            .map(|wish| wish.least + (wish.wished - wish.least) * share)
            .collect()
    }

    fn wishes(&self) -> &[Wish] {
        self.wishes.get_or_init(|| {
            (0..self.columns.len())
                .map(|index| self.wish(index))
                .collect()
        })
    }

    fn wish(&self, column: usize) -> Wish {
        let line =
            |text: &str, weight| text_width(text, self.lettering, weight) + 2.0 * self.padding();
        let word = |text: &str, weight| {
            words(text)
                .map(|word| line(&word, weight))
                .fold(0.0, f64::max)
        };
        let heading = &self.columns[column];
        let start = Wish {
            least: word(heading, Weight::Bold),
            wished: line(heading, Weight::Bold).min(45.0),
        };
        self.rows
            .iter()
            .map(|row| &row[column])
            .fold(start, |wish, entry| {
                let (text, weight) = (entry.text(), entry.weight());
                let mut own = Wish {
                    least: word(text, weight),
                    wished: line(text, weight),
                };
                if matches!(entry, Entry::Blank(_)) {
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
            .map(|row| row[column].text())
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
    fn row(&self, groups: &[Option<&[Entry]>], ruled: &Ruled, heading: bool) -> Fragment {
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
            .filter_map(|(row, lines)| Some(self.row_height((*row)?, lines.as_ref()?)));
        piece.height = rows.fold(0.0, f64::max);
        let height = piece.height;
        for (group, (row, lines)) in groups.iter().zip(&lines).enumerate() {
            if let (Some(row), Some(lines)) = (row, lines) {
                let cells = row.iter().zip(lines);
                self.cells(
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
    fn cells<'r>(
        &self,
        canvas: &mut Drawing,
        (mut left, height): (f64, f64),
        cells: impl Iterator<Item = (&'r Entry, &'r Vec<String>)>,
        ruled: &Ruled,
        heading: bool,
    ) {
        let stroke = Stroke::solid(widths::THIN);
        for ((entry, lines), (&width, &right)) in cells.zip(ruled.widths.iter().zip(&ruled.numbers))
        {
            let cell = kurbo::Rect::new(left, -height, left + width, 0.0);
            canvas.rect(Layer::Lines, cell, heading.then_some(HEADING), Some(stroke));
            let block = self.block(lines.len());
            for (number, line) in lines.iter().enumerate() {
                let baseline = -f64::midpoint(height, -block)
                    - self.lettering * (1.0 + LEADING * number as f64);
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

    /// Height of so many lines of lettering.
    fn block(&self, lines: usize) -> f64 {
        self.lettering * (1.0 + LEADING * lines.saturating_sub(1) as f64)
    }

    fn row_height(&self, entries: &[Entry], lines: &[Vec<String>]) -> f64 {
        let block = self.block(lines.iter().map(Vec::len).max().unwrap_or(0));
        let written = self
            .rows
            .iter()
            .flatten()
            .any(|entry| matches!(entry, Entry::Blank(_)));
        let air = if written || self.lettering > heights::TEXT {
            AIR
        } else {
            LITTLE_AIR
        };
        let height = block + 2.0 * air * self.lettering;
        let blank = entries.iter().any(|entry| matches!(entry, Entry::Blank(_)));
        if blank {
            height.max(self.write_row)
        } else {
            height
        }
    }

    fn lines(&self, entries: &[Entry], widths: &[f64]) -> Vec<Vec<String>> {
        let lines = |(entry, width): (&Entry, &f64)| match entry {
            Entry::Blank(_) => Vec::new(),
            _ => wrap(
                entry.text(),
                width - 2.0 * self.padding(),
                self.lettering,
                entry.weight(),
            ),
        };
        entries.iter().zip(widths).map(lines).collect()
    }
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

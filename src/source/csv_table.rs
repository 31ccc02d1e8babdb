//! Tables as spreadsheets save them.
//!
//! The `csv` crate splits; what a spreadsheet may have done to the text (encoding, separator,
//! decimal comma, a cell torn in two) is noticed before anything is read. A decimal mark before
//! three digits counts only where the file's other numbers agree on it; else the number is refused.

use std::sync::Arc;

use super::{
    FAULTS_KEPT, Fault, Faults, MOST_BYTES, Place, decimal::DecimalMark, decode::decode,
    formula::meant, nearest,
};
use crate::units::parse_length;

/// Most rows below the heading.
const MOST_ROWS: usize = 5_000;

/// Most columns.
const MOST_COLUMNS: usize = 200;

/// Most characters of a cell that a message quotes.
const QUOTED: usize = 60;

/// A CSV file's heading and rows. Cells may be separated by commas, semicolons or tabs, numbers have a
/// decimal point or comma, and the text is UTF-8, UTF-16 or Windows-1252, with any line breaks.
#[derive(Clone, Debug)]
pub struct CsvTable {
    file: Arc<str>,
    names: Vec<String>,
    heading: Vec<CsvCell>,
    rows: Vec<CsvRow>,
    decimal: DecimalMark,
}

/// A row in which something is written.
#[derive(Clone, Debug)]
pub struct CsvRow {
    cells: Vec<CsvCell>,
    place: (usize, usize),
}

/// A cell: its text without blanks around it, and where it stood.
#[derive(Clone, Debug)]
pub struct CsvCell {
    text: String,
    place: (usize, usize),
}

impl CsvTable {
    /// Reads a table from a file's bytes. The first row in which something is written is the heading;
    /// blank rows are passed over. `file` is the name that faults give.
    ///
    /// # Errors
    /// Faults of the whole file (too large, no text, nothing in it), of the heading (a name twice), and
    /// of rows that do not go with the heading.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Faults> {
        let whole = Place::whole(file);
        let refuse = |message: String| Faults::from(whole.fault(message));
        if bytes.len() > MOST_BYTES {
            return Err(refuse(
                "is larger than 10 MB; give the form with the readings, nothing else".to_owned(),
            ));
        }
        let text = decode(bytes).map_err(refuse)?;
        let (delimiter, body) = delimiter(&text);
        let mut records = records(
            &text[body..],
            delimiter,
            1 + text[..body].matches('\n').count(),
        );
        records.retain(|record| record.cells.iter().any(|cell| !cell.text.is_empty()));
        if records.is_empty() {
            return Err(refuse(
                "is empty; expected a heading and rows below it".to_owned(),
            ));
        }
        let heading = records.remove(0);
        let mut table = Self {
            file: whole.file.clone(),
            names: heading
                .cells
                .iter()
                .map(|cell| plain_name(&cell.text))
                .collect(),
            heading: heading.cells,
            rows: records,
            decimal: DecimalMark::default(),
        };
        Faults::none_in(table.faults_of_shape(delimiter))?;
        // A comma cannot be both without quotation marks, and semicolons are there where it is the mark.
        let expected = [(b',', '.'), (b';', ',')]
            .into_iter()
            .find(|(d, _)| *d == delimiter)
            .map(|(_, mark)| mark);
        let cells = table
            .rows
            .iter()
            .flat_map(|row| row.cells.iter().map(|cell| cell.text.as_str()));
        table.decimal = DecimalMark::of(cells, expected);
        Ok(table)
    }

    /// The rows in which something is written, in the order of the file.
    #[must_use]
    pub fn rows(&self) -> &[CsvRow] {
        &self.rows
    }

    /// The columns' names as they are asked for, and as they are written.
    pub fn columns(&self) -> impl Iterator<Item = (&str, &str)> {
        let written = self.heading.iter().map(CsvCell::text);
        self.names.iter().map(String::as_str).zip(written)
    }

    /// A cell's text with every number in it written with a decimal point; as it stands where that cannot be decided.
    #[must_use]
    pub fn with_points(&self, cell: &CsvCell) -> String {
        let pointed = self.decimal.with_points(&cell.text);
        pointed.unwrap_or_else(|_| cell.text.clone())
    }

    /// The column that has one of `names`, the first of them that is there. Capitals, blanks around a name,
    /// brackets, and blanks or dashes in place of `_` make no difference.
    #[must_use]
    pub fn column(&self, names: &[&str]) -> Option<usize> {
        names
            .iter()
            .find_map(|name| self.names.iter().position(|found| found == name))
    }

    /// As [`CsvTable::column`], for a column that must be there.
    ///
    /// # Errors
    /// A fault at the heading, with the nearest name that is there.
    pub fn required(&self, names: &[&str]) -> Result<usize, Fault> {
        self.column(names).ok_or_else(|| {
            let wanted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
            let found: Vec<&str> = self
                .names
                .iter()
                .map(String::as_str)
                .filter(|name| !name.is_empty())
                .collect();
            let near = names.iter().find_map(|name| nearest(name, &found));
            let remedy = near.map_or_else(
                || format!("the columns are: {}", shortened(&found.join(", "))),
                |near| format!("is `{}` meant for it?", shortened(near)),
            );
            self.heading_place().fault(format!(
                "there is no column {}; {remedy}",
                wanted.join(" or ")
            ))
        })
    }

    /// The cell of a row in a column, where something is written in it.
    #[must_use]
    pub fn cell<'t>(&self, row: &'t CsvRow, column: usize) -> Option<&'t CsvCell> {
        row.cells.get(column).filter(|cell| !cell.text.is_empty())
    }

    /// A cell's length in mm: a number is mm, or has its unit with it.
    ///
    /// # Errors
    /// A fault at the cell.
    pub fn length(&self, cell: &CsvCell) -> Result<f64, Fault> {
        self.length_in(cell, "")
    }

    /// As [`CsvTable::length`], with the unit of a number that has none with it, as in `"in"`.
    ///
    /// # Errors
    /// A fault at the cell.
    pub fn length_in(&self, cell: &CsvCell, unit: &str) -> Result<f64, Fault> {
        let fault = |message: String| self.place(cell).fault(message);
        let short = shortened(&cell.text);
        if short.len() < cell.text.len() {
            return Err(fault(format!(
                "\"{short}\" is too long for a length; write the number, and its unit if any"
            )));
        }
        let text = self.decimal.with_points(&cell.text).map_err(fault)?;
        let bare = text
            .chars()
            .all(|c| !c.is_alphabetic() && !"\"'″′”’“‘".contains(c));
        let text = if bare { format!("{text} {unit}") } else { text };
        parse_length(text.trim()).map_err(|error| fault(error.to_string()))
    }

    /// Where a cell stands.
    #[must_use]
    pub fn place(&self, cell: &CsvCell) -> Place {
        self.at(cell.place)
    }

    /// Where a row begins.
    #[must_use]
    pub fn row_place(&self, row: &CsvRow) -> Place {
        self.at(row.place)
    }

    /// Where the heading begins.
    #[must_use]
    pub fn heading_place(&self) -> Place {
        self.heading
            .first()
            .map_or_else(|| self.at((0, 0)), |cell| self.place(cell))
    }

    fn at(&self, (line, column): (usize, usize)) -> Place {
        Place {
            file: self.file.clone(),
            line,
            column,
        }
    }

    fn faults_of_shape(&self, delimiter: u8) -> Vec<Fault> {
        if self.rows.len() > MOST_ROWS || self.heading.len() > MOST_COLUMNS {
            return vec![self.heading_place().fault(format!(
                "the table has {} rows and {} columns; expected at most {MOST_ROWS} and {MOST_COLUMNS}: give the form with the readings, nothing else",
                self.rows.len(),
                self.heading.len()
            ))];
        }
        let twice = self.heading.iter().enumerate().filter(|(index, cell)| {
            !cell.text.is_empty() && self.names[..*index].contains(&self.names[*index])
        });
        let mut faults: Vec<Fault> = twice
            .map(|(_, cell)| {
                self.place(cell).fault(format!(
                    "two columns are called \"{}\"; rename or delete one",
                    shortened(&cell.text)
                ))
            })
            .collect();
        faults.extend(
            self.rows
                .iter()
                .filter_map(|row| self.fault_of_row(row, delimiter))
                .take(FAULTS_KEPT),
        );
        faults
    }

    /// What shows that a row was not taken apart as it was meant.
    fn fault_of_row(&self, row: &CsvRow, delimiter: u8) -> Option<Fault> {
        let swallowed = |cell: &&CsvCell| {
            cell.text.contains('\n')
                && cell.text.bytes().filter(|byte| *byte == delimiter).count() > 1
        };
        if let Some(cell) = row.cells.iter().find(swallowed) {
            return Some(self.place(cell).fault(
                "a quotation mark begins this cell, and it goes on over the end of the line; write a second one before the line's end, or write inches as `in`",
            ));
        }
        let extra = row
            .cells
            .get(self.heading.len()..)
            .filter(|extra| !extra.is_empty())?;
        let is_digits = |cell: &CsvCell| {
            !cell.text.is_empty() && cell.text.bytes().all(|byte| byte.is_ascii_digit())
        };
        let torn = delimiter == b',' && row.cells.windows(2).any(|pair| pair.iter().all(is_digits));
        let (is_too_long, comma) = match delimiter {
            b',' => (
                torn,
                "; a number with a decimal comma comes apart where cells are separated by commas: write a decimal point, or separate cells by semicolons",
            ),
            _ => (false, ": take out what is too much"),
        };
        let written = extra.iter().any(|cell| !cell.text.is_empty());
        (is_too_long || written).then(|| {
            self.row_place(row).fault(format!(
                "the row has {} cells, and the heading has {}{comma}",
                row.cells.len(),
                self.heading.len()
            ))
        })
    }
}

impl CsvCell {
    /// The text, without blanks around it; may be empty.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// What separates cells, and the byte where the table begins: told by a first line `sep=;` (which some
/// spreadsheets write), or what the heading has most of, outside quotation marks.
fn delimiter(text: &str) -> (u8, usize) {
    let line = text.split_inclusive('\n').next().unwrap_or_default();
    if let Some([delimiter]) = line.trim_end().strip_prefix("sep=").map(str::as_bytes)
        && b",;\t".contains(delimiter)
    {
        return (*delimiter, line.len());
    }
    let heading = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_default();
    let mut quoted = false;
    let mut counts = [(b',', 0), (b';', 0), (b'\t', 0)];
    for byte in heading.bytes() {
        quoted ^= byte == b'"';
        for (delimiter, count) in &mut counts {
            *count += usize::from(!quoted && *delimiter == byte);
        }
    }
    // Of equals the last: a comma is the likeliest to be in a name.
    let most = counts.into_iter().max_by_key(|(_, count)| *count);
    (
        most.filter(|(_, count)| *count > 0)
            .map_or(b',', |(delimiter, _)| delimiter),
        0,
    )
}

fn records(text: &str, delimiter: u8, first_line: usize) -> Vec<CsvRow> {
    let mut reader = ::csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = ::csv::StringRecord::new();
    // Text in memory, any number of cells: nothing is left that the splitter could refuse.
    while rows.len() <= MOST_ROWS + 1 && matches!(reader.read_record(&mut record), Ok(true)) {
        let start = record
            .position()
            .map_or((0, 1), |at| (at.byte() as usize, at.line() as usize));
        // Blank lines before a record belong to nobody, and the splitter counts them to it.
        let blank = text[start.0..].chars().take_while(|c| *c == '\n').count();
        let line = first_line + start.1 - 1 + blank;
        let mut places = CellPlaces {
            rest: text[start.0 + blank..].chars(),
            delimiter,
            line,
            column: 1,
            ended: false,
        };
        let cells: Vec<CsvCell> = record
            .iter()
            .map(|cell| CsvCell {
                place: places.next_cell(),
                text: meant(cell.trim()).to_owned(),
            })
            .collect();
        rows.push(CsvRow {
            cells,
            place: (line, 1),
        });
    }
    rows
}

/// Walks along a record to tell where its cells begin.
struct CellPlaces<'t> {
    rest: std::str::Chars<'t>,
    delimiter: u8,
    line: usize,
    column: usize,
    ended: bool,
}

impl CellPlaces<'_> {
    /// Line and column of the next cell.
    fn next_cell(&mut self) -> (usize, usize) {
        let place = (self.line, self.column);
        // As the splitter: only a cell that begins with a quotation mark is quoted.
        let mut quoted = self.rest.as_str().starts_with('"');
        let is_quotable = quoted;
        if quoted {
            self.step();
        }
        while !self.ended {
            match self.step() {
                Some('"') if is_quotable => quoted = !quoted,
                Some(c) if !quoted && c == char::from(self.delimiter) => break,
                Some('\n') if !quoted => self.ended = true,
                Some(_) => (),
                None => self.ended = true,
            }
        }
        place
    }

    fn step(&mut self) -> Option<char> {
        let c = self.rest.next()?;
        if c == '\n' {
            (self.line, self.column) = (self.line + 1, 1);
        } else {
            self.column += 1;
        }
        Some(c)
    }
}

/// A heading as columns are asked for: `Reading (mm)` is `reading_mm`.
fn plain_name(text: &str) -> String {
    let lower = text.to_lowercase();
    let words = lower
        .split(|c: char| c.is_whitespace() || "()[]-_".contains(c))
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_")
}

fn shortened(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    line.chars().take(QUOTED).collect()
}

#[cfg(test)]
#[path = "csv_table_tests.rs"]
mod tests;

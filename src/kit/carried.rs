//! Readings of a filled form, carried into the same form of a kit that is made again.
//!
//! A form is typed once, from a sheet that lay on the floor: whatever stands in a column that the form did not come with (readings,
//! standard deviations, notes) goes over into the new form where its row still stands. A row stands between the same points, and should
//! be as long as before: else the number would be judged against a length that nobody taped. A row that somebody added, or one that
//! the new form has no place for, is added below.

use crate::{
    plan::FloorPlan,
    source::{CsvCell, CsvRow, CsvTable, Faults, as_text},
    survey::{FormRows, LevelPlace, PRINTED_COLUMNS, READING_COLUMNS, level_places},
    units::parse_length,
};

/// A form of a kit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Taped readings.
    Readings,
    /// Heights of the floor.
    Levels,
}

/// A form with what was carried into it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carried {
    /// The form.
    pub text: String,
    /// Rows that were carried over.
    pub rows: usize,
    /// Rows that no longer stand, by their points.
    pub lost: Vec<String>,
}

/// Columns of heights, with the column of the new form that they go to, without its unit.
const LEVEL_COLUMNS: [(&str, &str, &str); 6] = [
    ("height_mm", "height", "mm"),
    ("height", "height", "mm"),
    ("height_in", "height", "in"),
    ("staff_mm", "staff", "mm"),
    ("staff", "staff", "mm"),
    ("staff_in", "staff", "in"),
];

/// Columns that the form of heights comes with.
const LEVEL_PRINTED: [&str; 6] = ["at", "what", "x_mm", "y_mm", "x_in", "y_in"];

/// Columns of names and words.
const NAMES: [&str; 5] = ["check", "from", "to", "at", "what"];

/// A place of a form and that of the layout may differ by this, mm: a form in inches has them to 1/16, and a spreadsheet may show whole mm.
const SAME_PLACE_MM: f64 = 1.2;

impl Form {
    /// The forms of a kit.
    pub const ALL: [Self; 2] = [Self::Readings, Self::Levels];

    /// Its plain name.
    #[must_use]
    pub const fn file(self) -> &'static str {
        match self {
            Self::Readings => "readings.csv",
            Self::Levels => "levels.csv",
        }
    }

    const fn printed(self) -> &'static [&'static str] {
        match self {
            Self::Readings => &PRINTED_COLUMNS,
            Self::Levels => &LEVEL_PRINTED,
        }
    }

    /// Columns that say which row it is.
    const fn key(self) -> &'static [&'static str] {
        match self {
            Self::Readings => &["kind", "from", "to"],
            Self::Levels => &["at"],
        }
    }

    /// The new form's column for one of an old form, without its unit, and the unit of a number in it.
    fn lengths(self, column: &str) -> Option<(&'static str, &'static str)> {
        match self {
            Self::Readings => READING_COLUMNS
                .iter()
                .find(|(name, _)| *name == column)
                .map(|(_, unit)| ("reading", *unit)),
            Self::Levels => LEVEL_COLUMNS
                .iter()
                .find(|(name, ..)| *name == column)
                .map(|(_, to, unit)| (*to, *unit)),
        }
    }

    /// Carries what somebody wrote into `old` over into the blank form `new` of a layout; `None` where nobody wrote anything.
    ///
    /// # Errors
    /// An old form that cannot be read as one.
    pub fn carry(self, old: &[u8], new: &str, plan: &FloorPlan) -> Result<Option<Carried>, Faults> {
        let file = self.file();
        let old = CsvTable::read(file, old)?;
        let own: Vec<usize> = (0..)
            .zip(old.columns())
            .filter(|(_, (name, _))| !self.printed().contains(name))
            .map(|(column, _)| column)
            .collect();
        let is_filled = |row: &&CsvRow| own.iter().any(|column| old.cell(row, *column).is_some());
        if !old.rows().iter().any(|row| is_filled(&row)) {
            return Ok(None);
        }
        let stands = self.standing(&old, plan)?;
        let new = CsvTable::read(file, new.as_bytes())?;
        let mut sheet = Sheet::of(self, &new);
        let (mut rows, mut lost) = (0, Vec::new());
        let filled: Vec<(&CsvRow, bool)> = old
            .rows()
            .iter()
            .zip(stands)
            .filter(|(row, _)| is_filled(row))
            .collect();
        // Columns keep their order, whichever of them a row fills first.
        for &column in &own {
            let is_used =
                |(row, stands): &(&CsvRow, bool)| *stands && old.cell(row, column).is_some();
            if let Some((name, written)) = old.columns().nth(column)
                && self.lengths(name).is_none()
                && filled.iter().any(is_used)
            {
                sheet.column_or_new(written);
            }
        }
        for (row, stands) in filled {
            if stands {
                sheet.take(&old, row, &own);
                rows += 1;
            } else {
                lost.push(name_of(self, &old, row));
            }
        }
        Ok(Some(Carried {
            text: sheet.text(),
            rows,
            lost,
        }))
    }

    /// For each row of an old form, whether it stands in the layout.
    fn standing(self, old: &CsvTable, plan: &FloorPlan) -> Result<Vec<bool>, Faults> {
        match self {
            Self::Readings => {
                let standing = FormRows::of(old)?.standing(plan);
                Ok(standing.iter().map(Option::is_some).collect())
            }
            Self::Levels => {
                old.required(&["at"])?;
                let places = level_places(plan);
                let stands = |row: &CsvRow| height_stands(old, row, &places);
                Ok(old.rows().iter().map(stands).collect())
            }
        }
    }
}

/// True for a height at a place of the layout that is where the form has it, and for one at a place of somebody's own.
fn height_stands(old: &CsvTable, row: &CsvRow, places: &[LevelPlace]) -> bool {
    let cell = |names: &[&str]| old.column(names).and_then(|column| old.cell(row, column));
    let length = |axis: &str| {
        let (mm, inches) = (format!("{axis}_mm"), format!("{axis}_in"));
        let in_mm = cell(&[&mm]).and_then(|cell| old.length_in(cell, "mm").ok());
        in_mm.or_else(|| old.length_in(cell(&[&inches])?, "in").ok())
    };
    let Some(name) = cell(&["at"]).map(CsvCell::text) else {
        return false;
    };
    let place = length("x").zip(length("y"));
    match places.iter().find(|place| place.name == name) {
        Some(known) => place.is_none_or(|(x, y)| {
            (x - known.at.x).abs() <= SAME_PLACE_MM && (y - known.at.y).abs() <= SAME_PLACE_MM
        }),
        None => place.is_some(),
    }
}

/// A row by what it is about.
fn name_of(form: Form, table: &CsvTable, row: &CsvRow) -> String {
    let cells = form.key().iter().filter(|name| **name != "kind");
    let cells = cells.filter_map(|name| table.cell(row, table.column(&[name])?));
    cells
        .map(CsvCell::text)
        .collect::<Vec<_>>()
        .join("\u{2013}")
}

/// The new form while it is filled.
struct Sheet {
    form: Form,
    heading: Vec<String>,
    rows: Vec<Vec<String>>,
    /// Rows that are taken.
    taken: Vec<bool>,
}

impl Sheet {
    fn of(form: Form, new: &CsvTable) -> Self {
        let heading: Vec<String> = new
            .columns()
            .map(|(_, written)| written.to_owned())
            .collect();
        let cell = |row: &CsvRow, column| {
            new.cell(row, column)
                .map_or_else(String::new, |cell| cell.text().to_owned())
        };
        let cells = |row: &CsvRow| (0..heading.len()).map(|column| cell(row, column)).collect();
        let rows: Vec<Vec<String>> = new.rows().iter().map(cells).collect();
        Self {
            form,
            taken: vec![false; rows.len()],
            heading,
            rows,
        }
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.heading.iter().position(|own| own == name)
    }

    fn column_or_new(&mut self, name: &str) -> usize {
        self.column(name).unwrap_or_else(|| {
            self.heading.push(name.to_owned());
            self.heading.len() - 1
        })
    }

    /// Takes over what somebody wrote into a row's columns `own`; the row itself where this form has none for it.
    fn take(&mut self, old: &CsvTable, row: &CsvRow, own: &[usize]) {
        let key: Vec<String> = self
            .form
            .key()
            .iter()
            .map(|name| plain(&cell(old, row, name)))
            .collect();
        let columns: Vec<Option<usize>> = self
            .form
            .key()
            .iter()
            .map(|name| self.column(name))
            .collect();
        let found = (0..self.rows.len()).find(|&at| {
            let same = |(column, wanted): (&Option<usize>, &String)| {
                column.is_some_and(|column| plain(&self.rows[at][column]) == *wanted)
            };
            !self.taken[at] && columns.iter().zip(&key).all(same)
        });
        let at = found.unwrap_or_else(|| self.add(old, row));
        self.taken[at] = true;
        for &column in own {
            if let (Some(cell), Some((name, written))) =
                (old.cell(row, column), old.columns().nth(column))
            {
                let text = old.with_points(cell);
                self.fill(at, (name, written), &text);
            }
        }
    }

    /// Adds a row with what an old form has printed in it.
    fn add(&mut self, old: &CsvTable, row: &CsvRow) -> usize {
        self.rows.push(vec![String::new(); self.heading.len()]);
        self.taken.push(true);
        let at = self.rows.len() - 1;
        for name in self.form.printed() {
            // The numbers of lays are of another list, and readings of one lay share its zero.
            let is_of_list = matches!(*name, "lay" | "limit_mm" | "limit_in");
            let column = old.column(&[name]).filter(|_| !is_of_list);
            if let Some(cell) = column.and_then(|column| old.cell(row, column)) {
                let text = old.with_points(cell);
                let (base, unit) = name
                    .rsplit_once('_')
                    .filter(|(_, unit)| matches!(*unit, "mm" | "in"))
                    .unwrap_or((name, ""));
                self.set(at, base, unit, &text);
            }
        }
        at
    }

    /// Fills in what stood in a column of an old form, which gets a column of its own where this form has none.
    fn fill(&mut self, at: usize, (name, written): (&str, &str), text: &str) {
        match self.form.lengths(name) {
            Some((base, unit)) => self.set(at, base, unit, text),
            None => {
                let column = self.column_or_new(written);
                self.put(at, column, text);
            }
        }
    }

    /// Sets a cell of the column that is called `base` with the form's unit, or without any. A number from a column in another unit
    /// gets its unit with it.
    fn set(&mut self, at: usize, base: &str, unit: &str, text: &str) {
        let units = ["mm", "in"];
        let same = units
            .iter()
            .find_map(|own| Some((*own, self.column(&format!("{base}_{own}"))?)));
        let Some((own, column)) = same.or_else(|| Some((unit, self.column(base)?))) else {
            return;
        };
        let is_bare = own != unit
            && parse_length(&format!("{text} {unit}")).is_ok()
            && !text.contains(char::is_alphabetic);
        let text = if is_bare {
            format!("{text} {unit}")
        } else {
            text.to_owned()
        };
        self.put(at, column, &text);
    }

    fn put(&mut self, at: usize, column: usize, text: &str) {
        let row = &mut self.rows[at];
        row.resize(row.len().max(column + 1), String::new());
        row[column] = text.to_owned();
    }

    fn text(self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let in_memory = "writing rows of equal length to memory cannot fail";
        let width = self.heading.len();
        writer.write_record(&self.heading).expect(in_memory);
        for mut row in self.rows {
            row.resize(width, String::new());
            for (name, cell) in self.heading.iter().zip(&mut row) {
                let is_name = NAMES.contains(&name.as_str());
                // What somebody typed may be a length with a sign.
                if is_name || parse_length(cell).is_err() {
                    *cell = as_text(cell).into_owned();
                }
            }
            writer.write_record(row).expect(in_memory);
        }
        String::from_utf8(writer.into_inner().expect(in_memory))
            .expect("text went in, text comes out")
    }
}

fn cell(table: &CsvTable, row: &CsvRow, name: &str) -> String {
    let cell = table
        .column(&[name])
        .and_then(|column| table.cell(row, column));
    cell.map_or_else(String::new, |cell| cell.text().to_owned())
}

fn plain(text: &str) -> String {
    let signs = text.chars().filter(|sign| !sign.is_whitespace());
    signs.flat_map(char::to_lowercase).collect()
}

//! Readings from a kit's form.

use super::{
    FormRows, Reading, ReadingKind, Readings, ShouldBe,
    model::{LAYS, MOST_READINGS, SIGMA_MM},
};
use crate::{
    source::{CsvCell, CsvRow, CsvTable, Fault, Faults, Place},
    units::mm_exact,
};

/// Columns that may hold readings, with the unit of a number that has none.
pub(crate) const READING_COLUMNS: [(&str, &str); 6] = [
    ("reading_mm", "mm"),
    ("reading", "mm"),
    ("reading_in", "in"),
    ("reading_cm", "cm"),
    ("reading_m", "m"),
    ("reading_ft", "ft"),
];

/// Columns that a kit's form comes with, in either unit; whatever stands in any other was written by somebody.
pub(crate) const PRINTED: [&str; 9] = [
    "lay",
    "check",
    "kind",
    "from",
    "to",
    "should_be_mm",
    "should_be_in",
    "limit_mm",
    "limit_in",
];

/// What is written into a cell to say that there is nothing.
const NOTHING: [&str; 5] = ["-", "\u{2013}", "\u{2014}", "/", "n/a"];

/// What may stand between the two marks of a line: two dots, or what a spreadsheet or a sheet has for them.
const BETWEEN: [&str; 4] = ["..", "\u{2026}", "\u{2013}", "\u{2192}"];

/// The columns that are asked for.
struct Columns {
    lay: Option<usize>,
    label: Option<usize>,
    kind: Option<usize>,
    from: usize,
    to: usize,
    readings: Vec<(usize, &'static str)>,
    sigma: Option<usize>,
    /// What the form says that readings should be, in mm and in inches.
    should_be: [Option<usize>; 2],
}

impl Readings {
    /// Reads the filled form. It needs the columns `from`, `to` and `reading_mm` (or `reading`, `reading_in`
    /// and so on); `lay`, `check`, `kind` and `sigma_mm` are read where they are there, all others passed over. A row
    /// without a reading is not taped yet. Where `kind` is `offset` or `inline`, `from` is the mark beside the
    /// line or on the string, and `to` is the line, as in `1C..4C`.
    ///
    /// # Errors
    /// All faults of the table and its cells, and a form in which nothing is filled in.
    pub fn read_csv(file: &str, bytes: &[u8]) -> Result<Self, Faults> {
        let table = CsvTable::read(file, bytes)?;
        let columns = columns(&table)?;
        let (mut readings, mut faults, mut blank) = (Vec::new(), Vec::new(), 0);
        for row in table.rows() {
            match columns.reading(&table, row) {
                Ok(Some(reading)) => readings.push(reading),
                Ok(None) => blank += 1,
                Err(fault) => faults.push(fault),
            }
        }
        Faults::none_in(faults)?;
        if table.rows().is_empty() {
            return Err(Place::whole(file)
                .fault("there is a heading and no row below it; save the kit's readings.csv again, with all its rows")
                .into());
        }
        if readings.is_empty() {
            return Err(Place::whole(file)
                .fault(format!(
                    "nothing is filled in: none of the {blank} rows has a reading; write what the tape read into the column `{}`, and leave out what is not taped",
                    columns.readings.first().map_or("reading_mm", |(column, _)| name_of(&table, *column))
                ))
                .into());
        }
        debug_assert!(readings.len() <= MOST_READINGS, "a table has no more rows");
        Ok(Self {
            job: None,
            marks: Vec::new(),
            readings,
            blank,
            precision: None,
        })
    }
}

impl FormRows {
    /// What each row of a form is about, whether anything is read in it or not.
    ///
    /// # Errors
    /// Columns that are not there.
    pub fn of(table: &CsvTable) -> Result<Self, Faults> {
        let columns = columns(table)?;
        let about = |row: &CsvRow| {
            let should_be = columns.should_be(table, row).ok()?;
            Some((columns.kind(table, row).ok()?, should_be))
        };
        Ok(Self(table.rows().iter().map(about).collect()))
    }
}

fn name_of(table: &CsvTable, column: usize) -> &'static str {
    READING_COLUMNS
        .iter()
        .find(|(name, _)| table.column(&[name]) == Some(column))
        .map_or("reading_mm", |(name, _)| name)
}

/// True for a table that has heights, and no lines that could be taped.
fn is_form_of_heights(table: &CsvTable) -> bool {
    const HEIGHTS: [&str; 6] = [
        "height_mm",
        "height",
        "height_in",
        "staff_mm",
        "staff",
        "staff_in",
    ];
    table.column(&HEIGHTS).is_some() && table.column(&["from", "to"]).is_none()
}

fn columns(table: &CsvTable) -> Result<Columns, Faults> {
    if is_form_of_heights(table) {
        let message = "this is a form of heights (levels.csv), and taped readings (readings.csv) are needed here; `baystencil levels FILE` judges it, or --levels FILE beside the readings";
        return Err(table.heading_place().fault(message).into());
    }
    let (from, to) = (table.required(&["from"]), table.required(&["to"]));
    let readings: Vec<(usize, &str)> = READING_COLUMNS
        .iter()
        .filter_map(|(name, unit)| table.column(&[name]).map(|column| (column, *unit)))
        .collect();
    let any_reading = if readings.is_empty() {
        table.required(&["reading_mm", "reading_in"]).map(|_| ())
    } else {
        Ok(())
    };
    match (from, to, any_reading) {
        (Ok(from), Ok(to), Ok(())) => Ok(Columns {
            lay: table.column(&["lay"]),
            label: table.column(&["check", "id"]),
            kind: table.column(&["kind"]),
            from,
            to,
            readings,
            sigma: table.column(&["sigma_mm", "sigma"]),
            should_be: ["should_be_mm", "should_be_in"].map(|name| table.column(&[name])),
        }),
        (from, to, any_reading) => {
            let faults = [from.err(), to.err(), any_reading.err()]
                .into_iter()
                .flatten()
                .collect();
            Err(Faults::none_in(faults).expect_err("one of the three has failed"))
        }
    }
}

impl Columns {
    /// The reading of a row, `None` where there is none yet.
    fn reading(&self, table: &CsvTable, row: &CsvRow) -> Result<Option<Reading>, Fault> {
        let written = |(column, unit): &(usize, &'static str)| {
            let cell = table.cell(row, *column)?;
            (!NOTHING
                .iter()
                .any(|nothing| cell.text().eq_ignore_ascii_case(nothing)))
            .then_some((cell, *unit))
        };
        let mut cells = self.readings.iter().filter_map(written);
        let Some((cell, unit)) = cells.next() else {
            return Ok(None);
        };
        if let Some((second, _)) = cells.next() {
            return Err(table.place(second).fault(format!(
                "the row has two readings, \"{}\" and \"{}\"; leave one of them, and give a second reading a row of its own",
                clipped(cell),
                clipped(second)
            )));
        }
        let value = table.length_in(cell, unit)?;
        let kind = self.kind(table, row)?;
        if matches!(kind, ReadingKind::Distance { .. }) && value <= 0.0 {
            return Err(table.place(cell).fault(no_distance(value)));
        }
        let sd = self
            .sigma
            .and_then(|column| table.cell(row, column))
            .map(|cell| sigma(table, cell))
            .transpose()?;
        let label = self
            .label
            .and_then(|column| table.cell(row, column))
            .map(|cell| table.name(cell))
            .transpose()?;
        let should_be = self.should_be(table, row)?;
        let lay = self
            .lay
            .and_then(|column| table.cell(row, column))
            .map(|cell| lay(table, cell))
            .transpose()?;
        Ok(Some(Reading {
            label,
            lay,
            kind,
            value,
            sd,
            should_be,
            place: table.row_place(row),
        }))
    }

    fn should_be(&self, table: &CsvTable, row: &CsvRow) -> Result<Option<ShouldBe>, Fault> {
        let cell = |column: Option<usize>| column.and_then(|column| table.cell(row, column));
        match self.should_be.map(cell) {
            // A number with its unit was carried here from a form in inches.
            [Some(cell), _] => Ok(Some(ShouldBe {
                mm: table.length(cell)?,
                inches: cell.text().ends_with("in"),
            })),
            [None, Some(cell)] => Ok(Some(ShouldBe {
                mm: table.length_in(cell, "in")?,
                inches: true,
            })),
            [None, None] => Ok(None),
        }
    }

    fn kind(&self, table: &CsvTable, row: &CsvRow) -> Result<ReadingKind, Fault> {
        let name = |column, what: &str| {
            let cell = table.cell(row, column).ok_or_else(|| {
                table.row_place(row).fault(format!(
                    "there is a reading, but no mark in the column `{what}`; write it, or clear the reading"
                ))
            })?;
            table.name(cell)
        };
        let (from, to) = (name(self.from, "from")?, name(self.to, "to")?);
        let word = self
            .kind
            .and_then(|column| table.cell(row, column))
            .map(|cell| cell.text().to_lowercase());
        let is_inline = match word.as_deref() {
            Some("offset") => false,
            Some("inline") => true,
            _ => {
                return Ok(ReadingKind::Distance { from, to });
            }
        };
        let line = BETWEEN
            .iter()
            .find_map(|between| to.split_once(between))
            .map(|(a, b)| [a, b].map(str::trim));
        match line {
            Some(line) if line.iter().all(|name| !name.is_empty()) => {
                let (mark, line) = (from, line.map(str::to_owned));
                Ok(if is_inline { ReadingKind::Inline { mark, line } } else { ReadingKind::Offset { mark, line } })
            }
            _ => Err(table.row_place(row).fault(format!(
                "\"{to}\" is no line; in a row of offset or inline, `to` is two marks with two dots between, as in 1C..4C"
            ))),
        }
    }
}

fn clipped(cell: &CsvCell) -> String {
    cell.text()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .chars()
        .take(60)
        .collect()
}

/// The number of a lay.
fn lay(table: &CsvTable, cell: &CsvCell) -> Result<u32, Fault> {
    let number = cell
        .text()
        .parse()
        .ok()
        .filter(|number| LAYS.contains(number));
    number.and_then(|number| u32::try_from(number).ok()).ok_or_else(|| {
        table.place(cell).fault(format!(
            "\"{}\" is no number of a lay; expected a whole number from {} to {}, as on the form, or nothing",
            clipped(cell),
            LAYS.start(),
            LAYS.end()
        ))
    })
}

fn sigma(table: &CsvTable, cell: &CsvCell) -> Result<f64, Fault> {
    let sd = table.length(cell)?;
    if SIGMA_MM.contains(&sd) {
        return Ok(sd);
    }
    Err(table.place(cell).fault(format!(
        "a standard deviation of {} mm; expected more than 0, up to {} mm: leave it out where it is not known",
        mm_exact(sd, 3),
        SIGMA_MM.end()
    )))
}

/// What to say of a distance that is none, mm.
pub(super) fn no_distance(value: f64) -> String {
    format!(
        "a distance of {} mm; expected more than 0: leave out what is not taped, and write the tape's reading without a sign",
        mm_exact(value, 3)
    )
}

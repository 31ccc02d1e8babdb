//! Levels in a table: the filled form of a kit, or a spreadsheet's own.

use kurbo::Point;

use super::{
    LevelReading, LevelReadings,
    read::{HEIGHT_MM, PLACE_MM},
};
use crate::{
    source::{CsvCell, CsvRow, CsvTable, Fault, Faults, Placed},
    units::mm_exact,
};

/// Longest name of a point, in characters.
const LONGEST_NAME: usize = 40;

/// Columns for each quantity, with the unit of a number that has none; the first that is there and filled in counts.
type Names = [(&'static str, &'static str); 3];
const HEIGHT: Names = [("height_mm", "mm"), ("height", "mm"), ("height_in", "in")];
const STAFF: Names = [("staff_mm", "mm"), ("staff", "mm"), ("staff_in", "in")];
const X: Names = [("x_mm", "mm"), ("x", "mm"), ("x_in", "in")];
const Y: Names = [("y_mm", "mm"), ("y", "mm"), ("y_in", "in")];

/// Reads a table with the columns `at`, `height_mm` or `staff_mm` (or both, one of them filled in each row), and
/// optionally `x_mm` and `y_mm`; `height_in` and so on where the numbers are inches. Rows without a height are passed over: not every point of a form is read.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<LevelReadings, Faults> {
    let table = CsvTable::read(file, bytes)?;
    let has = |name| table.column(&[name]).is_some();
    if has("from") && has("to") && !has("at") {
        let message = "this is a form of taped readings (readings.csv), and heights (levels.csv) are needed here; `baystencil check FILE` judges it";
        return Err(table.heading_place().fault(message).into());
    }
    let mut faults = Vec::new();
    let at = table
        .required(&["at", "point", "mark"])
        .map_err(|fault| faults.push(fault))
        .ok();
    let found = |names: Names| -> Vec<(usize, &'static str)> {
        names
            .into_iter()
            .filter_map(|(name, unit)| Some((table.column(&[name])?, unit)))
            .collect()
    };
    let (height, staff) = (found(HEIGHT), found(STAFF));
    if height.is_empty() && staff.is_empty() {
        faults.push(table.heading_place().fault(
            "there is no column `height_mm` (heights upwards) and no `staff_mm` (readings of a staff, which grow as the floor falls), nor `height_in` and `staff_in`; one of them holds the readings",
        ));
    }
    let columns = Columns {
        at: at.unwrap_or_default(),
        height,
        staff,
        x: found(X),
        y: found(Y),
    };
    let mut levels = Vec::new();
    if faults.is_empty() {
        for row in table.rows() {
            match columns.level(&table, row) {
                Ok(Some(level)) => levels.push(Placed {
                    value: level,
                    place: table.row_place(row),
                }),
                Ok(None) => (),
                Err(fault) => faults.push(fault),
            }
        }
    }
    Faults::none_in(faults)?;
    Ok(LevelReadings {
        job: None,
        of_a_kit: table.column(&["what"]).is_some(),
        sigma: None,
        levels,
    })
}

struct Columns {
    at: usize,
    height: Lengths,
    staff: Lengths,
    x: Lengths,
    y: Lengths,
}

/// Columns that hold the same quantity, each with its unit.
type Lengths = Vec<(usize, &'static str)>;

/// A cell with the unit of its column.
type Measured<'t> = (&'t CsvCell, &'static str);

impl Columns {
    fn level(&self, table: &CsvTable, row: &CsvRow) -> Result<Option<LevelReading>, Fault> {
        let cell = |columns: &Lengths| -> Option<Measured<'_>> {
            columns
                .iter()
                .find_map(|(column, unit)| Some((table.cell(row, *column)?, *unit)))
        };
        let height = match (cell(&self.height), cell(&self.staff)) {
            (None, None) => return Ok(None),
            (Some(height), None) => within(table, height, &HEIGHT_MM, "a height")?,
            (None, Some(staff)) => -within(table, staff, &HEIGHT_MM, "a staff's reading")?,
            (Some(_), Some((staff, _))) => {
                return Err(table.place(staff).fault(
                    "height and staff are both filled in; give the height, or what the staff reads",
                ));
            }
        };
        let name = table.cell(row, self.at).map(|cell| table.name(cell));
        let name = name.transpose()?.unwrap_or_default();
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            return Err(table.row_place(row).fault(format!(
                "the height has no proper name beside it; write the mark or wheel, as in 1L or WFL, at most {LONGEST_NAME} letters"
            )));
        }
        let place = match (cell(&self.x), cell(&self.y)) {
            (None, None) => None,
            (Some(x), Some(y)) => Some(Point::new(
                within(table, x, &PLACE_MM, "a place")?,
                within(table, y, &PLACE_MM, "a place")?,
            )),
            (Some((cell, _)), None) | (None, Some((cell, _))) => {
                return Err(table.place(cell).fault(
                    "a place has x (forward) and y (to the left); fill in both, or neither",
                ));
            }
        };
        Ok(Some(LevelReading {
            at: name,
            place,
            height,
        }))
    }
}

fn within(
    table: &CsvTable,
    (cell, unit): Measured<'_>,
    range: &std::ops::RangeInclusive<f64>,
    what: &str,
) -> Result<f64, Fault> {
    let length = table.length_in(cell, unit)?;
    if range.contains(&length) {
        return Ok(length);
    }
    Err(table.place(cell).fault(format!(
        "\"{}\" is {} mm; expected {} to {} mm for {what}: check the number and its unit",
        cell.text(),
        mm_exact(length, 1),
        mm_exact(*range.start(), 0),
        mm_exact(*range.end(), 0)
    )))
}

//! A filled form (CSV) in which single cells are changed; all other columns and rows stay.

use super::ShopError;
use crate::{
    source::{CsvTable, as_text},
    units::parse_length,
};

/// A form as a table of texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormFile {
    heading: Vec<String>,
    rows: Vec<FormRow>,
}

/// A row of a form: a text for each column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormRow {
    cells: Vec<String>,
}

impl FormFile {
    /// Reads a form as the commands do: commas or semicolons, decimal points or commas.
    ///
    /// # Errors
    /// Why it is no form, in one text.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, String> {
        let table = CsvTable::read(file, bytes).map_err(|faults| faults.to_string())?;
        let heading: Vec<String> = table
            .columns()
            .map(|(name, written)| if name.is_empty() { written } else { name }.to_owned())
            .collect();
        let rows = table.rows().iter().map(|row| FormRow {
            cells: (0..heading.len())
                .map(|column| {
                    let cell = table.cell(row, column);
                    cell.map(|cell| table.with_points(cell)).unwrap_or_default()
                })
                .collect(),
        });
        Ok(Self {
            rows: rows.collect(),
            heading,
        })
    }

    /// The rows, in the order of the file.
    #[must_use]
    pub fn rows(&self) -> &[FormRow] {
        &self.rows
    }

    /// The names of the columns, in their order.
    #[must_use]
    pub fn heading(&self) -> &[String] {
        &self.heading
    }

    /// Adds a row below the others, with texts for columns by their names without a unit; what the form has no column for is left out.
    pub fn add(&mut self, texts: &[(&str, &str)]) {
        let mut cells = vec![String::new(); self.heading.len()];
        for (base, text) in texts {
            if let Some(column) = self.column(base) {
                (*text).clone_into(&mut cells[column]);
            }
        }
        self.rows.push(FormRow { cells });
    }

    /// The column that has this name, with `_mm`, with `_in`, or without a unit.
    #[must_use]
    pub fn column(&self, base: &str) -> Option<usize> {
        ["", "_mm", "_in"].iter().find_map(|unit| {
            let name = format!("{base}{unit}");
            self.heading.iter().position(|found| *found == name)
        })
    }

    /// The text of a row's cell; empty where the form has no such row or column.
    #[must_use]
    pub fn cell(&self, row: usize, base: &str) -> &str {
        let cell = self
            .rows
            .get(row)
            .zip(self.column(base))
            .and_then(|(row, column)| row.cells.get(column));
        cell.map_or("", String::as_str)
    }

    /// Types a text into a cell that had `before` in it.
    ///
    /// # Errors
    /// [`ShopError::Changed`] with what stands there now, where that is neither `before` nor the new text: somebody else typed there.
    /// [`ShopError::Missing`] where the form has no such cell.
    pub fn fill(
        &mut self,
        row: usize,
        base: &str,
        before: &str,
        text: &str,
    ) -> Result<(), ShopError> {
        let missing = || ShopError::Missing {
            what: "row of the form",
            name: (row + 1).to_string(),
        };
        let column = self.column(base).ok_or_else(missing)?;
        let cells = self.rows.get_mut(row).ok_or_else(missing)?;
        let cell = cells.cells.get_mut(column).ok_or_else(missing)?;
        if cell != before && cell != text {
            return Err(ShopError::Changed { now: cell.clone() });
        }
        text.clone_into(cell);
        Ok(())
    }

    /// The form as CSV. Text that a spreadsheet would calculate is written as text.
    #[must_use]
    pub fn text(&self) -> String {
        let in_memory = "writing rows of equal length to memory cannot fail";
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&self.heading).expect(in_memory);
        for row in &self.rows {
            let cells = row.cells.iter().map(|cell| {
                // What somebody typed may be a length with a sign.
                let is_length = parse_length(cell).is_ok();
                if is_length {
                    cell.clone()
                } else {
                    as_text(cell).into_owned()
                }
            });
            writer.write_record(cells).expect(in_memory);
        }
        let bytes = writer.into_inner().expect(in_memory);
        String::from_utf8(bytes).expect("text went in, text comes out")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORM: &str =
        "check,from,to,should_be_mm,reading_mm,note\n1,1L,2L,1370,,\n2,1L,3L,3805,3806.5,wet\n";

    #[test]
    fn two_people_fill_two_rows_and_the_second_of_one_row_sees_the_first() {
        let mut form = FormFile::read("readings.csv", FORM.as_bytes()).expect("a form");
        form.fill(0, "reading", "", "1371").expect("blank");
        form.fill(0, "reading", "", "1371")
            .expect("sent twice by a phone that lost the answer");
        let refused = form.fill(0, "reading", "", "1400");
        assert!(matches!(refused, Err(ShopError::Changed { now }) if now == "1371"));
        assert!(form.fill(9, "reading", "", "1").is_err());
        let again = FormFile::read("readings.csv", form.text().as_bytes()).expect("its own text");
        assert_eq!(again, form);
        assert_eq!(
            (again.cell(0, "reading"), again.cell(1, "note")),
            ("1371", "wet")
        );
    }

    #[test]
    fn a_row_is_added_below_with_what_the_form_has_columns_for() {
        let mut form = FormFile::read("readings.csv", FORM.as_bytes()).expect("a form");
        form.add(&[
            ("from", "2L"),
            ("to", "3R"),
            ("should_be", "2500"),
            ("colour", "red"),
        ]);
        assert!(
            form.text().ends_with("\n,2L,3R,2500,,\n"),
            "{}",
            form.text()
        );
        assert_eq!(form.heading().len(), 6);
    }

    #[test]
    fn what_a_spreadsheet_would_calculate_is_text_and_lengths_with_a_sign_are_not() {
        let mut form = FormFile::read("readings.csv", FORM.as_bytes()).expect("a form");
        form.fill(0, "reading", "", "-12").expect("blank");
        form.fill(0, "note", "", "=1+1").expect("blank");
        assert!(form.text().contains(",-12,'=1+1"), "{}", form.text());
        let again = FormFile::read("readings.csv", form.text().as_bytes()).expect("its own text");
        assert_eq!(again.cell(0, "note"), "=1+1");
    }
}

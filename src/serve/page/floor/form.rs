//! The forms of a job in the shop: blank when the step is first opened, filled, and carried over when the layout changes.

use axum::http::StatusCode;

use super::entry::{Reading, Sent};
use crate::{
    kit::{Form, Kit},
    serve::{app::App, jobs::JobFile, refusal::Refusal},
    shop::{FormFile, Kept, Shop, ShopError, Version},
};

/// How often a form is looked at again that somebody else changes at the same moment.
const TRIES: usize = 3;

/// Columns that somebody writes into, without their unit.
const WRITTEN: [&str; 3] = ["reading", "height", "staff"];

/// A form of a job as it stands in its folder.
#[derive(Clone, Debug)]
pub struct OpenForm {
    /// Its text and version.
    pub kept: Kept,
    /// The same, cell by cell.
    pub table: FormFile,
    /// What forms of earlier layouts have besides.
    pub earlier: Earlier,
}

/// What stands in the forms of earlier layouts, which are kept beside the one of today.
#[derive(Clone, Debug, Default)]
pub struct Earlier {
    /// Rows of the last of them that do not stand in this layout, by its file.
    pub lost: Option<(String, Vec<String>)>,
    /// File, row and text of what stands in this layout, whose row is empty today: where a layout was changed and changed back.
    pub blank: Vec<(String, String, String)>,
}

impl OpenForm {
    /// Opens a form: a blank one where there is none, and one with what was written into it carried over where the layout is another
    /// one since.
    ///
    /// # Errors
    /// A form that cannot be read, or what the file system refuses.
    pub fn open(app: &App, file: &JobFile, kit: &Kit, form: Form) -> Result<Self, Refusal> {
        let blank = kit.form(form);
        let mut done = Ok(());
        for _ in 0..TRIES {
            done = bring_up_to_date(&app.shop, file, kit, form, &blank);
            // Somebody else opened it at the same moment: what is there now is looked at once more.
            if !matches!(done, Err(Stopped::Shop(ShopError::Changed { .. }))) {
                break;
            }
        }
        done?;
        let kept = read(&app.shop, file, form)?.ok_or_else(Refusal::missing)?;
        let table = table(form, &kept.text).map_err(Refusal::input)?;
        let earlier = earlier_of(&app.shop, (file, kit, form), &blank, &table)?;
        Ok(Self {
            kept,
            table,
            earlier,
        })
    }
}

/// What a row of a form is of.
pub type LineOf = fn(&FormFile, usize) -> String;

/// Types a text into a column of the row that a reading was sent for, and says what became of it.
///
/// # Errors
/// A row that is not there any more, or what the file system refuses.
pub fn fill(
    shop: &Shop,
    (file, form, line): (&JobFile, Form, LineOf),
    reading: &Reading,
    (column, cell): (&str, &str),
) -> Result<Sent, Refusal> {
    let path = file.beside(form.file());
    let mut is_there = true;
    let changed = shop.change_file(&path, |text| {
        let mut table =
            FormFile::read(form.file(), text.as_bytes()).map_err(|why| ShopError::Unreadable {
                path: path.clone(),
                why,
            })?;
        is_there = line(&table, reading.row) == reading.line;
        if !is_there {
            return Ok(text.to_owned());
        }
        table.fill(reading.row, column, &reading.before, cell)?;
        Ok(table.text())
    });
    match changed {
        Ok(_) if !is_there => Err(gone()),
        Ok(_) => Ok(Sent::Saved),
        Err(ShopError::Changed { .. }) => Ok(Sent::Twice {
            text: reading.text.clone(),
            side: reading.side.clone(),
        }),
        Err(error) => Err(error.into()),
    }
}

/// The row that a reading was typed for is not there.
#[must_use]
pub fn gone() -> Refusal {
    Refusal::new(
        StatusCode::GONE,
        "This row is not there any more",
        "The layout was changed in the meantime, and the rows are others now. Load the page again; what you typed was not written.",
    )
}

/// Why a form could not be opened.
enum Stopped {
    Shop(ShopError),
    /// Its text is none of a form: a sentence.
    Unread(String),
}

impl From<ShopError> for Stopped {
    fn from(error: ShopError) -> Self {
        Self::Shop(error)
    }
}

impl From<Stopped> for Refusal {
    fn from(stopped: Stopped) -> Self {
        match stopped {
            Stopped::Shop(error) => error.into(),
            Stopped::Unread(why) => Self::input(why),
        }
    }
}

fn read(shop: &Shop, file: &JobFile, form: Form) -> Result<Option<Kept>, ShopError> {
    shop.read_file(&file.beside(form.file()))
}

fn table(form: Form, text: &str) -> Result<FormFile, String> {
    let read = FormFile::read(form.file(), text.as_bytes());
    read.map_err(|why| unread(form, &why))
}

fn unread(form: Form, why: &str) -> String {
    format!(
        "The form {} beside the job cannot be read: {why}. Correct it, or put it into another folder and load this page again for a blank one.",
        form.file()
    )
}

fn bring_up_to_date(
    shop: &Shop,
    file: &JobFile,
    kit: &Kit,
    form: Form,
    blank: &str,
) -> Result<(), Stopped> {
    let path = file.beside(form.file());
    let Some(old) = read(shop, file, form)? else {
        shop.write_file(&path, &Version::from_text(""), blank)?;
        return Ok(());
    };
    let [now, new] = [old.text.as_str(), blank].map(|text| table(form, text));
    if goes_with(
        &now.map_err(Stopped::Unread)?,
        &new.map_err(Stopped::Unread)?,
    ) {
        return Ok(());
    }
    let carried = form.carry(old.text.as_bytes(), blank, &kit.job.plan);
    let carried = carried.map_err(|why| Stopped::Unread(unread(form, &why.to_string())))?;
    let Some(carried) = carried else {
        shop.write_file(&path, &old.version, blank)?;
        return Ok(());
    };
    keep_beside(shop, file, form, &old.text)?;
    shop.write_file(&path, &old.version, &carried.text)?;
    Ok(())
}

/// The name of a form of an earlier layout: "readings before 2.csv".
fn earlier(form: Form, count: usize) -> String {
    let file = form.file();
    let stem = file.strip_suffix(".csv").unwrap_or(file);
    format!("{stem} before {count}.csv")
}

/// Keeps the text of a form beside it, under a name that is free; not twice one after the other.
fn keep_beside(shop: &Shop, file: &JobFile, form: Form, text: &str) -> Result<(), ShopError> {
    let free = (1..)
        .find(|count| !file.beside(&earlier(form, *count)).exists())
        .unwrap_or(1);
    if free > 1 {
        let last = shop.read_file(&file.beside(&earlier(form, free - 1)))?;
        if last.is_some_and(|last| last.text == text) {
            return Ok(());
        }
    }
    let path = file.beside(&earlier(form, free));
    shop.write_file(&path, &Version::from_text(""), text)?;
    Ok(())
}

/// What the forms of earlier layouts have that the one of today has not.
fn earlier_of(
    shop: &Shop,
    (file, kit, form): (&JobFile, &Kit, Form),
    blank: &str,
    today: &FormFile,
) -> Result<Earlier, ShopError> {
    let mut names: Vec<String> = (1..)
        .map(|count| earlier(form, count))
        .take_while(|name| file.beside(name).exists())
        .collect();
    names.reverse();
    let mut found = Earlier::default();
    for (index, name) in names.into_iter().enumerate() {
        let Some(old) = shop.read_file(&file.beside(&name))? else {
            continue;
        };
        // One that cannot be read any more was somebody's own doing; it stays as it is.
        let carried = form.carry(old.text.as_bytes(), blank, &kit.job.plan);
        let Some(carried) = carried.ok().flatten() else {
            continue;
        };
        if let Ok(then) = table(form, &carried.text) {
            found.add_blank(&name, &then, today);
        }
        if index == 0 && !carried.lost.is_empty() {
            found.lost = Some((name, carried.lost));
        }
    }
    Ok(found)
}

impl Earlier {
    /// Adds what stands in rows of a form whose rows are empty in that of today, and that no later form has.
    fn add_blank(&mut self, file: &str, then: &FormFile, today: &FormFile) {
        for row in 0..today.rows().len().min(then.rows().len()) {
            let name = |table: &FormFile| {
                let ends = ["from", "to", "at"].map(|base| table.cell(row, base));
                let ends: Vec<&str> = ends.into_iter().filter(|end| !end.is_empty()).collect();
                ends.join("–")
            };
            let written = |table: &FormFile| {
                let mut cells = WRITTEN.iter().map(|base| table.cell(row, base).to_owned());
                cells.find(|cell| !cell.is_empty())
            };
            let is_new = |text: &(String, String, String)| text.1 != name(today);
            if let (None, Some(text)) = (written(today), written(then))
                && name(then) == name(today)
                && self.blank.iter().all(is_new)
            {
                self.blank.push((file.to_owned(), name(today), text));
            }
        }
    }
}

/// True where a form has the columns and the rows that the blank one of today has, and what is printed in them; rows that somebody
/// added below do not matter.
fn goes_with(old: &FormFile, blank: &FormFile) -> bool {
    let printed: Vec<&str> = blank
        .heading()
        .iter()
        .map(|name| name.trim_end_matches("_mm").trim_end_matches("_in"))
        .filter(|name| !WRITTEN.contains(name))
        .collect();
    let same_columns = blank
        .heading()
        .iter()
        .all(|name| old.heading().contains(name));
    let same_row = |row: usize| {
        let same = |name: &&str| is_same(old.cell(row, name), blank.cell(row, name));
        printed.iter().all(same)
    };
    same_columns && old.rows().len() >= blank.rows().len() && (0..blank.rows().len()).all(same_row)
}

/// True for one text, and for one number in two ways of writing it.
fn is_same(a: &str, b: &str) -> bool {
    let numbers = a.parse::<f64>().ok().zip(b.parse::<f64>().ok());
    a == b || numbers.is_some_and(|(a, b)| (a - b).abs() < f64::EPSILON)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> FormFile {
        FormFile::read("readings.csv", text.as_bytes()).expect("a form")
    }

    #[test]
    fn a_form_goes_with_its_layout_whatever_was_written_and_added() {
        let blank = of("check,from,to,should_be_mm,reading_mm\n1,1L,2L,1370.0,\n");
        let filled =
            "check,from,to,should_be_mm,reading_mm,note\n1,1L,2L,1370,1371,\n,1L,3R,,4000,\n";
        assert!(goes_with(&of(filled), &blank));
        for other in [
            "check,from,to,should_be_mm,reading_mm\n1,1L,2L,1380.0,1371\n",
            "check,from,to,should_be_mm,reading_mm\n1,1L,2R,1370.0,1371\n",
            "check,from,to,should_be_in,reading_in\n1,1L,2L,53 15/16,\n",
        ] {
            assert!(!goes_with(&of(other), &blank), "{other}");
        }
        let fewer = of("check,from,to,should_be_mm,reading_mm\n");
        assert!(!goes_with(&fewer, &blank) && goes_with(&blank, &fewer));
    }

    #[test]
    fn what_stands_again_in_an_earlier_form_is_listed_once() {
        let today =
            of("check,from,to,should_be_mm,reading_mm\n1,1L,2L,1370.0,\n2,1L,3L,4000.0,4001\n");
        let then =
            of("check,from,to,should_be_mm,reading_mm\n1,1L,2L,1370.0,1371\n2,1L,3L,4000.0,4002\n");
        let mut earlier = Earlier::default();
        for file in ["readings before 2.csv", "readings before 1.csv"] {
            earlier.add_blank(file, &then, &today);
        }
        let [(file, row, text)] = &earlier.blank[..] else {
            panic!("one row: {earlier:?}");
        };
        assert_eq!(
            (file.as_str(), row.as_str(), text.as_str()),
            ("readings before 2.csv", "1L–2L", "1371")
        );
    }
}

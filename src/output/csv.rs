//! Tables for a spreadsheet: the form for the taped readings, and the marks.
//!
//! Forms in inches have columns that end in `_in` instead of `_mm`, never both; whoever judges what
//! is plausible in them knows how far 1/16 in rounds.

use crate::{
    plan::{FloorPlan, Lay, LayReading},
    practice::MarkingList,
    source::as_text,
    survey::level_places,
    units::inch_cell,
};

/// A row of the form for the taped readings, lengths in mm.
struct FormRow {
    lay: String,
    check: String,
    kind: &'static str,
    ends: [String; 2],
    should_be: f64,
    limit: f64,
}

/// The form to fill in once the layout lies: a row for each reading in the order of walking, with the number of the lay
/// that it belongs to and an empty reading. Lengths are in mm, or in inches to 1/16 where `inches` is true; the columns'
/// names say which.
#[must_use]
pub fn readings_csv(plan: &FloorPlan, inches: bool) -> String {
    let lengths = ["should_be", "limit", "reading"].map(|name| with_unit(name, inches));
    let heading: Vec<&str> = ["lay", "check", "kind", "from", "to"]
        .into_iter()
        .chain(lengths.iter().map(String::as_str))
        .collect();
    let rows = form_rows(plan).into_iter().map(|row| {
        let [from, to] = row.ends;
        let (should_be, limit) = (length(row.should_be, inches), length(row.limit, inches));
        vec![
            row.lay,
            text(&row.check),
            row.kind.to_owned(),
            text(&from),
            text(&to),
            should_be,
            limit,
            String::new(),
        ]
    });
    table(&heading, rows)
}

fn form_rows(plan: &FloorPlan) -> Vec<FormRow> {
    let of = |lay: &Lay, reading: &LayReading| FormRow {
        lay: lay.number.to_string(),
        check: reading.id.clone(),
        kind: lay.reading_kind(),
        ends: lay.ends(plan, reading),
        should_be: reading.should_be,
        limit: reading.limit,
    };
    plan.lays
        .iter()
        .flat_map(|lay| lay.readings.iter().map(move |reading| of(lay, reading)))
        .collect()
}

/// The form for the heights of the floor: a row per mark and wheel, to fill in either the height or what the staff
/// reads. Lengths as in [`readings_csv`].
#[must_use]
pub fn levels_csv(plan: &FloorPlan, inches: bool) -> String {
    let lengths = ["x", "y", "height", "staff"].map(|name| with_unit(name, inches));
    let heading: Vec<&str> = ["at", "what"]
        .into_iter()
        .chain(lengths.iter().map(String::as_str))
        .collect();
    let rows = level_places(plan).into_iter().map(|place| {
        let [x, y] = [place.at.x, place.at.y].map(|mm| length(mm, inches));
        vec![
            text(&place.name),
            text(&place.meaning.to_string()),
            x,
            y,
            String::new(),
            String::new(),
        ]
    });
    table(&heading, rows)
}

/// The name of a column of lengths, with its unit.
fn with_unit(name: &str, inches: bool) -> String {
    format!("{name}_{}", if inches { "in" } else { "mm" })
}

/// A length in the unit of its column.
fn length(mm: f64, inches: bool) -> String {
    if inches { inch_cell(mm) } else { tenths(mm) }
}

/// The marks with station, offset and two-tape distances; with an inch column for each when asked.
#[must_use]
pub fn marks_csv(plan: &FloorPlan, inches: bool) -> String {
    let [front, rear] = plan.tape_base.map(|index| plan.marks[index].id.as_str());
    let measures = [
        "station".to_owned(),
        "offset".to_owned(),
        format!("from_{front}"),
        format!("from_{rear}"),
    ];
    let mut heading = vec!["mark".to_owned(), "meaning".to_owned()];
    for name in &measures {
        heading.push(format!("{name}_mm"));
        if inches {
            heading.push(format!("{name}_in"));
        }
    }
    heading.push("tolerance_mm".to_owned());
    let rows = plan.marks.iter().map(|mark| {
        let mut row = vec![text(&mark.id), text(&mark.meaning)];
        for value in [mark.at.x, mark.at.y, mark.two_tape[0], mark.two_tape[1]] {
            row.push(tenths(value));
            if inches {
                row.push(inch_cell(value));
            }
        }
        row.push(tenths(mark.tolerance));
        row
    });
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    table(&heading, rows)
}

/// The list that a class is marked on: a row with the most points, then one for each trainee, with a column for each sheet.
#[must_use]
pub fn marking_csv(list: &MarkingList) -> String {
    let columns = list.sheets.iter().map(|sheet| {
        let (kind, level) = (sheet.kind.word(), sheet.level.number());
        format!("{} {kind} {level}", sheet.column)
    });
    let heading: Vec<String> = ["name".to_owned()]
        .into_iter()
        .chain(columns)
        .chain(["sum".to_owned()])
        .collect();
    let points = list.sheets.iter().map(|sheet| sheet.points.to_string());
    let most = ["most points".to_owned()]
        .into_iter()
        .chain(points)
        .chain([list.points().to_string()])
        .collect();
    let rows = list.trainees.iter().map(|name| {
        let blank = vec![String::new(); list.sheets.len() + 1];
        [text(name)].into_iter().chain(blank).collect()
    });
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    table(&heading, [most].into_iter().chain(rows))
}

/// A text that a spreadsheet shows as it is.
fn text(text: &str) -> String {
    as_text(text).into_owned()
}

fn table(heading: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    let in_memory = "writing rows of equal length to memory cannot fail";
    writer.write_record(heading).expect(in_memory);
    for row in rows {
        writer.write_record(row).expect(in_memory);
    }
    String::from_utf8(writer.into_inner().expect(in_memory)).expect("text went in, text comes out")
}

/// Millimetres to a tenth with an ASCII minus, for spreadsheets.
fn tenths(mm: f64) -> String {
    format!("{:.1}", (mm * 10.0).round() / 10.0 + 0.0)
}

//! Tables for a spreadsheet: the form for the taped readings, and the marks.

use crate::{
    plan::{FloorPlan, Lay, LayReading},
    survey::level_places,
    units::inch_text,
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
/// that it belongs to and an empty reading.
#[must_use]
pub fn readings_csv(plan: &FloorPlan) -> String {
    let heading = ["lay", "check", "kind", "from", "to", "should_be_mm", "limit_mm", "reading_mm"];
    let rows = form_rows(plan).into_iter().map(|row| {
        let [from, to] = row.ends;
        let (should_be, limit) = (tenths(row.should_be), tenths(row.limit));
        vec![row.lay, row.check, row.kind.to_owned(), from, to, should_be, limit, String::new()]
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
    plan.lays.iter().flat_map(|lay| lay.readings.iter().map(move |reading| of(lay, reading))).collect()
}

/// The form for the heights of the floor: a row per mark and wheel, to fill in either the height or what the staff
/// reads.
#[must_use]
pub fn levels_csv(plan: &FloorPlan) -> String {
    let heading = ["at", "what", "x_mm", "y_mm", "height_mm", "staff_mm"];
    let rows = level_places(plan).into_iter().map(|place| {
        vec![place.name, place.meaning, tenths(place.at.x), tenths(place.at.y), String::new(), String::new()]
    });
    table(&heading, rows)
}

/// The marks with station, offset and two-tape distances; with an inch column for each when asked.
#[must_use]
pub fn marks_csv(plan: &FloorPlan, inches: bool) -> String {
    let [front, rear] = plan.tape_base.map(|index| plan.marks[index].id.as_str());
    let measures = ["station".to_owned(), "offset".to_owned(), format!("from_{front}"), format!("from_{rear}")];
    let mut heading = vec!["mark".to_owned(), "meaning".to_owned()];
    for name in &measures {
        heading.push(format!("{name}_mm"));
        if inches {
            heading.push(format!("{name}_in"));
        }
    }
    heading.push("tolerance_mm".to_owned());
    let rows = plan.marks.iter().map(|mark| {
        let mut row = vec![mark.id.clone(), mark.meaning.clone()];
        for value in [mark.at.x, mark.at.y, mark.two_tape[0], mark.two_tape[1]] {
            row.push(tenths(value));
            if inches {
                row.push(inch_text(value).replace('\u{2212}', "-"));
            }
        }
        row.push(tenths(mark.tolerance));
        row
    });
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    table(&heading, rows)
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

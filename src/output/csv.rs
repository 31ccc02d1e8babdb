//! Tables for a spreadsheet: the form for the taped readings, and the marks.

use crate::{
    plan::FloorPlan,
    survey::level_places,
    units::{SIXTEENTH_MM, inch_cell},
};

/// The form to fill in once the layout lies: a row per check distance with an empty reading, then those from the
/// wheel marks. The limit is empty where the tape cannot prove the distance. Lengths are in mm, or in inches to 1/16
/// (limits to the 1/16 below) where `inches` is true; the columns' names say which.
#[must_use]
pub fn readings_csv(plan: &FloorPlan, inches: bool) -> String {
    let lengths = ["should_be", "limit", "reading"].map(|name| with_unit(name, inches));
    let heading: Vec<&str> =
        ["check", "kind", "from", "to"].into_iter().chain(lengths.iter().map(String::as_str)).collect();
    let limit = |accept: f64| if inches { inch_cell(accept - SIXTEENTH_MM / 2.0) } else { tenths(accept) };
    let rows = plan.checks.iter().map(|check| {
        let (from, to) = (&plan.marks[check.from].id, &plan.marks[check.to].id);
        vec![
            check.id.clone(),
            check.kind.word().to_owned(),
            from.clone(),
            to.clone(),
            length(check.distance, inches),
            check.limits.accept.map_or_else(String::new, limit),
            String::new(),
        ]
    });
    let from_wheels = plan.vehicle_checks.iter().map(|check| {
        vec![
            check.id.clone(),
            "vehicle".to_owned(),
            check.wheel.clone(),
            plan.marks[check.mark].id.clone(),
            length(check.distance, inches),
            check.limits.accept.map_or_else(String::new, limit),
            String::new(),
        ]
    });
    table(&heading, rows.chain(from_wheels))
}

/// The form for the heights of the floor: a row per mark and wheel, to fill in either the height or what the staff
/// reads. Lengths as in [`readings_csv`].
#[must_use]
pub fn levels_csv(plan: &FloorPlan, inches: bool) -> String {
    let lengths = ["x", "y", "height", "staff"].map(|name| with_unit(name, inches));
    let heading: Vec<&str> = ["at", "what"].into_iter().chain(lengths.iter().map(String::as_str)).collect();
    let rows = level_places(plan).into_iter().map(|place| {
        let [x, y] = [place.at.x, place.at.y].map(|mm| length(mm, inches));
        vec![place.name, place.meaning, x, y, String::new(), String::new()]
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
                row.push(inch_cell(value));
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

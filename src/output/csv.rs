//! Tables for a spreadsheet: the form for the taped readings, and the marks.

use crate::{plan::FloorPlan, survey::level_places, units::inch_text};

/// The form to fill in once the layout lies: a row per check distance with an empty reading, then those from the
/// wheel marks. The limit is empty where the tape cannot prove the distance.
#[must_use]
pub fn readings_csv(plan: &FloorPlan) -> String {
    let heading = ["check", "kind", "from", "to", "should_be_mm", "limit_mm", "reading_mm"];
    let rows = plan.checks.iter().map(|check| {
        let (from, to) = (&plan.marks[check.from].id, &plan.marks[check.to].id);
        vec![
            check.id.clone(),
            check.kind.word().to_owned(),
            from.clone(),
            to.clone(),
            tenths(check.distance),
            check.limits.accept.map_or_else(String::new, tenths),
            String::new(),
        ]
    });
    let from_wheels = plan.vehicle_checks.iter().map(|check| {
        vec![
            check.id.clone(),
            "vehicle".to_owned(),
            check.wheel.clone(),
            plan.marks[check.mark].id.clone(),
            tenths(check.distance),
            check.limits.accept.map_or_else(String::new, tenths),
            String::new(),
        ]
    });
    table(&heading, rows.chain(from_wheels))
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

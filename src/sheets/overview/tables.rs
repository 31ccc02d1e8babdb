//! The measurement table and the list of lays to check by.

use crate::{
    drawing::heights,
    page::{Align, Cell, Column, Fragment, Room, Row, Table, heading, paragraph},
    plan::{FloorPlan, Lay, LayReading, Mark},
    units::{inch_text, mm_exact, mm_text},
    words::printed::lays,
};

/// Least width of the column that says what a mark is, mm.
const LEAST_MEANING: f64 = 14.0;
/// Least width of a box for a reading, mm.
const LEAST_READING: f64 = 11.5;
/// Least width of the column that says what is laid, mm.
const LEAST_LAID: f64 = 14.0;
/// Least height of a row with boxes to write in, mm, while the lettering is not the smallest.
const LEAST_WRITING_ROW: f64 = 4.4;
/// Clear distance between a table and its footnote, mm.
const NOTE_GAP: f64 = 1.0;

/// How tables are lettered.
#[derive(Clone, Copy, Debug)]
pub struct TableStyle {
    /// Height of the lettering, mm.
    pub lettering: f64,
    /// Height of a row as a multiple of the lettering.
    pub airiness: f64,
    /// Inches beside mm.
    pub inches: bool,
}

/// Marks with their coordinates and two-tape distances, at most `most` of them; `None` when
/// `width` mm do not hold the table.
#[must_use]
pub fn marks_table(
    plan: &FloorPlan,
    style: TableStyle,
    width: f64,
    most: usize,
) -> Option<Fragment> {
    let base = |index: usize| {
        plan.marks
            .get(plan.tape_base[index])
            .map_or("", |mark| mark.id.as_str())
    };
    // On a mat, A and B are vehicles.
    let from = |letter: &str, index: usize| {
        if plan.mat.is_some() {
            format!("from\n{}", base(index))
        } else {
            format!("from {letter}\n({})", base(index))
        }
    };
    let columns = vec![
        Column::new("mark", Align::Left, Room::Content),
        Column::new("what it is", Align::Left, Room::Rest(LEAST_MEANING)),
        Column::new("station\n+ ahead", Align::Right, Room::Content),
        Column::new("offset\n+ left", Align::Right, Room::Content),
        Column::new(from("A", 0), Align::Right, Room::Content),
        Column::new(from("B", 1), Align::Right, Room::Content),
        Column::new("±", Align::Right, Room::Content),
    ];
    let shown = &plan.marks[..most.min(plan.marks.len())];
    let rows = shown.iter().enumerate().map(|(index, mark)| {
        let follows =
            index > 0 && mark.station.is_some() && shown[index - 1].station == mark.station;
        mark_row(mark, follows, style.inches)
    });
    let table = Table {
        columns,
        rows: rows.collect(),
        lettering: style.lettering,
        row_height: style.lettering * style.airiness,
    };
    let unit = if style.inches {
        "mm, inches below"
    } else {
        "mm"
    };
    let mut piece = heading(
        "Marks",
        &format!("{unit}; 0 {}", plan.template.origin),
        width,
    );
    piece.stack(&table.lay_out(width)?, NOTE_GAP);
    if let left_out @ 1.. = plan.marks.len() - shown.len() {
        let note = format!("… and {left_out} more in plan.json");
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

fn mark_row(mark: &Mark, follows: bool, inches: bool) -> Row {
    let length = |mm: f64| {
        if inches {
            Cell::Double(mm_text(mm), inch_text(mm))
        } else {
            Cell::Text(mm_text(mm))
        }
    };
    let tolerance = mm_exact(mark.tolerance, 1);
    Row {
        cells: vec![
            Cell::Bold(mark.id.clone()),
            if follows {
                Cell::Blank
            } else {
                Cell::Wrapped(mark.meaning.clone())
            },
            length(mark.at.x),
            length(mark.at.y),
            length(mark.two_tape[0]),
            length(mark.two_tape[1]),
            if inches {
                Cell::Double(tolerance, inch_text(mark.tolerance))
            } else {
                Cell::Text(tolerance)
            },
        ],
        starts_group: !follows,
    }
}

/// The lays to check the layout by with at most `most` of their readings, the first ones; `None` when `width` mm do not
/// hold the list.
#[must_use]
pub fn lays_table(
    plan: &FloorPlan,
    style: TableStyle,
    width: f64,
    most: usize,
) -> Option<Fragment> {
    let proof = plan.proofs.first();
    let remark = proof.map_or_else(String::new, lays::effort);
    let mut piece = heading("Check list", &remark, width);
    let table = [true, false]
        .into_iter()
        .find_map(|inch_column| lay_rows(plan, style, inch_column, most).lay_out(width))?;
    piece.stack(&table, NOTE_GAP);
    let count: usize = plan.lays.iter().map(|lay| lay.readings.len()).sum();
    let mut notes = Vec::new();
    if count > most {
        notes.push(format!("… and {} more in readings.csv", count - most));
    }
    notes.extend([lays::LIMITS, lays::HOW].map(str::to_owned));
    notes.extend(proof.and_then(lays::quick));
    notes.extend(proof.and_then(|proof| lays::not_proven(plan, proof, style.inches)));
    for note in notes {
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

fn lay_rows(plan: &FloorPlan, style: TableStyle, inch_column: bool, most: usize) -> Table {
    let mut columns = vec![
        Column::new("", Align::Left, Room::Content),
        Column::new("lay", Align::Left, Room::Content),
        Column::new("laid", Align::Left, Room::Rest(LEAST_LAID)),
        Column::new("at", Align::Left, Room::Content),
        Column::new("should\nbe, mm", Align::Right, Room::Content),
    ];
    if style.inches && inch_column {
        columns.push(Column::new("in", Align::Right, Room::Content));
    }
    columns.push(Column::new(
        if style.inches { "±\nin" } else { "±\nmm" },
        Align::Right,
        Room::Content,
    ));
    columns.push(Column::new(
        "measured",
        Align::Left,
        Room::Rest(LEAST_READING),
    ));
    let mut rows = Vec::new();
    let mut below = false;
    for lay in &plan.lays {
        if lay.below_body && !below && rows.len() < most {
            let mut cells = vec![Cell::Band(lays::BELOW_BODY.to_owned())];
            cells.resize(columns.len(), Cell::Blank);
            rows.push(Row {
                cells,
                starts_group: true,
            });
            below = true;
        }
        for (index, reading) in lay.readings.iter().enumerate() {
            rows.push(lay_row(
                plan,
                lay,
                reading,
                index == 0,
                (style.inches, inch_column),
            ));
        }
    }
    rows.truncate(most.saturating_add(usize::from(below)));
    let least = if style.lettering > heights::SMALL {
        LEAST_WRITING_ROW
    } else {
        0.0
    };
    let row_height = (style.lettering * style.airiness).max(least);
    Table {
        columns,
        rows,
        lettering: style.lettering,
        row_height,
    }
}

fn lay_row(
    plan: &FloorPlan,
    lay: &Lay,
    reading: &LayReading,
    first: bool,
    (inches, column): (bool, bool),
) -> Row {
    let (number, laid) = if first {
        (
            Cell::Bold(lay.number.to_string()),
            Cell::Wrapped(lays::short(plan, lay)),
        )
    } else {
        (Cell::Blank, Cell::Blank)
    };
    let mut cells = vec![
        Cell::Tick,
        number,
        laid,
        Cell::Text(plan.marks[reading.mark].id.clone()),
    ];
    let (mm, inch) = (
        lays::should_be(lay, reading),
        lays::should_be_inches(lay, reading),
    );
    match (inches, column) {
        (false, _) => cells.push(Cell::Text(mm)),
        (true, true) => cells.extend([Cell::Text(mm), Cell::Text(inch)]),
        (true, false) if inch.is_empty() => cells.push(Cell::Text(mm)),
        (true, false) => cells.push(Cell::Double(mm, inch)),
    }
    cells.extend([Cell::Text(lays::limit(reading.limit, inches)), Cell::Write]);
    Row {
        cells,
        starts_group: first,
    }
}

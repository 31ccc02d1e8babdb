//! The measurement table and the squareness checklist.

use super::notes::{heading, paragraph};
use crate::{
    drawing::heights,
    plan::{Check, CheckKind, FloorPlan, Limits, Mark},
    sheets::{
        fragment::Fragment,
        table::{Align, Cell, Column, Room, Row, Table},
    },
    survey::Squareness,
    units::{inch_text, mm_exact, mm_text},
};

/// Least width of the column that says what a mark is, mm.
const LEAST_MEANING: f64 = 14.0;
/// Least width of a box for a reading, and of the one for its difference, mm.
const LEAST_READING: f64 = 11.5;
/// Least height of a row with boxes to write in, mm, while the lettering is not the smallest.
const LEAST_WRITING_ROW: f64 = 4.4;
/// Clear distance between a table and its footnote, mm.
const NOTE_GAP: f64 = 1.0;
/// What flags a check whose line runs through a wheel.
const THROUGH_WHEEL: &str = "*";

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
pub fn marks_table(plan: &FloorPlan, style: TableStyle, width: f64, most: usize) -> Option<Fragment> {
    let base = |index: usize| plan.marks.get(plan.tape_base[index]).map_or("", |mark| mark.id.as_str());
    // On a mat, A and B are vehicles.
    let from = |letter: &str, index: usize| {
        if plan.mat.is_some() { format!("from\n{}", base(index)) } else { format!("from {letter}\n({})", base(index)) }
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
        let follows = index > 0 && mark.station.is_some() && shown[index - 1].station == mark.station;
        mark_row(mark, follows, style.inches)
    });
    let table = Table {
        columns,
        rows: rows.collect(),
        lettering: style.lettering,
        row_height: style.lettering * style.airiness,
    };
    let unit = if style.inches { "mm, inches below" } else { "mm" };
    let mut piece = heading("Marks", &format!("{unit}; 0 {}", plan.template.origin), width);
    piece.stack(&table.lay_out(width)?, NOTE_GAP);
    if let left_out @ 1.. = plan.marks.len() - shown.len() {
        let note = format!("… and {left_out} more in plan.json");
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

fn mark_row(mark: &Mark, follows: bool, inches: bool) -> Row {
    let length = |mm: f64| {
        if inches { Cell::Double(mm_text(mm), inch_text(mm)) } else { Cell::Text(mm_text(mm)) }
    };
    Row {
        cells: vec![
            Cell::Bold(mark.id.clone()),
            if follows { Cell::Blank } else { Cell::Wrapped(mark.meaning.clone()) },
            length(mark.at.x),
            length(mark.at.y),
            length(mark.two_tape[0]),
            length(mark.two_tape[1]),
            Cell::Text(mm_exact(mark.tolerance, 1)),
        ],
        starts_group: !follows,
    }
}

/// How much a row of the squareness checklist shows, the fullest first.
#[derive(Clone, Copy, Debug)]
struct CheckForm {
    /// A column with the kind's word; else the letters are explained above the table.
    kind: bool,
    /// Inches in a column of their own; else below the millimetres.
    inch_column: bool,
}

const CHECK_FORMS: [CheckForm; 3] = [
    CheckForm { kind: true, inch_column: true },
    CheckForm { kind: false, inch_column: true },
    CheckForm { kind: false, inch_column: false },
];

/// The squareness checklist with at most `most` checks, the most telling ones; `None` when `width`
/// mm do not hold it.
#[must_use]
pub fn checks_table(plan: &FloorPlan, style: TableStyle, width: f64, most: usize) -> Option<Fragment> {
    let shown = most_telling(&plan.checks, most);
    let (form, table) = CHECK_FORMS.iter().find_map(|form| {
        let table = check_rows(plan, &shown, style, *form).lay_out(width)?;
        Some((form, table))
    })?;
    let remark = if form.kind { "tape each line, write down the reading" } else { &letters(&shown) };
    let mut piece = heading("Squareness", remark, width);
    piece.stack(&table, NOTE_GAP);
    let left_out = plan.checks.len() - shown.len();
    if left_out > 0 {
        let note = format!("… and {left_out} more in readings.csv");
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    if shown.iter().any(|check| check.through_wheel) {
        let note = "* runs through a wheel: tape it before the vehicle stands there, or leave it out";
        piece.stack(&paragraph(note, width, heights::SMALL), NOTE_GAP);
    }
    if let Some(square) = Squareness::of(plan) {
        piece.stack(&paragraph(&square.sentence(), width, heights::SMALL), NOTE_GAP);
    }
    if shown.iter().any(|check| check.limits.accept.is_none()) {
        let note = "– the tape is too coarse to prove this distance within its tolerance";
        piece.stack(&paragraph(note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

/// Distances from the plumbed wheel marks; `None` when there are none or `width` mm do not hold the table.
#[must_use]
pub fn vehicle_table(plan: &FloorPlan, inches: bool, width: f64) -> Option<Fragment> {
    if plan.vehicle_checks.is_empty() {
        return None;
    }
    let mut columns = vec![
        Column::new("", Align::Left, Room::Content),
        Column::new("check", Align::Left, Room::Content),
        Column::new("from–to", Align::Left, Room::Content),
        Column::new("should\nbe, mm", Align::Right, Room::Content),
    ];
    if inches {
        columns.push(Column::new("in", Align::Right, Room::Content));
    }
    columns.push(Column::new("±\nmm", Align::Right, Room::Content));
    columns.push(Column::new("measured", Align::Left, Room::Rest(LEAST_READING)));
    let rows = plan.vehicle_checks.iter().map(|check| {
        let ends = format!("{}–{}", check.wheel, plan.marks[check.mark].id);
        let mut cells = vec![Cell::Tick, Cell::Bold(check.id.clone()), Cell::Text(ends)];
        cells.push(Cell::Text(mm_text(check.distance)));
        if inches {
            cells.push(Cell::Text(inch_text(check.distance)));
        }
        cells.extend([Cell::Text(accepted(check.limits)), Cell::Write]);
        Row { cells, starts_group: false }
    });
    let table = Table { columns, rows: rows.collect(), lettering: heights::SMALL, row_height: LEAST_WRITING_ROW };
    let mut piece = heading("Against the vehicle", "from below the tyres' outer faces", width);
    piece.stack(&table.lay_out(width)?, NOTE_GAP);
    Some(piece)
}

/// What the letters of the checks' names stand for: `S side, E end`.
fn letters(shown: &[&Check]) -> String {
    let mut words: Vec<String> = shown
        .iter()
        .map(|check| {
            let word = check.kind.word();
            format!("{} {word}", word[..1].to_uppercase())
        })
        .collect();
    words.dedup();
    words.join(", ")
}

fn check_rows(plan: &FloorPlan, shown: &[&Check], style: TableStyle, form: CheckForm) -> Table {
    let mut columns =
        vec![Column::new("", Align::Left, Room::Content), Column::new("check", Align::Left, Room::Content)];
    if form.kind {
        columns.push(Column::new("", Align::Left, Room::Content));
    }
    columns.push(Column::new("from–to", Align::Left, Room::Content));
    columns.push(Column::new("should\nbe, mm", Align::Right, Room::Content));
    if style.inches && form.inch_column {
        columns.push(Column::new("in", Align::Right, Room::Content));
    }
    columns.push(Column::new("±\nmm", Align::Right, Room::Content));
    columns.push(Column::new("measured", Align::Left, Room::Rest(LEAST_READING)));
    columns.push(Column::new("difference", Align::Left, Room::Rest(LEAST_READING)));
    let rows = shown.iter().enumerate().map(|(index, check)| {
        let starts_group = index == 0 || shown[index - 1].kind != check.kind;
        check_row(plan, check, starts_group, style.inches, form)
    });
    let least = if style.lettering > heights::SMALL { LEAST_WRITING_ROW } else { 0.0 };
    let row_height = (style.lettering * style.airiness).max(least);
    Table { columns, rows: rows.collect(), lettering: style.lettering, row_height }
}

fn check_row(plan: &FloorPlan, check: &Check, starts_group: bool, inches: bool, form: CheckForm) -> Row {
    let (from, to) = (&plan.marks[check.from].id, &plan.marks[check.to].id);
    let flag = if check.through_wheel { THROUGH_WHEEL } else { "" };
    let (mm, inch) = (mm_text(check.distance), inch_text(check.distance));
    let mut cells = vec![Cell::Tick, Cell::Bold(check.id.clone())];
    if form.kind {
        cells.push(if starts_group { Cell::Text(format!("{}s", check.kind.word())) } else { Cell::Blank });
    }
    cells.push(Cell::Text(format!("{from}–{to}{flag}")));
    match (inches, form.inch_column) {
        (false, _) => cells.push(Cell::Text(mm)),
        (true, true) => cells.extend([Cell::Text(mm), Cell::Text(inch)]),
        (true, false) => cells.push(Cell::Double(mm, inch)),
    }
    cells.extend([Cell::Text(accepted(check.limits)), Cell::Write, Cell::Write]);
    Row { cells, starts_group }
}

/// The limit as a table shows it; a dash where the tape cannot prove the distance.
fn accepted(limits: Limits) -> String {
    limits.accept.map_or_else(|| "–".to_owned(), |accept| mm_exact(accept, 1))
}

/// At most `most` checks: ends and diagonals first, since diagonals alone show a skew, then ties, which
/// hold the rails to the centreline, then sides; within a rank the longest, because a long line shows
/// a turn best and the short steps of a side are held by diagonals too. Given back by kind and in the
/// order of the plan.
#[must_use]
pub fn most_telling(checks: &[Check], most: usize) -> Vec<&Check> {
    let rank = |kind: CheckKind| match kind {
        CheckKind::End | CheckKind::Diagonal => 0,
        CheckKind::Tie => 1,
        CheckKind::Side => 2,
    };
    let mut order: Vec<usize> = (0..checks.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (&checks[a], &checks[b]);
        rank(a.kind).cmp(&rank(b.kind)).then(b.distance.total_cmp(&a.distance))
    });
    order.truncate(most);
    order.sort_by_key(|&index| (checks[index].kind, index));
    order.into_iter().map(|index| &checks[index]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(id: &str, kind: CheckKind, distance: f64) -> Check {
        Check { id: id.to_owned(), kind, from: 0, to: 1, distance, limits: Limits::exact(3.0), through_wheel: false }
    }

    #[test]
    fn the_longest_diagonals_stay_when_there_is_no_room_for_all() {
        let checks = [
            check("S1", CheckKind::Side, 900.0),
            check("E1", CheckKind::End, 2500.0),
            check("D1", CheckKind::Diagonal, 2600.0),
            check("D2", CheckKind::Diagonal, 7000.0),
            check("T1", CheckKind::Tie, 9000.0),
        ];
        let ids: Vec<&str> = most_telling(&checks, 3).iter().map(|c| c.id.as_str()).collect();
        assert_eq!(ids, ["E1", "D1", "D2"]);
        assert_eq!(most_telling(&checks, 99).len(), 5);
    }
}

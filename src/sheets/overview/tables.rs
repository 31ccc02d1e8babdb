//! The measurement table and the list of lays to check by.

use crate::{
    drawing::{Text, Weight, heights, text_width},
    page::{Align, Cell, Column, Fragment, Room, Row, Table, paragraph},
    plan::{FloorPlan, Lay, LayReading, Mark},
    units::{inch_text, mm_exact, mm_text},
    words::printed::lays,
};

/// Least width of the column that says what a mark is, mm.
const LEAST_MEANING: f64 = 17.0;
/// Least width of a box for a reading, mm.
const LEAST_READING: f64 = 17.5;
/// The column that says what is laid: its words in one line each where there is room, else broken to this many mm or more.
const LAID: [Room; 2] = [Room::Content, Room::Rest(22.0)];
/// Clear distance between a heading and its table, mm.
const HEAD_GAP: f64 = 1.0;
/// Two lengths that differ by less than this, mm, are one: nobody tapes finer.
const SAME_MM: f64 = 0.05;

/// How tables are set.
#[derive(Clone, Copy, Debug)]
pub struct TableStyle {
    /// Height of a row, mm.
    pub row_height: f64,
    /// Inches in place of mm.
    pub inches: bool,
}

impl TableStyle {
    fn length(self, mm: f64) -> String {
        if self.inches {
            inch_text(mm)
        } else {
            mm_text(mm)
        }
    }

    const fn unit(self) -> &'static str {
        if self.inches { "inches" } else { "mm" }
    }

    fn table(self, columns: Vec<Column>, rows: Vec<Row>) -> Table {
        Table {
            columns,
            rows,
            lettering: heights::TEXT,
            headings: heights::TEXT,
            row_height: self.row_height,
        }
    }
}

/// What the table of marks says beside names, places and tolerances.
#[derive(Clone, Copy)]
struct Beside {
    meaning: bool,
    two_tape: bool,
}

/// What it says, the fullest first: where the columns have no room, the steps have the distances from the base marks.
const BESIDE: [Beside; 4] = {
    const fn beside(meaning: bool, two_tape: bool) -> Beside {
        Beside { meaning, two_tape }
    }
    [
        beside(true, true),
        beside(false, true),
        beside(true, false),
        beside(false, false),
    ]
};

/// Marks with their places and two-tape distances, a mark and its mirror image in one row; `None` when `width` mm do not hold
/// the table.
#[must_use]
pub fn marks_table(plan: &FloorPlan, style: TableStyle, width: f64) -> Option<Fragment> {
    BESIDE
        .into_iter()
        .find_map(|beside| marks(plan, style, beside).lay_out(width))
        .map(|table| {
            let remark = format!("{}; 0 {}", style.unit(), plan.template.origin);
            headed("Marks", &remark, width, &table)
        })
}

/// The same as pieces of at most `height` mm, one for each column of a page.
#[must_use]
pub fn marks_columns(
    plan: &FloorPlan,
    style: TableStyle,
    width: f64,
    height: f64,
) -> Vec<Fragment> {
    let remark = format!("{}; 0 {}", style.unit(), plan.template.origin);
    let fitting = BESIDE
        .into_iter()
        .map(|beside| marks(plan, style, beside))
        .find(|table| table.lay_out(width).is_some());
    columns("Marks", &remark, fitting, width, height)
}

fn marks(plan: &FloorPlan, style: TableStyle, beside: Beside) -> Table {
    let number = |heading: String| Column::new(heading, Align::Right, Room::Content);
    let mut columns = vec![Column::new("mark", Align::Left, Room::Content)];
    if beside.meaning {
        columns.push(Column::new(
            "what it is",
            Align::Left,
            Room::Rest(LEAST_MEANING),
        ));
    }
    columns.extend(["↑ forward\n↓ rearward", "left,\nright"].map(|head| number(head.to_owned())));
    if beside.two_tape {
        let bases = plan
            .tape_base
            .iter()
            .filter_map(|&base| plan.marks.get(base));
        columns.extend(bases.map(|base| number(format!("from\n{}", base.id))));
    }
    columns.push(number("±".to_owned()));
    let pairs = pairs(&plan.marks);
    let rows = pairs.iter().enumerate().map(|(index, pair)| {
        let before = index.checked_sub(1).map(|before| pairs[before].0);
        let follows =
            pair.0.station.is_some() && before.is_some_and(|b| b.station == pair.0.station);
        mark_row(pair, follows, style, beside)
    });
    let rows = rows.collect();
    style.table(columns, rows)
}

/// Marks in their order, each with the one that mirrors it about the centreline, where there is one.
fn pairs(marks: &[Mark]) -> Vec<(&Mark, Option<&Mark>)> {
    let mut taken = vec![false; marks.len()];
    let mut pairs = Vec::new();
    for (index, mark) in marks.iter().enumerate() {
        if std::mem::replace(&mut taken[index], true) {
            continue;
        }
        let mirror =
            (index + 1..marks.len()).find(|&other| !taken[other] && mirrors(mark, &marks[other]));
        if let Some(other) = mirror {
            taken[other] = true;
        }
        pairs.push((mark, mirror.map(|other| &marks[other])));
    }
    pairs
}

fn mirrors(one: &Mark, other: &Mark) -> bool {
    let same = |a: f64, b: f64| (a - b).abs() < SAME_MM;
    one.station == other.station
        && one.meaning == other.meaning
        && one.at.y.abs() >= SAME_MM
        && same(one.at.x, other.at.x)
        && same(one.at.y, -other.at.y)
        && same(one.tolerance, other.tolerance)
        && same(one.two_tape[0], other.two_tape[0])
        && same(one.two_tape[1], other.two_tape[1])
}

fn mark_row(
    (mark, mirror): &(&Mark, Option<&Mark>),
    follows: bool,
    style: TableStyle,
    beside: Beside,
) -> Row {
    let names = match mirror {
        Some(mirror) if mark.at.y < 0.0 => format!("{} {}", mirror.id, mark.id),
        Some(mirror) => format!("{} {}", mark.id, mirror.id),
        None => mark.id.clone(),
    };
    let mut cells = vec![Cell::Bold(names)];
    if beside.meaning {
        cells.push(if follows {
            Cell::Blank
        } else {
            Cell::Wrapped(mark.meaning.clone())
        });
    }
    cells.push(Cell::Number(along(mark.at.x, style)));
    cells.push(Cell::Number(across(mark, mirror.is_some(), style)));
    if beside.two_tape {
        cells.extend(mark.two_tape.map(|mm| Cell::Number(style.length(mm))));
    }
    cells.push(Cell::Text(if style.inches {
        inch_text(mark.tolerance)
    } else {
        mm_exact(mark.tolerance, 1)
    }));
    Row {
        cells,
        starts_group: !follows,
    }
}

/// A station with the arrow of its column's head.
fn along(x: f64, style: TableStyle) -> String {
    match style.length(x.abs()) {
        none if none == "0" => none,
        length if x > 0.0 => format!("↑ {length}"),
        length => format!("↓ {length}"),
    }
}

/// An offset; to which side, where there is no mark on the other one.
fn across(mark: &Mark, both: bool, style: TableStyle) -> String {
    let length = style.length(mark.at.y.abs());
    match mark.at.y {
        _ if both || length == "0" => length,
        y if y > 0.0 => format!("{length} left"),
        _ => format!("{length} right"),
    }
}

/// The lays to check the layout by; `None` when `width` mm do not hold the list.
#[must_use]
pub fn lays_table(plan: &FloorPlan, style: TableStyle, width: f64) -> Option<Fragment> {
    let table = LAID
        .into_iter()
        .find_map(|room| lay_rows(plan, style, room).lay_out(width))?;
    Some(headed("Check list", &effort(plan), width, &table))
}

/// The same as pieces of at most `height` mm, one for each column of a page.
#[must_use]
pub fn lays_columns(plan: &FloorPlan, style: TableStyle, width: f64, height: f64) -> Vec<Fragment> {
    let table = LAID
        .into_iter()
        .map(|room| lay_rows(plan, style, room))
        .find(|table| table.lay_out(width).is_some());
    columns("Check list", &effort(plan), table, width, height)
}

fn effort(plan: &FloorPlan) -> String {
    plan.proofs.first().map_or_else(String::new, lays::effort)
}

/// Heading of a section with a remark behind it, or below it where there is no room.
#[must_use]
pub fn headline(title: &str, remark: &str, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = Text::new((0.0, -heights::HEADING), heights::HEADING, title).bold();
    let after = title.width() + 2.5;
    piece.canvas().text(title);
    piece.height = heights::HEADING;
    let size = text_width(remark, heights::TEXT, Weight::Regular);
    if after + size <= width {
        let remark = Text::new((after, -heights::HEADING), heights::TEXT, remark);
        piece.canvas().text(remark);
    } else {
        piece.stack(&paragraph(remark, width, heights::TEXT), HEAD_GAP);
    }
    piece
}

fn headed(title: &str, remark: &str, width: f64, table: &Fragment) -> Fragment {
    let mut piece = headline(title, remark, width);
    piece.stack(table, HEAD_GAP);
    piece
}

fn columns(
    title: &str,
    remark: &str,
    table: Option<Table>,
    width: f64,
    height: f64,
) -> Vec<Fragment> {
    let head = headline(title, remark, width).height + HEAD_GAP;
    let parts = table.map_or_else(Vec::new, |table| table.parts(width, height - head));
    parts
        .iter()
        .enumerate()
        .map(|(part, table)| {
            let title = if part == 0 {
                title.to_owned()
            } else {
                format!("{title}, continued")
            };
            headed(&title, if part == 0 { remark } else { "" }, width, table)
        })
        .collect()
}

fn lay_rows(plan: &FloorPlan, style: TableStyle, laid: Room) -> Table {
    let columns = vec![
        Column::new("lay", Align::Left, Room::Content),
        Column::new("laid", Align::Left, laid),
        Column::new("at", Align::Left, Room::Content),
        Column::new(
            format!("should\nbe, {}", if style.inches { "in" } else { "mm" }),
            Align::Right,
            Room::Content,
        ),
        Column::new("±", Align::Right, Room::Content),
        Column::new("measured", Align::Left, Room::Rest(LEAST_READING)),
    ];
    let mut rows = Vec::new();
    let mut below = false;
    for lay in &plan.lays {
        if lay.below_body && !below {
            let mut cells = vec![Cell::Band(lays::BELOW_BODY.to_owned())];
            cells.resize(columns.len(), Cell::Blank);
            rows.push(Row {
                cells,
                starts_group: true,
            });
            below = true;
        }
        for (index, reading) in lay.readings.iter().enumerate() {
            rows.push(lay_row(plan, lay, reading, index == 0, style));
        }
    }
    style.table(columns, rows)
}

fn lay_row(
    plan: &FloorPlan,
    lay: &Lay,
    reading: &LayReading,
    first: bool,
    style: TableStyle,
) -> Row {
    let (number, laid) = if first {
        (
            Cell::Bold(lay.number.to_string()),
            Cell::Wrapped(lays::short(plan, lay)),
        )
    } else {
        (Cell::Blank, Cell::Blank)
    };
    let should_be = if lays::on_string(lay) || !style.inches {
        lays::should_be(lay, reading)
    } else {
        lays::should_be_inches(lay, reading)
    };
    Row {
        cells: vec![
            number,
            laid,
            Cell::Bold(plan.marks[reading.mark].id.clone()),
            Cell::Number(should_be),
            Cell::Text(lays::limit(reading.limit, style.inches)),
            Cell::Write,
        ],
        starts_group: first,
    }
}

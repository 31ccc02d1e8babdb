//! Marks as designed and as measured, and the readings they were told from.

use kurbo::Vec2;

use super::{
    input::RecordReading,
    symbols::{Standing, counted},
};
use crate::{
    drawing::heights,
    page::{Align, Cell, Column, Fragment, Room, Row, Table, heading, paragraph},
    survey::{MarkFinding, Verdict},
    units::{inch_text, mm_exact},
};

/// Clear distance between a table and its footnote, mm.
const NOTE_GAP: f64 = 1.0;
/// Clear width between tables that stand side by side, mm.
const GUTTER: f64 = 4.0;

/// How tables are lettered.
#[derive(Clone, Copy, Debug)]
pub struct TableStyle {
    /// Height of the lettering, mm.
    pub lettering: f64,
    /// Height of a row as a multiple of the lettering.
    pub airiness: f64,
    /// Inches below designed and taped mm.
    pub inches: bool,
}

impl TableStyle {
    const fn row_height(self) -> f64 {
        self.lettering * self.airiness
    }

    /// What so many rows take, mm, headings not counted.
    #[must_use]
    pub fn rows_height(self, rows: usize) -> f64 {
        let below = if self.inches {
            heights::SMALL * 1.5
        } else {
            0.0
        };
        rows as f64 * (self.row_height() + below)
    }

    fn length(self, mm: f64) -> Cell {
        let text = mm_exact(mm, 1);
        if self.inches {
            Cell::Double(text, inch_text(mm))
        } else {
            Cell::Text(text)
        }
    }

    const fn unit(self) -> &'static str {
        if self.inches {
            "mm, inches below"
        } else {
            "mm"
        }
    }
}

/// Marks that are judged or designed, the worst first where more than `most` have to be left out; `None` when
/// `width` mm do not hold the table. `tied` adds how each lies against the vehicle, named in `against`.
#[must_use]
pub fn marks_table(
    marks: &[&MarkFinding],
    tied: bool,
    style: TableStyle,
    width: f64,
    most: usize,
) -> Option<Fragment> {
    if marks.is_empty() {
        let mut piece = heading("Marks", "", width);
        piece.stack(
            &paragraph(
                "No mark has a designed place or a tolerance.",
                width,
                style.lettering,
            ),
            NOTE_GAP,
        );
        return Some(piece);
    }
    let (shown, rest) = worst_first(marks, most, Standing::of);
    let mut columns = vec![
        Column::new("mark", Align::Left, Room::Content),
        Column::new("tol.\n±", Align::Right, Room::Content),
        Column::new("designed\nx", Align::Right, Room::Content),
        Column::new("y", Align::Right, Room::Content),
        Column::new("off, grid\nforward", Align::Right, Room::Content),
        Column::new("left", Align::Right, Room::Content),
    ];
    if tied {
        columns.push(Column::new(
            "off, vehicle\nforward",
            Align::Right,
            Room::Content,
        ));
        columns.push(Column::new("left", Align::Right, Room::Content));
    }
    columns.push(Column::new("verdict", Align::Left, Room::Content));
    let rows = shown
        .iter()
        .map(|mark| mark_row(mark, tied, style))
        .collect();
    let table = Table {
        columns,
        rows,
        lettering: style.lettering,
        headings: heights::SMALL,
        row_height: style.row_height(),
    };
    let mut piece = heading(
        "Marks",
        &format!("{}; forward +, left +, rearward and right −", style.unit()),
        width,
    );
    piece.stack(&table.lay_out(width)?, NOTE_GAP);
    if !rest.is_empty() {
        let standings: Vec<Standing> = rest.iter().map(|mark| Standing::of(mark)).collect();
        let note = format!("and {} more marks: {}", rest.len(), counted(&standings));
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

fn mark_row(mark: &MarkFinding, tied: bool, style: TableStyle) -> Row {
    let standing = Standing::of(mark);
    let mut cells = vec![
        Cell::Bold(mark.id.clone()),
        mark.tolerance
            .map_or(Cell::Blank, |tolerance| Cell::Text(mm_exact(tolerance, 1))),
    ];
    match mark.design {
        Some(design) => cells.extend([style.length(design.x), style.length(design.y)]),
        None => cells.extend([Cell::Blank, Cell::Blank]),
    }
    cells.extend(off(mark.moved));
    if tied {
        cells.extend(off(mark.to_datum));
    }
    let word = standing.word().to_owned();
    cells.push(if standing == Standing::Inside {
        Cell::Text(word)
    } else {
        Cell::Bold(word)
    });
    Row {
        cells,
        starts_group: false,
    }
}

fn off(by: Option<Vec2>) -> [Cell; 2] {
    by.map_or(
        [Cell::Text("–".to_owned()), Cell::Text("–".to_owned())],
        |by| [by.x, by.y].map(|mm| Cell::Text(with_sign(mm))),
    )
}

/// Millimetres to one decimal with their sign; 0 has none.
fn with_sign(mm: f64) -> String {
    let text = mm_exact((mm * 10.0).round() / 10.0, 1);
    if mm > 0.0 && text != "0" {
        format!("+{text}")
    } else {
        text
    }
}

/// The readings in `columns` tables side by side, in the order of the form while all are shown, the worst
/// first where more than `most` have to be left out; `None` when `width` mm do not hold them.
#[must_use]
pub fn readings_table(
    readings: &[RecordReading],
    style: TableStyle,
    width: f64,
    columns: usize,
    most: usize,
) -> Option<Fragment> {
    let all: Vec<&RecordReading> = readings.iter().collect();
    let (shown, rest) = worst_first(&all, most, |reading| reading.gravity());
    let columns = columns.min(shown.len()).max(1);
    let column = (width - GUTTER * (columns - 1) as f64) / columns as f64;
    let mut piece = heading("Taped distances", style.unit(), width);
    let mut side_by_side = Fragment::new(width);
    for (index, part) in shown
        .chunks(shown.len().div_ceil(columns).max(1))
        .enumerate()
    {
        let table = readings_column(part, style).lay_out(column)?;
        table.place(side_by_side.canvas(), index as f64 * (column + GUTTER), 0.0);
        side_by_side.height = side_by_side.height.max(table.height);
    }
    piece.stack(&side_by_side, NOTE_GAP);
    let mut notes = legend(&shown);
    if !rest.is_empty() {
        notes.push(format!(
            "and {} more: {}",
            rest.len(),
            counted_readings(&rest)
        ));
    }
    if !notes.is_empty() {
        piece.stack(
            &paragraph(&format!("{}.", notes.join("; ")), width, heights::SMALL),
            NOTE_GAP,
        );
    }
    Some(piece)
}

fn readings_column(readings: &[&RecordReading], style: TableStyle) -> Table {
    let columns = vec![
        Column::new("from–to", Align::Left, Room::Content),
        Column::new("should\nbe", Align::Right, Room::Content),
        Column::new("read", Align::Right, Room::Content),
        Column::new("off", Align::Right, Room::Content),
        Column::new("limit", Align::Right, Room::Content),
        Column::new("", Align::Left, Room::Content),
    ];
    let rows = readings.iter().map(|reading| {
        let sign = sign(reading);
        let cells = vec![
            Cell::Text(reading.line()),
            reading
                .design
                .map_or(Cell::Blank, |design| style.length(design)),
            style.length(reading.measured),
            reading
                .difference()
                .map_or(Cell::Blank, |difference| Cell::Text(with_sign(difference))),
            reading
                .limit
                .map_or(Cell::Blank, |limit| Cell::Text(mm_exact(limit, 1))),
            if sign == Sign::Within {
                Cell::Text(sign.text().to_owned())
            } else {
                Cell::Bold(sign.text().to_owned())
            },
        ];
        Row {
            cells,
            starts_group: false,
        }
    });
    Table {
        columns,
        rows: rows.collect(),
        lettering: style.lettering,
        headings: heights::SMALL,
        row_height: style.row_height(),
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sign {
    Contradicts,
    Beyond,
    Near,
    Within,
    NoLimit,
}

impl Sign {
    const ALL: [Self; 5] = [
        Self::Contradicts,
        Self::Beyond,
        Self::Near,
        Self::Within,
        Self::NoLimit,
    ];

    const fn text(self) -> &'static str {
        match self {
            Self::Contradicts => "!!",
            Self::Beyond => "off",
            Self::Near => "?",
            Self::Within => "ok",
            Self::NoLimit => "",
        }
    }

    /// As readings are counted: `31 within their limits`.
    const fn words(self) -> &'static str {
        match self {
            Self::Contradicts => "contradicting the others",
            Self::Beyond => "beyond their limits",
            Self::Near => "too near to their limits to decide",
            Self::Within => "within their limits",
            Self::NoLimit => "without a limit",
        }
    }
}

const fn sign(reading: &RecordReading) -> Sign {
    match (reading.suspect, reading.verdict) {
        (true, _) => Sign::Contradicts,
        (_, Some(Verdict::Outside)) => Sign::Beyond,
        (_, Some(Verdict::Undecided)) => Sign::Near,
        (_, Some(Verdict::Inside)) => Sign::Within,
        (_, None) => Sign::NoLimit,
    }
}

/// What the signs that are shown mean, but for the one that says so itself.
fn legend(shown: &[&RecordReading]) -> Vec<String> {
    let meanings = [
        (Sign::Contradicts, "!! contradicts the others, set aside"),
        (Sign::Beyond, "off: beyond its limit"),
        (Sign::Near, "? too near to its limit to decide"),
    ];
    let used = meanings
        .into_iter()
        .filter(|(of, _)| shown.iter().any(|reading| sign(reading) == *of));
    used.map(|(_, meaning)| meaning.to_owned()).collect()
}

fn counted_readings(readings: &[&RecordReading]) -> String {
    let parts = Sign::ALL.into_iter().filter_map(|of| {
        match readings.iter().filter(|r| sign(r) == of).count() {
            0 => None,
            some => Some(format!("{some} {}", of.words())),
        }
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// At most `most` things in their own order where all fit, else the gravest first, equals in their own order;
/// and what is left out.
fn worst_first<'t, T, G: Ord>(
    things: &[&'t T],
    most: usize,
    gravity: impl Fn(&T) -> G,
) -> (Vec<&'t T>, Vec<&'t T>) {
    let mut shown = things.to_vec();
    if shown.len() <= most {
        return (shown, Vec::new());
    }
    shown.sort_by_key(|thing| std::cmp::Reverse(gravity(thing)));
    let rest = shown.split_off(most);
    (shown, rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn displacements_carry_their_sign_and_zero_carries_none() {
        assert_eq!(
            [3.04, -2.0, 0.04, -0.04].map(with_sign),
            ["+3", "\u{2212}2", "0", "0"]
        );
    }

    #[test]
    fn what_has_to_be_left_out_is_the_best_and_all_of_it_is_given_back() {
        let numbers = [1, 5, 3, 5, 2];
        let things: Vec<&i32> = numbers.iter().collect();
        assert_eq!(worst_first(&things, 9, |n| *n).0, [&1, &5, &3, &5, &2]);
        assert_eq!(
            worst_first(&things, 3, |n| *n),
            (vec![&5, &5, &3], vec![&2, &1])
        );
    }
}

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
    units::{inch_text, inch_text_to, mm_exact},
    words::{ARROWS, pointed, printed::record},
};

/// Clear distance between a table and its footnote, mm.
const NOTE_GAP: f64 = 1.0;
/// Clear width between tables that stand side by side, mm.
const GUTTER: f64 = 4.0;

/// How far a mark or a reading is off is shown in inches to 1/32, nearer to a whole mm than 1/16 is.
const OFF_PER_INCH: i64 = 32;

/// What lengths are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// mm.
    Mm,
    /// Inches, with mm beside them where a mark is judged by the number.
    InchesAndMm,
    /// Inches alone.
    Inches,
}

/// How tables are lettered.
#[derive(Clone, Copy, Debug)]
pub struct TableStyle {
    /// Height of the lettering, mm.
    pub lettering: f64,
    /// Height of a row as a multiple of the lettering.
    pub airiness: f64,
    /// What lengths are written in.
    pub written: Written,
}

impl TableStyle {
    const fn row_height(self) -> f64 {
        self.lettering * self.airiness
    }

    /// Height of the columns' heads, mm.
    const fn headings(self) -> f64 {
        self.lettering.min(heights::CROWDED)
    }

    /// What so many rows take, mm, headings not counted.
    #[must_use]
    pub fn rows_height(self, rows: usize) -> f64 {
        rows as f64 * self.row_height()
    }

    /// A length without its sign.
    fn length(self, mm: f64) -> String {
        if self.written == Written::Mm {
            mm_exact(mm, 1)
        } else {
            inch_text(mm)
        }
    }

    /// How far something is off, without its sign; `judged` where a verdict rests on it.
    fn off(self, mm: f64, judged: bool) -> String {
        let tenths = mm_exact((mm * 10.0).round() / 10.0, 1);
        let inches = inch_text_to(mm, OFF_PER_INCH);
        match self.written {
            Written::Mm => tenths,
            Written::InchesAndMm if judged && tenths != "0" => format!("{inches} ({tenths})"),
            Written::InchesAndMm | Written::Inches => inches,
        }
    }

    const fn unit(self) -> &'static str {
        match self.written {
            Written::Mm => "mm",
            Written::InchesAndMm => record::INCHES_AND_MM,
            Written::Inches => "in",
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
            &paragraph(record::NO_MARKS, width, style.lettering),
            NOTE_GAP,
        );
        return Some(piece);
    }
    let (shown, rest) = worst_first(marks, most, Standing::of);
    let mut columns = vec![
        Column::new("mark", Align::Left, Room::Content),
        Column::new("tol.\n±", Align::Right, Room::Content),
    ];
    let ways = [
        Some("designed"),
        Some("off, grid"),
        tied.then_some("off, vehicle"),
    ];
    for of in ways.into_iter().flatten() {
        let along = format!("{of}\nalong");
        columns.push(Column::new(along, Align::Right, Room::Content));
        columns.push(Column::new("across", Align::Right, Room::Content));
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
        headings: style.headings(),
        row_height: style.row_height(),
    };
    let mut piece = heading("Marks", &format!("{}; {ARROWS}", style.unit()), width);
    piece.stack(&table.lay_out(width)?, NOTE_GAP);
    if !rest.is_empty() {
        let standings: Vec<Standing> = rest.iter().map(|mark| Standing::of(mark)).collect();
        let note = record::more_marks(rest.len(), &counted(&standings));
        piece.stack(&paragraph(&note, width, heights::SMALL), NOTE_GAP);
    }
    Some(piece)
}

fn mark_row(mark: &MarkFinding, tied: bool, style: TableStyle) -> Row {
    let standing = Standing::of(mark);
    let tolerance = mark
        .tolerance
        .map(|tolerance| Cell::Text(style.length(tolerance)));
    let mut cells = vec![
        Cell::Bold(mark.id.clone()),
        tolerance.unwrap_or(Cell::Blank),
    ];
    match mark.design {
        Some(design) => {
            cells.extend(pointed(design.to_vec2(), |mm| style.length(mm)).map(Cell::Text));
        }
        None => cells.extend([Cell::Blank, Cell::Blank]),
    }
    cells.extend(off(mark.moved, style, !tied));
    if tied {
        cells.extend(off(mark.to_datum, style, true));
    }
    let word = standing.word().to_owned();
    cells.push(if standing == Standing::Inside {
        Cell::Text(word)
    } else {
        Cell::Bold(word)
    });
    Row::of(cells)
}

fn off(by: Option<Vec2>, style: TableStyle, judged: bool) -> [Cell; 2] {
    let texts = by.map(|by| pointed(by, |mm| style.off(mm, judged)));
    texts
        .unwrap_or_else(|| ["–", "–"].map(str::to_owned))
        .map(Cell::Text)
}

/// How much longer or shorter than it should be a reading is; the sign is explained above the table.
fn longer(mm: f64, style: TableStyle) -> String {
    match style.off(mm.abs(), true) {
        none if none == "0" => none,
        text if mm > 0.0 => format!("+{text}"),
        text => format!("\u{2212}{text}"),
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
    let remark = format!("{}; {}", style.unit(), record::LONGER);
    let mut piece = heading("Taped distances", &remark, width);
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

/// Readings one below the other; limits and what is said of them only where one has a limit.
fn readings_column(readings: &[&RecordReading], style: TableStyle) -> Table {
    let signed = readings
        .iter()
        .any(|reading| reading.limit.is_some() || sign(reading) != Sign::NoLimit);
    let mut columns = vec![
        Column::new("from–to", Align::Left, Room::Content),
        Column::new("should\nbe", Align::Right, Room::Content),
        Column::new("read", Align::Right, Room::Content),
        Column::new("off", Align::Right, Room::Content),
    ];
    if signed {
        columns.push(Column::new("limit", Align::Right, Room::Content));
        columns.push(Column::new("", Align::Left, Room::Content));
    }
    let rows = readings.iter().map(|reading| {
        let or_blank = |text: Option<String>| text.map_or(Cell::Blank, Cell::Text);
        let off = reading.difference().map(|off| longer(off, style));
        let mut cells = vec![
            Cell::Text(reading.line()),
            or_blank(reading.design.map(|design| style.length(design))),
            Cell::Text(style.length(reading.measured)),
            or_blank(off),
        ];
        if signed {
            let sign = sign(reading);
            cells.push(or_blank(reading.limit.map(|limit| style.length(limit))));
            cells.push(if sign == Sign::Within {
                Cell::Text(sign.text().to_owned())
            } else {
                Cell::Bold(sign.text().to_owned())
            });
        }
        Row::of(cells)
    });
    Table {
        columns,
        rows: rows.collect(),
        lettering: style.lettering,
        headings: style.headings(),
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
            Self::Contradicts => record::CONTRADICTING,
            Self::Beyond => record::BEYOND,
            Self::Near => record::NEAR,
            Self::Within => record::WITHIN,
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
        (Sign::Contradicts, record::SET_ASIDE),
        (Sign::Beyond, record::OFF),
        (Sign::Near, record::UNDECIDED),
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

    fn style(written: Written) -> TableStyle {
        TableStyle {
            lettering: heights::TEXT,
            airiness: 1.6,
            written,
        }
    }

    #[test]
    fn a_reading_is_longer_with_a_plus_shorter_with_a_minus_and_zero_has_no_sign() {
        let texts = |written| {
            let style = style(written);
            [3.04, -2.0, 0.04, -0.04].map(|mm| longer(mm, style))
        };
        assert_eq!(texts(Written::Mm), ["+3", "\u{2212}2", "0", "0"]);
        assert_eq!(texts(Written::Inches), ["+1/8", "\u{2212}3/32", "0", "0"]);
        assert_eq!(
            texts(Written::InchesAndMm),
            ["+1/8 (3)", "\u{2212}3/32 (2)", "0", "0"]
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

//! A course for the teacher: its lessons, and the sheet on which a class is marked.

use super::{
    PracticePaper, draw,
    page::{Page, Words, points_in_words},
};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, widths},
    page::{Cell, Column, Fragment, LEADING, Piece, Row, Table, flow, shorten, wrap},
    paper::Paper,
    practice::{Kind, Lesson, Level, MarkingList},
    words::NO_BREAK,
};

/// Clear height above a lesson and above what stands in it, mm.
const GAP: f64 = 4.0;

/// Height of a row that points are written in, mm, and least width of a column for them.
const ROW: f64 = 6.0;
const POINTS: f64 = 7.4;
/// Width of the column of the sum, mm, and the part of the width that names may take.
const SUM: f64 = 14.0;
const NAMES: f64 = 0.34;
/// So many columns stand on upright paper.
const UPRIGHT: usize = 12;
/// Clear space in a cell, mm.
const PAD: f64 = 1.2;

/// The lessons with aim, minutes, material and sheets; of the sheets, those that could be made.
#[must_use]
pub fn course_pages(
    lessons: &[Lesson],
    made: &[(Kind, Level, u32)],
    on: &PracticePaper<'_>,
    command: &str,
) -> Vec<Drawing> {
    let minutes: u32 = lessons.iter().map(|lesson| lesson.minutes).sum();
    let words = Words {
        name: "Course".to_owned(),
        title: "Course".to_owned(),
        lines: vec![format!(
            "{} lessons, about {} hours in all; minutes are an estimate. Hand out the sheets in this order.",
            lessons.len(),
            minutes.div_ceil(60)
        )],
        again: on.command(command),
        score: None,
        trainee: None,
    };
    let page = Page::new(on.paper, &words);
    let rows = (1..).zip(lessons).map(|(number, lesson)| {
        let sheets = lesson.sheets().filter_map(|(kind, level)| {
            let (.., points) = made.iter().find(|(k, l, _)| (*k, *l) == (kind, level))?;
            let worth = match points {
                0 => String::new(),
                _ => format!(", {}", points_in_words(*points)),
            };
            Some(format!(
                "{} (level {}{worth})",
                kind.title(),
                level.number()
            ))
        });
        let sheets: Vec<String> = sheets.collect();
        let cells = [
            format!("{number}. {}", lesson.title),
            lesson.aim.to_owned(),
            format!("{} min", lesson.minutes),
            lesson.material.to_owned(),
            sheets.join("; "),
        ];
        let [title, rest @ ..] = cells;
        let rest = rest.into_iter().map(Cell::Text);
        Row::of([Cell::Bold(title)].into_iter().chain(rest).collect())
    });
    let headings = ["Lesson", "Aim", "Time", "Material", "Sheets"];
    let table = Table {
        columns: headings
            .map(|heading| Column::boxed(&heading.to_owned()))
            .to_vec(),
        rows: rows.collect(),
        lettering: heights::TEXT,
        headings: heights::SMALL,
        row_height: 0.0,
    };
    let pieces = table.pieces(page.body.width(), GAP, lessons.len());
    draw(&page, &flow(pieces, page.first_room(), page.next_room()))
}

/// A row for each trainee, a column for each sheet, and what the columns mean.
#[must_use]
pub fn marking_pages(list: &MarkingList, on: &PracticePaper<'_>, command: &str) -> Vec<Drawing> {
    let words = Words {
        name: "Marking sheet".to_owned(),
        title: "Marking sheet".to_owned(),
        lines: vec![format!(
            "{} trainees · {} in all",
            list.trainees.len(),
            points_in_words(list.points())
        )],
        again: on.command(command),
        score: None,
        trainee: None,
    };
    // Many columns take the long side of the paper.
    let paper = if list.sheets.len() > UPRIGHT {
        Paper {
            width: on.paper.height,
            height: on.paper.width,
            ..on.paper.clone()
        }
    } else {
        on.paper.clone()
    };
    let page = Page::new(&paper, &words);
    let width = page.body.width();
    let grid = Grid::of(list, width);
    let mut pieces = vec![grid.heading()];
    pieces.extend((0..list.trainees.len()).map(|row| grid.row(row)));
    pieces.extend(legend(list, width));
    draw(&page, &flow(pieces, page.first_room(), page.next_room()))
}

/// The table that points are written in.
struct Grid<'a> {
    list: &'a MarkingList,
    width: f64,
    /// Width of the names and of a column of points, mm.
    names: f64,
    column: f64,
}

impl<'a> Grid<'a> {
    fn of(list: &'a MarkingList, width: f64) -> Self {
        let columns = list.sheets.len().max(1) as f64;
        let column = ((width * (1.0 - NAMES) - SUM) / columns).clamp(POINTS, 2.0 * POINTS);
        Self {
            list,
            width,
            names: width - SUM - columns * column,
            column,
        }
    }

    /// Cells from left to right: left edge and width, mm.
    fn cells(&self) -> Vec<(f64, f64)> {
        let points = (0..self.list.sheets.len()).map(|index| {
            let left = self.names + index as f64 * self.column;
            (left, self.column)
        });
        let sum = (self.width - SUM, SUM);
        [(0.0, self.names)]
            .into_iter()
            .chain(points)
            .chain([sum])
            .collect()
    }

    fn boxes(&self, height: f64) -> Fragment {
        let mut piece = Fragment::new(self.width);
        piece.height = height;
        let thin = Stroke::solid(widths::THIN);
        for (left, width) in self.cells() {
            let cell = kurbo::Rect::new(left, -height, left + width, 0.0);
            piece.canvas().rect(Layer::Labels, cell, None, Some(thin));
        }
        piece
    }

    /// Letters of the columns, and the points that each is worth.
    fn heading(&self) -> Piece {
        let height = 2.0 * heights::TEXT + 3.0 * PAD;
        let mut piece = self.boxes(height);
        let [upper, lower] = [-PAD - heights::TEXT, -2.0 * PAD - 2.0 * heights::TEXT];
        let name = Text::new((PAD, upper), heights::TEXT, "Name").bold();
        piece.canvas().text(name);
        let points = Text::new((PAD, lower), heights::TEXT, "points");
        piece.canvas().text(points);
        let letters = self
            .list
            .sheets
            .iter()
            .map(|sheet| (sheet.column.clone(), sheet.points));
        let sum = [("Sum".to_owned(), self.list.points())];
        for ((left, width), (letter, points)) in
            self.cells().into_iter().skip(1).zip(letters.chain(sum))
        {
            let middle = left + width / 2.0;
            let letter = Text::new((middle, upper), heights::TEXT, letter).bold();
            piece.canvas().text(letter.centred());
            let points = Text::new((middle, lower), heights::TEXT, points.to_string());
            piece.canvas().text(points.centred());
        }
        Piece::new(piece, GAP).kept()
    }

    /// A trainee.
    fn row(&self, row: usize) -> Piece {
        let mut piece = self.boxes(ROW);
        let name = &self.list.trainees[row];
        let name = shorten(name, self.names - 2.0 * PAD, heights::TEXT, Weight::Regular);
        let baseline = -(ROW + heights::TEXT) / 2.0;
        piece
            .canvas()
            .text(Text::new((PAD, baseline), heights::TEXT, name));
        Piece::new(piece, 0.0)
    }
}

/// What the columns mean, in running lines, so that a class's list stays on its page.
fn legend(list: &MarkingList, width: f64) -> Vec<Piece> {
    let sheets = list.sheets.iter().map(|sheet| {
        let (title, level) = (sheet.kind.title(), sheet.level.number());
        let words = format!("{} {title} (level {level})", sheet.column);
        words.replace(' ', &NO_BREAK.to_string())
    });
    let text = sheets.collect::<Vec<_>>().join(" \u{b7} ");
    let lines = wrap(&text, width, heights::TEXT, Weight::Regular);
    let line = |(index, line): (usize, String)| {
        let mut piece = Fragment::new(width);
        piece.height = LEADING * heights::TEXT;
        let text = Text::new((0.0, -heights::TEXT), heights::TEXT, line);
        piece.canvas().text(text);
        Piece::new(piece, if index == 0 { GAP } else { 0.0 })
    };
    lines.into_iter().enumerate().map(line).collect()
}

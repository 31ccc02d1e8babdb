//! The short answers of a class set: a table for each kind, a row for each thing that is asked, a
//! column for each sheet.

use super::{
    PracticePaper, draw,
    page::{Page, Words},
};
use crate::{
    drawing::{Drawing, Text, heights},
    page::{Cell, Column, Fragment, Piece, Row, Table, flow},
    practice::{AnswerKey, Fact, Kind, Level},
};

/// Clear height above a kind's heading and above a table, mm.
const GAP: f64 = 6.0;
const TABLE_GAP: f64 = 2.0;
/// Part of the page's width that a table's words and numbers may need, so that names keep room to run on.
const FULL: f64 = 0.85;
/// Stands where a sheet has no such answer.
const NONE: &str = "\u{2013}";
/// Units that go behind the name where all answers of a row have them.
const UNITS: [&str; 4] = [" mm", " mm/m", " %", "°"];

/// The answers of all sheets, kind after kind, over as many pages as they take. No keys, or none with a question, make
/// no page.
#[must_use]
pub fn key_table(keys: &[AnswerKey], on: &PracticePaper<'_>, again: &str) -> Vec<Drawing> {
    let Some(first) = keys.iter().find(|key| !key.questions.is_empty()) else {
        return Vec::new();
    };
    let numbers = || keys.iter().map(|key| key.number);
    let (least, most) = (numbers().min().unwrap_or(1), numbers().max().unwrap_or(1));
    let mut sheets: Vec<(Kind, Level)> = Vec::new();
    for key in keys.iter().filter(|key| !key.facts.is_empty()) {
        if !sheets.contains(&(key.kind, key.level)) {
            sheets.push((key.kind, key.level));
        }
    }
    let one_level = sheets.iter().all(|(_, level)| *level == first.level);
    let level = match one_level {
        true => format!(" · level {} of 4", first.level.number()),
        false => String::new(),
    };
    let words = Words {
        name: "Key table".to_owned(),
        title: "Key table".to_owned(),
        lines: vec![format!("Sheets {least} to {most}{level}")],
        again: on.command(again),
        score: None,
        trainee: None,
    };
    let page = Page::new(on.paper, &words);
    let mut pieces = Vec::new();
    for sheet in sheets {
        let own = keys.iter().filter(|key| (key.kind, key.level) == sheet);
        let mut own: Vec<&AnswerKey> = own.collect();
        own.sort_by_key(|key| key.questions.len());
        let (kind, level) = sheet;
        let title = match one_level {
            true => kind.title().to_owned(),
            false => format!("{}, level {}", kind.title(), level.number()),
        };
        pieces.push(heading(title, page.body.width()));
        // Sheets with other numbers of questions ask for other things.
        for alike in own.chunk_by(|one, other| one.questions.len() == other.questions.len()) {
            pieces.extend(tables(alike, page.body.width(), page.next_room()));
        }
    }
    draw(&page, &flow(pieces, page.first_room(), page.next_room()))
}

fn heading(title: String, width: f64) -> Piece {
    let mut fragment = Fragment::new(width);
    fragment
        .canvas()
        .text(Text::new((0.0, -heights::HEADING), heights::HEADING, title).bold());
    fragment.height = heights::HEADING;
    Piece::new(fragment, GAP).kept()
}

/// The tables of one kind: as many sheets side by side as the width holds, and the next ones below. A table that a page
/// holds is not torn apart.
fn tables(keys: &[&AnswerKey], width: f64, room: f64) -> Vec<Piece> {
    let fits = |count: &usize| {
        keys.chunks(*count)
            .all(|some| table(some).least_width() <= FULL * width)
    };
    // From the narrowest on: of very many sheets few stand side by side.
    let most = (1..=keys.len()).take_while(fits).last().unwrap_or(1);
    let even = keys.len().div_ceil(keys.len().div_ceil(most));
    let mut pieces = Vec::new();
    for some in keys.chunks(even) {
        let table = table(some);
        let mut rows = table.pieces(width, TABLE_GAP, table.rows.len());
        let whole = rows.iter().map(|row| row.fragment.height).sum::<f64>() <= room - GAP;
        if let (true, [but_last @ .., _]) = (whole, &mut rows[..]) {
            but_last.iter_mut().for_each(|row| row.keep = true);
        }
        pieces.extend(rows);
    }
    pieces
}

/// A row for each thing that is asked, a column for each sheet.
fn table(keys: &[&AnswerKey]) -> Table {
    let questions = keys
        .iter()
        .map(|key| key.questions.len())
        .max()
        .unwrap_or(0);
    let numbers = keys.iter().map(|key| key.number.to_string());
    let headings = ["Sheet".to_owned()].into_iter().chain(numbers);
    Table {
        columns: headings.map(|heading| Column::boxed(&heading)).collect(),
        rows: (1..=questions)
            .flat_map(|question| rows(keys, question))
            .collect(),
        lettering: heights::TEXT,
        headings: heights::SMALL,
        row_height: 0.0,
    }
}

/// The answers to a question. Where one sheet asks for all that the others ask for, a row is what is asked; else what is
/// asked differs from sheet to sheet, and a row is a number in the order of the sheet.
fn rows(keys: &[&AnswerKey], question: usize) -> Vec<Row> {
    let sheets: Vec<Vec<&Fact>> = keys
        .iter()
        .map(|key| {
            key.facts
                .iter()
                .filter(|fact| fact.question == question)
                .collect()
        })
        .collect();
    let fullest = sheets
        .iter()
        .max_by_key(|facts| facts.len())
        .map_or(&[][..], Vec::as_slice);
    let mut names: Vec<&str> = fullest.iter().map(|fact| fact.of.as_str()).collect();
    names.dedup();
    if sheets
        .iter()
        .flatten()
        .all(|fact| names.contains(&fact.of.as_str()))
    {
        let answer = |facts: &Vec<&Fact>, name: &str| {
            let own = facts
                .iter()
                .filter(|fact| fact.of == name)
                .map(|fact| fact.answer.to_string());
            own.reduce(|all, one| format!("{all}, {one}"))
        };
        let of = |name: &&str| {
            row(
                question,
                name,
                sheets.iter().map(|facts| answer(facts, name)).collect(),
            )
        };
        return names.iter().map(of).collect();
    }
    let nth = |index: usize| {
        sheets
            .iter()
            .map(|facts| facts.get(index).map(|fact| fact.answer.to_string()))
            .collect()
    };
    (0..fullest.len())
        .map(|index| row(question, &format!("no. {}", index + 1), nth(index)))
        .collect()
}

/// One row; a unit that all its answers have goes behind its name.
fn row(question: usize, name: &str, answers: Vec<Option<String>>) -> Row {
    let unit = UNITS.into_iter().find(|unit| {
        answers
            .iter()
            .flatten()
            .all(|answer| answer.ends_with(unit))
    });
    let label = format!(
        "{question}: {name}{}",
        unit.map_or_else(String::new, |unit| format!(", {}", unit.trim()))
    );
    let cell = |answer: Option<String>| {
        let answer = answer.unwrap_or_else(|| NONE.to_owned());
        Cell::Text(
            unit.and_then(|unit| answer.strip_suffix(unit))
                .unwrap_or(&answer)
                .to_owned(),
        )
    };
    let cells = [Cell::Bold(label)].into_iter();
    Row::of(cells.chain(answers.into_iter().map(cell)).collect())
}

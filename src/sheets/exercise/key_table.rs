//! The short answers of a class set, sheet by sheet.

use super::{
    PracticePaper, draw,
    flow::{Piece, flow},
    grid::{Entry, Grid},
    page::{Page, Words, again},
};
use crate::{
    drawing::{Drawing, Text, heights},
    practice::{AnswerKey, Fact, Kind},
    sheets::fragment::Fragment,
};

/// Lettering to try, mm; the table is for the teacher's desk, so that it may be small where that saves a page.
const LETTERINGS: [f64; 4] = [heights::TEXT, 2.2, 2.0, heights::SMALL];
/// Clear height above a kind, and below its heading, mm.
const GAP: f64 = 5.0;
const HEADING_GAP: f64 = 1.5;

/// The answers of all sheets in a table for each kind: a row for each sheet, a column for each question. On one page,
/// if any lettering allows it. No keys make no page.
#[must_use]
pub fn key_table(keys: &[AnswerKey], on: &PracticePaper<'_>) -> Vec<Drawing> {
    let Some(first) = keys.first() else { return Vec::new() };
    let numbers = || keys.iter().map(|key| key.number);
    let (least, most) = (numbers().min().unwrap_or(1), numbers().max().unwrap_or(1));
    let level = first.level.number();
    let words = Words {
        name: "Key table".to_owned(),
        title: "Key table".to_owned(),
        lines: vec![format!("Sheets {least} to {most} · level {level} of 4")],
        again: again(first.seed, &format!("level {level} · sheets {least} to {most}"), on.origin),
        score: None,
    };
    let page = Page::new(on.paper, &words);
    let lay_out = |lettering| flow(pieces(keys, lettering, page.body.width()), page.first_room(), page.next_room());
    let [.., small] = LETTERINGS;
    let fewest = lay_out(small).len();
    let bodies = LETTERINGS.into_iter().map(lay_out).find(|bodies| bodies.len() <= fewest);
    draw(&page, &bodies.unwrap_or_else(|| lay_out(small)))
}

fn pieces(keys: &[AnswerKey], lettering: f64, width: f64) -> Vec<Piece> {
    let mut kinds: Vec<Kind> = keys.iter().map(|key| key.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let table = |kind: Kind| {
        let sheets: Vec<&AnswerKey> = keys.iter().filter(|key| key.kind == kind).collect();
        let mut heading = Fragment::new(width);
        heading.canvas().text(Text::new((0.0, -heights::HEADING), heights::HEADING, kind.title()).bold());
        heading.height = heights::HEADING + HEADING_GAP;
        let mut pieces = vec![Piece { airy: true, ..Piece::new(heading, GAP).kept() }];
        pieces.extend(grid(&sheets, lettering).pieces(width, 0.0));
        pieces
    };
    kinds.into_iter().flat_map(table).collect()
}

fn grid(sheets: &[&AnswerKey], lettering: f64) -> Grid {
    let questions = sheets.iter().map(|sheet| sheet.questions).max().unwrap_or(0);
    let asked: Vec<Asked> = (1..=questions).filter_map(|question| Asked::of(sheets, question)).collect();
    let mut columns = vec!["Sheet".to_owned()];
    columns.extend(asked.iter().map(Asked::heading));
    let row = |sheet: &&AnswerKey| {
        let mut row = vec![Entry::Bold(sheet.number.to_string())];
        row.extend(asked.iter().map(|asked| Entry::Text(asked.answers(sheet))));
        row
    };
    Grid { columns, rows: sheets.iter().map(row).collect(), lettering, write_row: 0.0 }
}

/// What a question asks for.
struct Asked {
    question: usize,
    /// What the answers are of, where that is the same on all sheets; it then goes into the heading.
    same: Option<Vec<String>>,
}

impl Asked {
    /// `None` for a question without short answers.
    fn of(sheets: &[&AnswerKey], question: usize) -> Option<Self> {
        let names = |sheet: &&AnswerKey| facts(sheet, question).map(|fact| fact.of.clone()).collect::<Vec<_>>();
        let mut all = sheets.iter().map(names);
        let first = all.next()?;
        let same = all.all(|names| names == first).then_some(first);
        (same.as_ref().is_none_or(|names| !names.is_empty())).then_some(Self { question, same })
    }

    fn heading(&self) -> String {
        match &self.same {
            Some(names) => format!("{}: {}", self.question, names.join(" · ")),
            None => self.question.to_string(),
        }
    }

    fn answers(&self, sheet: &AnswerKey) -> String {
        let answer = |fact: &Fact| match self.same {
            Some(_) => fact.answer.clone(),
            None => format!("{} {}", fact.of, fact.answer),
        };
        facts(sheet, self.question).map(answer).collect::<Vec<_>>().join(" · ")
    }
}

fn facts(sheet: &AnswerKey, question: usize) -> impl Iterator<Item = &Fact> {
    sheet.facts.iter().filter(move |fact| fact.question == question)
}

//! The short answers of a class set, sheet by sheet.

use super::{
    PracticePaper, draw,
    key_columns::Columns,
    key_grid::KeyGrid,
    page::{Page, Words, again},
};
use crate::{
    drawing::{Drawing, heights},
    practice::{AnswerKey, Kind},
    sheets::fragment::Fragment,
};

/// Lettering to try, mm; the table is for the teacher's desk, so that it may be small where that saves a page.
const LETTERINGS: [f64; 4] = [heights::TEXT, 2.2, 2.0, heights::SMALL];
/// Clear height above a table, mm.
const GAP: f64 = 6.0;
/// As many sheets of a kind have their answers on one page, at the price of leaving long lists out.
const CLASS: usize = 30;

/// The answers of all sheets, in a table for each kind: a row for each sheet, a column for each thing that is asked. No
/// keys make no page.
///
/// The table of a class set of thirty sheets is on one page: as small as lettering may be, and where that does not do,
/// without the longest answers, which the table then says. A kind that does not fit what is left of a page begins a new
/// one.
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
    let room = Room { width: page.body.width(), first: page.first_room(), next: page.next_room() };
    let tables = room.tables(keys);
    let bodies = LETTERINGS.map(|lettering| room.fill(&tables, lettering));
    // Of as few pages as can be, those with the largest lettering.
    let fewest = bodies.iter().map(Vec::len).min().unwrap_or(0);
    let bodies = bodies.into_iter().find(|bodies| bodies.len() == fewest).unwrap_or_default();
    draw(&page, &bodies)
}

/// A table to be laid out.
struct Table {
    title: String,
    columns: Columns,
}

/// What pages have room for, mm.
struct Room {
    width: f64,
    first: f64,
    next: f64,
}

impl Room {
    /// A table for each kind, and where sheets of a kind have other questions, for each of these.
    fn tables(&self, keys: &[AnswerKey]) -> Vec<Table> {
        let mut shapes: Vec<(Kind, usize)> = keys.iter().map(|key| (key.kind, key.questions)).collect();
        shapes.sort_unstable_by(|one, other| one.0.cmp(&other.0).then(other.1.cmp(&one.1)));
        shapes.dedup();
        let table = |&(kind, questions): &(Kind, usize)| {
            let same: Vec<&AnswerKey> =
                keys.iter().filter(|key| key.kind == kind && key.questions == questions).collect();
            let several = shapes.iter().filter(|shape| shape.0 == kind).count() > 1;
            let noun = if questions == 1 { "question" } else { "questions" };
            let more = if several { format!(", sheets with {questions} {noun}") } else { String::new() };
            Table { title: format!("{}{more}", kind.title()), columns: self.columns(&same, kind) }
        };
        shapes.iter().map(table).collect()
    }

    /// The answers of sheets, without the longest as long as those of a class do not fit a page.
    fn columns(&self, keys: &[&AnswerKey], kind: Kind) -> Columns {
        let class = &keys[..keys.len().min(CLASS)];
        let fits = |columns: &Columns| {
            KeyGrid::new(columns, kind.title(), heights::SMALL, self.width)
                .is_some_and(|grid| grid.whole().height <= self.first)
        };
        let mut left_out = Vec::new();
        loop {
            let fit = [false, true].into_iter().find(|run_on| fits(&Columns::of(class, &left_out, *run_on)));
            if let Some(run_on) = fit {
                return Columns::of(keys, &left_out, run_on);
            }
            match Columns::of(class, &left_out, false).longest_question() {
                Some(question) => left_out.push(question),
                None => return Columns::of(keys, &left_out, true).run_on(),
            }
        }
    }

    /// Pages of tables, one below the other.
    fn fill(&self, tables: &[Table], lettering: f64) -> Vec<Fragment> {
        let mut pages = vec![Fragment::new(self.width)];
        for table in tables {
            let Some(grid) = self.grid(table, lettering) else { continue };
            let whole = grid.whole();
            let room = if pages.len() == 1 { self.first } else { self.next };
            let last = pages.last_mut().expect("there is always a page");
            if last.height == 0.0 || last.height + GAP + whole.height <= room {
                if whole.height <= room {
                    last.stack(&whole, GAP);
                    continue;
                }
                pages.pop();
            }
            let first = if pages.is_empty() { self.first } else { self.next };
            pages.extend(grid.pieces(first, self.next));
        }
        pages
    }

    /// A table at the largest lettering up to `most` at which it fits a page of its own, else the smallest.
    fn grid<'a>(&self, table: &'a Table, most: f64) -> Option<KeyGrid<'a>> {
        let lay_out = |lettering| KeyGrid::new(&table.columns, &table.title, lettering, self.width);
        let smaller = LETTERINGS.into_iter().filter(|lettering| *lettering <= most);
        let fits = |grid: &KeyGrid<'_>| grid.whole().height <= self.first;
        smaller.filter_map(lay_out).find(fits).or_else(|| lay_out(heights::SMALL))
    }
}

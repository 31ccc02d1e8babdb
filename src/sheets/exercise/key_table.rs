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

/// How much of the answers a table shows.
#[derive(Clone, Debug, Default)]
struct Way {
    left_out: Vec<usize>,
    /// What differs from sheet to sheet is in one column.
    run_on: bool,
    /// Everything of a quantity is in one column.
    all_run_on: bool,
}

impl Way {
    fn columns(&self, keys: &[&AnswerKey]) -> Columns {
        let columns = Columns::of(keys, &self.left_out, self.run_on);
        if self.all_run_on { columns.run_on() } else { columns }
    }

    /// The next that shows less; `None` behind the last.
    fn briefer(&self, shown: &Table) -> Option<Self> {
        let mut next = self.clone();
        if !self.run_on {
            next.run_on = true;
        } else if let Some(question) = shown.columns.longest_question() {
            next.left_out.push(question);
            next.run_on = false;
        } else if self.all_run_on {
            return None;
        } else {
            next.all_run_on = true;
        }
        Some(next)
    }
}

/// What pages have room for, mm.
struct Room {
    width: f64,
    first: f64,
    next: f64,
}

impl Room {
    fn tables(&self, keys: &[AnswerKey]) -> Vec<Table> {
        let mut kinds: Vec<Kind> = keys.iter().map(|key| key.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds.into_iter().flat_map(|kind| self.tables_of(keys, kind)).collect()
    }

    /// A table for a kind, or where its sheets have other numbers of questions, one for each number. As brief as it takes
    /// for those of a class to fit a page together.
    fn tables_of(&self, keys: &[AnswerKey], kind: Kind) -> Vec<Table> {
        let keys: Vec<&AnswerKey> = keys.iter().filter(|key| key.kind == kind).collect();
        let class = &keys[..keys.len().min(CLASS)];
        let mut shapes: Vec<usize> = keys.iter().map(|key| key.questions).collect();
        shapes.sort_unstable_by(|one, other| other.cmp(one));
        shapes.dedup();
        let mut ways = vec![Way::default(); shapes.len()];
        let table = |keys: &[&AnswerKey], (questions, way): (&usize, &Way)| {
            let same: Vec<&AnswerKey> = keys.iter().copied().filter(|key| key.questions == *questions).collect();
            let noun = if *questions == 1 { "question" } else { "questions" };
            let more = if shapes.len() > 1 { format!(", sheets with {questions} {noun}") } else { String::new() };
            Table { title: format!("{}{more}", kind.title()), columns: way.columns(&same) }
        };
        loop {
            let tables: Vec<Table> = shapes.iter().zip(&ways).map(|shape| table(class, shape)).collect();
            let heights: Vec<f64> = tables.iter().map(|table| self.height(table)).collect();
            if heights.iter().sum::<f64>() + GAP * (heights.len() - 1) as f64 <= self.first {
                break;
            }
            let mut highest: Vec<usize> = (0..ways.len()).collect();
            highest.sort_by(|one, other| heights[*other].total_cmp(&heights[*one]));
            let Some(brief) = highest.into_iter().find_map(|index| Some((index, ways[index].briefer(&tables[index])?)))
            else {
                break;
            };
            ways[brief.0] = brief.1;
        }
        shapes.iter().zip(&ways).map(|shape| table(&keys, shape)).collect()
    }

    /// Height at the smallest lettering, mm; infinite where the width does not do.
    fn height(&self, table: &Table) -> f64 {
        let grid = KeyGrid::new(&table.columns, &table.title, heights::SMALL, self.width);
        grid.map_or(f64::INFINITY, |grid| grid.whole().height)
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

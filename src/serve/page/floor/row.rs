//! The rows of the form of taped readings, lay by lay in the order of walking, and what is said of each.

use maud::{Markup, html};

use super::typed::{Takes, cell_length, understood};
use crate::{
    job::Job,
    kit::{Judged, within_limit},
    plan::{FloorPlan, Lay},
    shop::FormFile,
    survey::Verdict,
    units::{inch_text, mm_text},
    words::{Lengths, Spelling, printed::lays, usual_mistake},
};

/// A distance that is this many times too long or too short is no reading of its line, and would keep all others from being judged.
const ABSURD: f64 = 50.0;

/// Lines shorter than this, mm, are not held against that.
const SHORT_MM: f64 = 100.0;

/// A row of the form.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its number in the form, from 0.
    pub index: usize,
    /// What is read: "1L–2L".
    pub line: String,
    /// The same with what it should be, as the form has it: rows of two layouts differ in it.
    pub identity: String,
    /// Where it is read: the mark.
    pub at: String,
    /// What may be typed.
    pub takes: Takes,
    /// What it should be, mm; 0 on a string.
    pub should_be: Option<f64>,
    /// How much it may differ, mm.
    pub limit: Option<f64>,
    /// Standard deviation of the reading, mm; `None` for a row that somebody added.
    pub sd: Option<f64>,
    /// What stands in the form.
    pub cell: String,
    /// The same, mm.
    pub mm: Option<f64>,
    /// True where the reading contradicts the others, with the usual mistake that explains it.
    pub suspect: Option<Option<String>>,
}

/// A lay with its rows.
#[derive(Clone, Debug)]
pub struct Group {
    /// "Lay 1: tape from 1L along the left side".
    pub heading: String,
    /// How tape or string is held and read.
    pub how: String,
    /// True where its line runs below the vehicle's body.
    pub below_body: bool,
    /// What is read.
    pub rows: Vec<Row>,
}

/// All rows of a form that goes with the job.
#[must_use]
pub fn groups(job: &Job, table: &FormFile, judged: Option<&Judged>) -> Vec<Group> {
    let (plan, spelling) = (&job.plan, Spelling::of(job));
    let mut cells = Cells::of(job, table, judged);
    let mut all: Vec<Group> = plan
        .lays
        .iter()
        .map(|lay| Group {
            heading: spelling.text(&format!("Lay {}: {}", lay.number, lays::whole(plan, lay))),
            how: spelling.text(&how(plan, lay)),
            below_body: lay.below_body,
            rows: cells.rows_of(plan, lay),
        })
        .collect();
    let added = cells.added();
    if !added.is_empty() {
        all.push(Group {
            heading: "Lines added".to_owned(),
            how: "Zero on the first mark, read at the second.".to_owned(),
            below_body: false,
            rows: added,
        });
    }
    all
}

/// How a lay is held and read.
fn how(plan: &FloorPlan, lay: &Lay) -> String {
    let (from, to) = (lay.start_name(plan), lay.to_name(plan));
    if lays::on_string(lay) {
        return format!(
            "Stretch the string from {from} to {to}. Is the mark on it, type 0; else how far beside it, left or right as seen from {from} towards {to}."
        );
    }
    if lay.along_tyres() {
        return format!(
            "Stretch the string along the tyres over {from} and {to}. Tape square from it to each mark."
        );
    }
    let several = if lay.readings.len() > 1 {
        "each further mark; do not lift the tape between"
    } else {
        "the mark"
    };
    format!("Hold the tape’s zero on {from}. Read it at {several}.")
}

/// The cells of a form, row after row.
struct Cells<'a> {
    job: &'a Job,
    table: &'a FormFile,
    judged: Option<&'a Judged>,
    next: usize,
    /// Readings so far: their numbers in what is judged.
    read: usize,
}

impl<'a> Cells<'a> {
    const fn of(job: &'a Job, table: &'a FormFile, judged: Option<&'a Judged>) -> Self {
        Self {
            job,
            table,
            judged,
            next: 0,
            read: 0,
        }
    }

    /// The next row, without what it should be.
    fn row(&mut self) -> Row {
        let (index, table) = (self.next, self.table);
        self.next += 1;
        let cell = |base| table.cell(index, base).to_owned();
        let takes = if matches!(table.cell(index, "kind"), "inline" | "offset") {
            Takes::Beside
        } else {
            Takes::Length
        };
        let at = if takes == Takes::Beside { "from" } else { "to" };
        let reading = cell("reading");
        let mm = cell_length(&reading, self.job.inches);
        let suspect = mm.and_then(|_| {
            self.read += 1;
            self.suspect(self.read - 1)
        });
        Row {
            index,
            line: line(table, index),
            identity: identity(table, index),
            at: cell(at),
            takes,
            should_be: None,
            limit: None,
            sd: None,
            cell: reading,
            mm,
            suspect,
        }
    }

    fn rows_of(&mut self, plan: &FloorPlan, lay: &Lay) -> Vec<Row> {
        let takes = if lays::on_string(lay) {
            Takes::Beside
        } else {
            Takes::Length
        };
        lay.readings
            .iter()
            .map(|reading| Row {
                at: plan.marks[reading.mark].id.clone(),
                takes,
                should_be: Some(reading.should_be),
                limit: Some(reading.limit),
                sd: Some(reading.sd),
                ..self.row()
            })
            .collect()
    }

    /// Rows below those of the lays.
    fn added(&mut self) -> Vec<Row> {
        let mut rows = Vec::new();
        while self.next < self.table.rows().len() {
            let row = self.row();
            let should_be = self.table.cell(row.index, "should_be");
            rows.push(Row {
                should_be: cell_length(should_be, self.job.inches),
                at: row.line.clone(),
                ..row
            });
        }
        rows
    }

    fn suspect(&self, observation: usize) -> Option<Option<String>> {
        let judged = self.judged?;
        let found = judged.assessment.readings.get(observation)?;
        let cause = || {
            let suspects = &judged.assessment.suspects;
            let at = suspects
                .iter()
                .position(|one| one.observation == observation)?;
            judged.words.causes.get(at).cloned().flatten()
        };
        found.suspect.then(cause)
    }
}

/// What a row of a form is of: "1L–2L".
#[must_use]
pub fn line(table: &FormFile, row: usize) -> String {
    format!("{}–{}", table.cell(row, "from"), table.cell(row, "to"))
}

/// The same with what it should be, as the form has it: "1L–2L 1760.0".
#[must_use]
pub fn identity(table: &FormFile, row: usize) -> String {
    format!("{} {}", line(table, row), table.cell(row, "should_be"))
        .trim()
        .to_owned()
}

impl Row {
    /// Why a reading cannot be of this line at all; `None` where it can.
    #[must_use]
    pub fn absurd(&self, mm: f64, lengths: Lengths) -> Option<String> {
        let should_be = self
            .should_be
            .filter(|should_be| *should_be >= SHORT_MM && self.takes == Takes::Length)?;
        if mm <= ABSURD * should_be && mm * ABSURD >= should_be {
            return None;
        }
        let cause = self
            .mistake(mm)
            .map(|cause| format!(" {}?", capital(&cause)));
        Some(format!(
            "That would be {}, and it should be {}.{} Type the number with its unit.",
            lengths.tenths(mm),
            lengths.whole(should_be),
            cause.unwrap_or_default()
        ))
    }

    fn mistake(&self, mm: f64) -> Option<String> {
        let known = self.should_be.zip(self.sd);
        let (should_be, sd) = known.filter(|_| self.takes == Takes::Length)?;
        usual_mistake(mm, should_be, sd)
    }

    /// Where it is read and what it should be.
    #[must_use]
    pub fn label(&self, inches: bool) -> Markup {
        let length = |mm: f64| match inches {
            true => format!("{} in", inch_text(mm)),
            false => format!("{} mm", mm_text(mm)),
        };
        let limit = self
            .limit
            .map(|limit| format!(" ± {}", lays::limit(limit, inches)));
        html! {
            strong.mark { (self.at) }
            " "
            span.quiet {
                @if self.takes == Takes::Beside { "on the string" (limit.unwrap_or_default()) }
                @else if let Some(should_be) = self.should_be { (length(should_be)) (limit.unwrap_or_default()) }
            }
        }
    }

    /// What is said of what stands in the form.
    #[must_use]
    pub fn said(&self, inches: bool) -> Markup {
        let Some(mm) = self.mm else {
            return html! { span.outside { "This is no length; type it again." } };
        };
        let lengths = Lengths { inches };
        let by = self.should_be.map(|should_be| mm - should_be);
        let verdict = by
            .zip(self.limit)
            .map(|(by, limit)| within_limit(by, limit));
        let outside = verdict == Some(Verdict::Outside);
        let cause = match &self.suspect {
            Some(cause) => cause.clone(),
            None if outside => self.mistake(mm),
            None => None,
        };
        html! {
            @if let Some(words) = understood(&self.cell, inches) { (words) " " }
            @if let Some(by) = by { (capital(&lengths.differs(by, self.takes == Takes::Beside))) }
            @if let Some(verdict) = verdict { ": " span class=(verdict.word()) { (verdict.word()) } " its limit" }
            @if by.is_some() { "." }
            @if self.suspect.is_some() { " " span.outside { "Contradicts the other readings." } }
            @if let Some(cause) = cause { " " strong { (capital(&cause)) "?" } }
            @if outside || self.suspect.is_some() { " Tape it once more." }
        }
    }
}

/// The text with a capital at its beginning.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cell: &str) -> Row {
        Row {
            index: 0,
            line: "1L–2L".to_owned(),
            identity: "1L–2L 1370.0".to_owned(),
            at: "2L".to_owned(),
            takes: Takes::Length,
            should_be: Some(1370.0),
            limit: Some(8.0),
            sd: Some(1.2),
            cell: cell.to_owned(),
            mm: cell_length(cell, false),
            suspect: None,
        }
    }

    fn said(row: &Row) -> String {
        let page = row.said(false).into_string();
        let pieces = page.split('<');
        pieces
            .map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text))
            .collect()
    }

    #[test]
    fn a_reading_is_judged_beside_its_row_in_words() {
        assert_eq!(said(&row("1373")), "3 mm longer: inside its limit.");
        assert_eq!(
            said(&row("1270")),
            "100 mm shorter: outside its limit. 100 mm misread? Tape it once more."
        );
        assert_eq!(
            said(&row("1.373 m")),
            "1.373 m is 1373 mm. 3 mm longer: inside its limit."
        );
        let suspect = Row {
            suspect: Some(None),
            ..row("1376")
        };
        assert_eq!(
            said(&suspect),
            "6 mm longer: inside its limit. Contradicts the other readings. Tape it once more."
        );
    }

    #[test]
    fn what_is_no_reading_of_the_line_is_refused_with_the_unit_that_fits() {
        let mm = Lengths { inches: false };
        let why = row("").absurd(1.371, mm).expect("metres");
        assert!(why.contains("Metres written for mm?"), "{why}");
        assert_eq!(
            row("").absurd(137.1, mm),
            None,
            "a slip that stays a reading"
        );
    }
}

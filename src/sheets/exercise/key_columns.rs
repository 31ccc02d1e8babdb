//! The short answers of a kind's sheets, ordered into columns.

use crate::practice::{AnswerKey, Fact};

/// Units that go into a heading when all answers below have them.
const UNITS: [&str; 4] = [" mm", " mm/m", " %", "°"];
/// Stands where a sheet has no such answer.
const NONE: &str = "\u{2013}";
/// Between the ends of a distance.
const BETWEEN: &str = "\u{2013}";
const MINUS: char = '\u{2212}';
/// Before the names of marks whose answers are those of the marks before them with the other sign.
const OTHER_SIGN: &str = "(\u{2212})";
const OTHER_SIGN_NOTE: &str = "Behind (\u{2212}): the same with the other sign.";
/// Between the answers of a list in one cell.
const LISTED: &str = " · ";
const IN_ORDER: &str = "in the order of the sheet";

/// A table's content.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    /// Numbers of the sheets, a row each.
    pub sheets: Vec<usize>,
    /// Columns under common headings, in the order of the questions.
    pub groups: Vec<Group>,
    /// What is said once: answers that are the same on all sheets, and how to read the table. Sentences.
    pub notes: Vec<String>,
}

/// Columns of one quantity.
#[derive(Clone, Debug)]
pub struct Group {
    /// Number of the question.
    pub question: usize,
    /// What the answers are of, with the unit that they have in common.
    pub label: String,
    /// Its columns.
    pub columns: Vec<Column>,
}

/// The answers of all sheets to one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What tells it from the other columns of its group; empty for a single one.
    pub label: String,
    /// An answer for each sheet.
    pub answers: Vec<String>,
}

impl Columns {
    /// The answers of sheets of one kind, without those to the questions `left_out`. What differs from sheet to sheet is
    /// in columns, or with `run_on` in one column, where it takes several lines.
    #[must_use]
    pub fn of(keys: &[&AnswerKey], left_out: &[usize], run_on: bool) -> Self {
        let mut columns = Self { sheets: keys.iter().map(|key| key.number).collect(), ..Self::default() };
        let questions = keys.iter().flat_map(|key| &key.facts).map(|fact| fact.question).max().unwrap_or(0);
        for question in 1..=questions {
            if left_out.contains(&question) {
                columns.notes.push(format!("Question {question}: see the answers of each sheet."));
            } else {
                columns.ask(keys, question, run_on);
            }
        }
        let signs = |column: &Column| column.label.contains(OTHER_SIGN);
        if columns.groups.iter().flat_map(|group| &group.columns).any(signs) {
            columns.notes.push(OTHER_SIGN_NOTE.to_owned());
        }
        columns
    }

    fn ask(&mut self, keys: &[&AnswerKey], question: usize, run_on: bool) {
        let facts: Vec<Vec<(String, String)>> = keys.iter().map(|key| facts(key, question)).collect();
        if facts.iter().all(Vec::is_empty) {
            return;
        }
        let Some(named) = named(&facts) else {
            let mut group = Group { question, label: IN_ORDER.to_owned(), columns: in_order(&facts) };
            group.take_unit();
            if run_on {
                group.run_on();
            }
            self.groups.push(group);
            return;
        };
        for (label, mut columns) in by_quantity(named) {
            merge(&mut columns);
            let mut group = Group { question, label, columns };
            if self.sheets.len() > 1 && group.columns.iter().all(Column::is_constant) {
                self.notes.push(format!("Question {question}, on all sheets: {}.", group.said_once()));
            } else {
                group.take_unit();
                self.groups.push(group);
            }
        }
    }

    /// The question with the longest answers; `None` where there is none but one.
    #[must_use]
    pub fn longest_question(&self) -> Option<usize> {
        let mut questions: Vec<(usize, usize)> = Vec::new();
        for group in &self.groups {
            let length: usize = group.columns.iter().flat_map(|column| &column.answers).map(String::len).sum();
            match questions.last_mut() {
                Some((question, sum)) if *question == group.question => *sum += length,
                _ => questions.push((group.question, length)),
            }
        }
        let longest = questions.iter().max_by_key(|(question, length)| (*length, usize::MAX - question));
        longest.filter(|_| questions.len() > 1).map(|(question, _)| *question)
    }

    /// The same with one column for each quantity, in which text can run on over several lines.
    #[must_use]
    pub fn run_on(mut self) -> Self {
        self.groups.iter_mut().for_each(Group::run_on);
        self
    }
}

impl Column {
    fn is_constant(&self) -> bool {
        self.answers.iter().all(|answer| *answer == self.answers[0])
    }
}

impl Group {
    /// The answers of the first sheet with what they are of.
    fn said_once(&self) -> String {
        let one = |column: &Column| format!("{} {}: {}", column.label, self.label, column.answers[0]).trim().to_owned();
        self.columns.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    /// Makes one column of all.
    fn run_on(&mut self) {
        let Some(first) = self.columns.first() else { return };
        let answer = |sheet: usize| {
            let name = |column: &Column| if self.label.starts_with(IN_ORDER) { "" } else { &column.label }.to_owned();
            let one = |column: &Column| format!("{} {}", name(column), column.answers[sheet]).trim().to_owned();
            self.columns.iter().map(one).collect::<Vec<_>>().join(LISTED)
        };
        let answers = (0..first.answers.len()).map(answer).collect();
        self.columns = vec![Column { label: String::new(), answers }];
    }

    /// Moves the unit of all its answers into its label.
    fn take_unit(&mut self) {
        let answers = || self.columns.iter().flat_map(|column| &column.answers).filter(|answer| *answer != NONE);
        let each = |unit: &str, answer: &str| answer.split(LISTED).all(|one| one.ends_with(unit));
        let has = |unit: &&str| answers().next().is_some() && answers().all(|answer| each(unit, answer));
        let Some(unit) = UNITS.iter().find(|unit| has(unit)) else { return };
        for answer in self.columns.iter_mut().flat_map(|column| &mut column.answers) {
            let bare: Vec<&str> = answer.split(LISTED).map(|one| one.strip_suffix(unit).unwrap_or(one)).collect();
            *answer = bare.join(LISTED);
        }
        let comma = if self.label.is_empty() { "" } else { ", " };
        self.label = format!("{}{comma}{}", self.label, unit.trim_start());
    }
}

/// What a question asks for on a sheet, each thing once, with its answers.
fn facts(key: &AnswerKey, question: usize) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    for Fact { of, answer, .. } in key.facts.iter().filter(|fact| fact.question == question) {
        match found.iter_mut().find(|(known, _)| known == of) {
            Some((_, answers)) => *answers = format!("{answers}, {answer}"),
            None => found.push((of.clone(), answer.clone())),
        }
    }
    found
}

/// A column for each thing that is asked, where one sheet asks for all that the others ask for.
fn named(sheets: &[Vec<(String, String)>]) -> Option<Vec<Column>> {
    let fullest = sheets.iter().max_by_key(|facts| facts.len())?;
    let known = |of: &String| fullest.iter().any(|(name, _)| name == of);
    if !sheets.iter().flatten().all(|(of, _)| known(of)) {
        return None;
    }
    let answer = |facts: &Vec<(String, String)>, of: &String| {
        facts.iter().find(|(name, _)| name == of).map_or_else(|| NONE.to_owned(), |(_, answer)| answer.clone())
    };
    let column = |(of, _): &(String, String)| Column {
        label: of.clone(),
        answers: sheets.iter().map(|facts| answer(facts, of)).collect(),
    };
    Some(fullest.iter().map(column).collect())
}

/// Things that differ from sheet to sheet: a column for each where every sheet has as many, else all in one.
fn in_order(sheets: &[Vec<(String, String)>]) -> Vec<Column> {
    let count = sheets.first().map_or(0, Vec::len);
    if sheets.iter().all(|facts| facts.len() == count) {
        let column = |index: usize| Column {
            label: format!("{}.", index + 1),
            answers: sheets.iter().map(|facts| facts[index].1.clone()).collect(),
        };
        return (0..count).map(column).collect();
    }
    let run_on = |facts: &Vec<(String, String)>| {
        facts.iter().map(|(_, answer)| answer.as_str()).collect::<Vec<_>>().join(LISTED)
    };
    vec![Column { label: String::new(), answers: sheets.iter().map(run_on).collect() }]
}

/// Columns sorted by quantity, each with what is left of its name: `1L station`, `1R station` come under `station`,
/// `mistake: which`, `mistake: how far` under `mistake`, `line a`, `line b` under `line`.
fn by_quantity(columns: Vec<Column>) -> Vec<(String, Vec<Column>)> {
    type Split = fn(&str) -> Option<(&str, &str)>;
    let splits: [Split; 3] = [
        |of| of.split_once(": "),
        |of| behind_name(of).map(|(name, quantity)| (quantity, name)),
        |of| of.rsplit_once(' '),
    ];
    let is_shared = |split: &Split, label: &str| {
        columns.iter().filter(|column| split(&column.label).is_some_and(|(shared, _)| shared == label)).count() > 1
    };
    let place = |column: &Column| -> (String, String) {
        let found = splits.iter().find_map(|split| split(&column.label).filter(|(label, _)| is_shared(split, label)));
        let (label, name) = found.unwrap_or((&column.label, ""));
        (label.to_owned(), name.to_owned())
    };
    let places: Vec<(String, String)> = columns.iter().map(place).collect();
    let mut groups: Vec<(String, Vec<Column>)> = Vec::new();
    for ((label, name), column) in places.into_iter().zip(columns) {
        let column = Column { label: name, ..column };
        match groups.iter_mut().find(|(known, columns)| *known == label && !columns[0].label.is_empty()) {
            Some((_, columns)) => columns.push(column),
            None => groups.push((label, vec![column])),
        }
    }
    groups
}

/// A mark or a distance between two, and what is said of it: `1L`, `station`; `1L – 4R`, `on paper`. A distance alone has
/// nothing said of it.
fn behind_name(of: &str) -> Option<(&str, &str)> {
    let end = match of.match_indices(' ').map(|(at, _)| at).collect::<Vec<_>>()[..] {
        [first, second, ..] if &of[first + 1..second] == BETWEEN => {
            of[second + 1..].find(' ').map_or(of.len(), |third| second + 1 + third)
        }
        [first, ..] => first,
        [] => return None,
    };
    Some((&of[..end], of[end..].trim_start()))
}

/// Makes one column of those that have the same answers on all sheets, or the same but for the sign.
fn merge(columns: &mut Vec<Column>) {
    let mut merged: Vec<(Column, Vec<String>)> = Vec::new();
    for column in columns.drain(..) {
        let mirrored: Vec<String> = column.answers.iter().map(|answer| negative(answer)).collect();
        if let Some((same, _)) = merged.iter_mut().find(|(known, _)| known.answers == column.answers) {
            same.label = format!("{}, {}", same.label, column.label);
        } else if let Some((_, mirror)) = merged.iter_mut().find(|(known, _)| known.answers == mirrored) {
            mirror.push(column.label);
        } else {
            merged.push((column, Vec::new()));
        }
    }
    columns.extend(merged.into_iter().map(|(column, mirror)| match mirror.is_empty() {
        true => column,
        false => Column { label: format!("{}, {OTHER_SIGN} {}", column.label, mirror.join(", ")), ..column },
    }));
}

/// A number with the other sign; what is no number stays as it is.
fn negative(answer: &str) -> String {
    match answer.strip_prefix(MINUS) {
        Some(positive) => positive.to_owned(),
        None if answer.starts_with(|first: char| first.is_ascii_digit()) => format!("{MINUS}{answer}"),
        None => answer.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::{Kind, Level};

    fn key(number: usize, facts: &[(usize, &str, &str)]) -> AnswerKey {
        let fact = |(question, of, answer): &(usize, &str, &str)| Fact {
            question: *question,
            of: (*of).to_owned(),
            answer: (*answer).to_owned(),
        };
        AnswerKey {
            kind: Kind::Table,
            level: Level::ALL[0],
            seed: 1,
            number,
            subject: "a vehicle on a layout".to_owned(),
            questions: 2,
            points: 4,
            facts: facts.iter().map(fact).collect(),
        }
    }

    fn columns(sheets: &[&[(usize, &str, &str)]]) -> Columns {
        let keys: Vec<AnswerKey> = (1..).zip(sheets).map(|(number, facts)| key(number, facts)).collect();
        Columns::of(&keys.iter().collect::<Vec<_>>(), &[], false)
    }

    fn shown(columns: &Columns) -> Vec<String> {
        let column = |group: &Group, column: &Column| {
            format!("{} {} | {} | {}", group.question, group.label, column.label, column.answers.join("; "))
        };
        columns.groups.iter().flat_map(|group| group.columns.iter().map(|one| column(group, one))).collect()
    }

    #[test]
    fn marks_come_under_their_quantity_and_the_unit_into_the_heading() {
        let found = columns(&[
            &[
                (1, "1L station", "10 mm"),
                (1, "1L offset", "7 mm"),
                (1, "2L station", "−20 mm"),
                (1, "2L offset", "8 mm"),
            ],
            &[
                (1, "1L station", "11 mm"),
                (1, "1L offset", "9 mm"),
                (1, "2L station", "−23 mm"),
                (1, "2L offset", "6 mm"),
            ],
        ]);
        let expected = [
            "1 station, mm | 1L | 10; 11",
            "1 station, mm | 2L | −20; −23",
            "1 offset, mm | 1L | 7; 9",
            "1 offset, mm | 2L | 8; 6",
        ];
        assert_eq!(shown(&found), expected);
    }

    #[test]
    fn columns_with_the_same_answers_are_one_also_when_the_sign_differs() {
        let found = columns(&[
            &[(1, "1L offset", "10 mm"), (1, "1R offset", "−10 mm"), (1, "2L offset", "10 mm")],
            &[(1, "1L offset", "12 mm"), (1, "1R offset", "−12 mm"), (1, "2L offset", "12 mm")],
        ]);
        assert_eq!(shown(&found), ["1 offset, mm | 1L, 2L, (−) 1R | 10; 12"]);
        assert_eq!(found.notes, [OTHER_SIGN_NOTE]);
    }

    #[test]
    fn what_all_sheets_have_in_common_is_said_once() {
        let found = columns(&[
            &[(1, "sheets", "4"), (2, "slip", "dropped the fraction")],
            &[(1, "sheets", "4"), (2, "slip", "took inches for centimetres")],
        ]);
        assert_eq!(found.notes, ["Question 1, on all sheets: sheets: 4."]);
        assert_eq!(shown(&found), ["2 slip |  | dropped the fraction; took inches for centimetres"]);
    }

    #[test]
    fn what_differs_from_sheet_to_sheet_stands_in_the_order_of_the_sheet() {
        let numbered = columns(&[&[(1, "1L – 2R 7", "8 mm"), (1, "x", "9 mm")], &[(1, "y", "1 mm"), (1, "z", "2 mm")]]);
        let label = "1 in the order of the sheet, mm";
        assert_eq!(shown(&numbered), [format!("{label} | 1. | 8; 1"), format!("{label} | 2. | 9; 2")]);
        let mut numbered = numbered;
        numbered.groups[0].run_on();
        assert_eq!(shown(&numbered), [format!("{label} |  | 8 · 9; 1 · 2")]);
        let uneven = columns(&[&[(1, "x", "9")], &[(1, "y", "1"), (1, "z", "2")]]);
        assert_eq!(shown(&uneven), ["1 in the order of the sheet |  | 9; 1 · 2"]);
        let short = columns(&[&[(1, "line a", "1"), (1, "line b", "2")], &[(1, "line a", "2")]]);
        assert_eq!(shown(&short), ["1 line | a | 1; 2", "1 line | b | 2; –"]);
    }

    #[test]
    fn a_distance_is_one_name() {
        let found = columns(&[
            &[
                (2, "1L – 4R on paper", "5 mm"),
                (2, "1L – 4R", "50 mm"),
                (2, "1R – 4L on paper", "6 mm"),
                (2, "1R – 4L", "60 mm"),
            ],
            &[
                (2, "1L – 4R on paper", "7 mm"),
                (2, "1L – 4R", "70 mm"),
                (2, "1R – 4L on paper", "7 mm"),
                (2, "1R – 4L", "70 mm"),
            ],
        ]);
        let labels: Vec<&str> = found.groups.iter().map(|group| group.label.as_str()).collect();
        assert_eq!(labels, ["on paper, mm", "mm"]);
        assert_eq!(found.groups[1].columns[1].label, "1R – 4L");
    }

    #[test]
    fn the_question_with_the_longest_answers_can_be_left_out_and_that_is_said() {
        let sheet: &[_] = &[(1, "1L difference", "+1234"), (2, "action", "none")];
        let other: &[_] = &[(1, "1L difference", "+1235"), (2, "action", "move")];
        let keys = [key(1, sheet), key(2, other)];
        let keys: Vec<&AnswerKey> = keys.iter().collect();
        assert_eq!(Columns::of(&keys, &[], false).longest_question(), Some(1));
        let left = Columns::of(&keys, &[1], false);
        assert_eq!(left.notes, ["Question 1: see the answers of each sheet."]);
        assert_eq!((shown(&left).len(), left.longest_question()), (1, None));
    }
}

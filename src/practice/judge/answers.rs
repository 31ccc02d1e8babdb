//! The questions on a form, their answers, and wrong ones.

use super::case::{Case, Next};
use crate::{
    practice::{Question, WrongAnswer},
    survey::Verdict,
};

/// Said where nothing is to be done.
const NOTHING: &str = "nothing: it is in order";

/// Said where no row is meant.
const NONE: &str = "none";

impl Case<'_> {
    pub fn questions(&self) -> Vec<Question> {
        vec![
            self.rows_asked(Verdict::Outside, 2),
            self.rows_asked(Verdict::Undecided, 2),
            self.whole_asked(),
            self.next_asked(),
        ]
    }

    fn rows_asked(&self, verdict: Verdict, points: usize) -> Question {
        let rows = self.rows_that_are(verdict);
        let word = verdict.word();
        Question::new(
            format!("Which rows are {word}? Write their numbers, or “none”."),
            points,
        )
        .lines(1)
        .worked(self.worked_rows(&rows, verdict))
        .answer(format!("rows {word}"), numbers(&rows))
    }

    fn worked_rows(&self, rows: &[usize], verdict: Verdict) -> Vec<String> {
        if rows.is_empty() {
            return vec!["None.".to_owned()];
        }
        let ruling = self.ruling();
        let whole = |mm: f64| ruling.given(mm);
        let line = |&row: &usize| {
            let off = self.differences[row].unwrap_or(0.0);
            let limit = self.rows[row].limit;
            let [low, high] = [limit - self.guard, limit + self.guard];
            let bounds = if verdict == Verdict::Outside {
                format!("{} is more than {}", whole(off.abs()), whole(high))
            } else {
                format!(
                    "{} lies between {} and {}",
                    whole(off.abs()),
                    whole(low),
                    whole(high)
                )
            };
            let [limit, guard] = [limit, self.guard].map(whole);
            let sum = if verdict == Verdict::Outside {
                format!("{limit} + {guard}")
            } else {
                format!("{limit} − {guard} and {limit} + {guard}")
            };
            format!(
                "Row {}: difference {}; {bounds} ({sum}): {}.",
                row + 1,
                ruling.signed(off),
                verdict.word()
            )
        };
        rows.iter().map(line).collect()
    }

    fn whole_asked(&self) -> Question {
        let words = [Verdict::Inside, Verdict::Undecided, Verdict::Outside];
        let right = words.iter().position(|one| *one == self.whole());
        let right = right.unwrap_or(0);
        let why = match self.next {
            Next::Nothing => "All rows are inside.",
            Next::Move(_) => "A mark lies off.",
            Next::Again(_) => "A reading is in doubt.",
            Next::Tape(_) => "A reading is missing.",
        };
        Question::new("The layout as a whole is:", 1)
            .worked([format!("{why} The layout is {}.", words[right].word())])
            .answer("layout", words[right].word())
            .one_of(words.map(|one| one.word().to_owned()).to_vec(), right)
    }

    fn next_asked(&self) -> Question {
        let options = self.options();
        let right = self.words(self.next);
        let at = options.iter().position(|option| *option == right);
        Question::new("What is done next?", 2)
            .worked([self.why()])
            .answer("next", right)
            .one_of(options, at.unwrap_or(0))
    }

    fn words(&self, next: Next) -> String {
        match next {
            Next::Nothing => NOTHING.to_owned(),
            Next::Move(mark) => format!("move {}", self.setting.plan.marks[mark].id),
            Next::Again(row) => format!("tape row {} again", row + 1),
            Next::Tape(row) => format!("tape row {}, not read yet", row + 1),
        }
    }

    /// The right one with others of every sort, in a fixed order.
    fn options(&self) -> Vec<String> {
        let mut marks: Vec<usize> = Vec::new();
        let mut again: Vec<usize> = Vec::new();
        match self.next {
            Next::Move(mark) => marks.push(mark),
            Next::Again(row) => again.push(row),
            Next::Nothing | Next::Tape(_) => {}
        }
        // Rows by how far they are off, and the marks at which they are read.
        let mut rows: Vec<usize> = (0..self.rows.len())
            .filter(|&row| self.differences[row].is_some())
            .collect();
        let off = |row: usize| self.differences[row].unwrap_or(0.0).abs();
        rows.sort_by(|&a, &b| off(b).total_cmp(&off(a)));
        for &row in &rows {
            let name = &self.rows[row].to;
            let mark = self
                .setting
                .plan
                .marks
                .iter()
                .position(|mark| mark.id == *name);
            if let Some(mark) = mark.filter(|mark| marks.len() < 2 && !marks.contains(mark)) {
                marks.push(mark);
            }
            if again.len() < 2 && !again.contains(&row) {
                again.push(row);
            }
        }
        marks.sort_unstable();
        again.sort_unstable();
        let mut options = vec![NOTHING.to_owned()];
        options.extend(marks.into_iter().map(|mark| self.words(Next::Move(mark))));
        options.extend(again.into_iter().map(|row| self.words(Next::Again(row))));
        let blank = self.differences.iter().position(Option::is_none);
        options.extend(blank.map(|row| self.words(Next::Tape(row))));
        options
    }

    fn why(&self) -> String {
        let outside = self.rows_that_are(Verdict::Outside);
        match self.next {
            Next::Nothing => "All rows are inside, and all are read.".to_owned(),
            Next::Move(mark) => format!(
                "Rows {} are outside; {} is the one mark that all of them share.",
                numbers(&outside),
                self.setting.plan.marks[mark].id
            ),
            Next::Again(row) if outside.is_empty() => format!(
                "No row is outside and all are read; row {} is undecided.",
                row + 1
            ),
            Next::Again(row) => format!(
                "Row {} alone is outside: the other rows say that its marks are where they should be.",
                row + 1
            ),
            Next::Tape(row) => format!("No row is outside; row {} has no reading.", row + 1),
        }
    }

    pub fn wrong(&self) -> Vec<WrongAnswer> {
        let mut wrong = Vec::new();
        let mut add = |answer: String, meaning: &str| wrong.push(WrongAnswer::new(answer, meaning));
        let beyond: Vec<usize> = (0..self.rows.len())
            .filter(|&row| {
                self.differences[row].is_some_and(|off| off.abs() > self.rows[row].limit)
            })
            .collect();
        if beyond != self.rows_that_are(Verdict::Outside) {
            add(
                format!("outside: rows {}", numbers(&beyond)),
                "The guard band was left out: a tape is not sure enough so near to the limit.",
            );
        }
        match self.next {
            Next::Again(row) if self.verdict(row) == Some(Verdict::Outside) => add(
                format!("move {}", self.rows[row].to),
                "One row alone says that the mark lies off; its other rows say that it does not.",
            ),
            Next::Move(_) => add(
                "tape a row again".to_owned(),
                "Several rows say the same of one mark: these readings are right.",
            ),
            _ => {}
        }
        if self.next != Next::Nothing {
            add(
                NOTHING.to_owned(),
                "The layout is in order when every row of the form is read and inside.",
            );
        }
        wrong
    }
}

/// Numbers of rows: "3, 7", or "none".
fn numbers(rows: &[usize]) -> String {
    if rows.is_empty() {
        return NONE.to_owned();
    }
    let names: Vec<String> = rows.iter().map(|row| (row + 1).to_string()).collect();
    names.join(", ")
}

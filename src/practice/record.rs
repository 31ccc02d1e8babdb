//! Check the record: a customer's record with something missing or wrong on it.
//!
//! | level | faults | which they may be |
//! |---|---|---|
//! | 1 | one | a line that is empty |
//! | 2 | two | one empty, one that its own numbers or dates show |
//! | 3 | three | one empty, two that numbers or dates show |
//! | 4 | four | one empty, one that numbers show, two that only other lines show |
//!
//! Names, orders and times are invented, of a municipal workshop; the vehicle, the layout and its readings are the sheet's own, with
//! the limits of the short check plan. Each fault stands on one line and has one remedy of the list, and the sheet says how
//! many there are. The faultless record is made first, so that nothing else can be wrong.

mod fault;
mod lines;
#[cfg(test)]
mod tests;

use fault::Fault;
use lines::{Line, Paper};

use super::{Block, Cell, Exercise, PracticeError, Question, Scoring, WrongAnswer, lot::Lot};

/// Said where a line of the record is empty.
const EMPTY: &str = "–";

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] where the layout has too few readings of a tape for a record.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let mut paper = Paper::draw(lot.setting, &mut lot.draw)
        .ok_or("the short check plan of this layout has too few readings of a tape for a record")?;
    let faults = Fault::draw(lot.level, &mut lot.draw);
    let found: Vec<(Fault, Line)> = faults
        .iter()
        .map(|fault| (*fault, fault.plant(&mut paper, &mut lot.draw)))
        .collect();
    let given = vec![Block::text(task(faults.len())), table(&paper)];
    let questions = vec![which(&paper, &found), remedies(&faults)];
    Ok(lot.exercise(given, questions, wrong(&faults)))
}

fn task(faults: usize) -> String {
    let count = ["no", "one", "two", "three", "four"][faults.min(4)];
    let (s, are) = if faults == 1 {
        ("", "is")
    } else {
        ("s", "are")
    };
    format!(
        "This record is to go to the customer's file today. There {are} {count} fault{s} on it: an empty line (–) that has to be filled, \
         or a line that cannot stand as it is. Each fault is on a line of its own. The line of the order is right; so are “should \
         be”, “read” and “limit” of what was taped, and all times of day. off = read − should be; a reading is inside when it is off by its \
         limit or less."
    )
}

fn table(paper: &Paper) -> Block {
    let rows = (1..)
        .zip(paper.lines())
        .map(|(number, (label, text)): (usize, _)| {
            vec![
                Cell::given(number.to_string()),
                Cell::given(label),
                Cell::given(if text.is_empty() {
                    EMPTY.to_owned()
                } else {
                    text
                }),
            ]
        });
    Block::table(["line", "of", "what the record says"], rows)
}

fn which(paper: &Paper, found: &[(Fault, Line)]) -> Question {
    let number = |line: Line| paper.number(line);
    let mut right: Vec<usize> = found.iter().map(|(_, line)| number(*line) - 1).collect();
    right.sort_unstable();
    let mut worked: Vec<(usize, String)> = found
        .iter()
        .map(|(fault, line)| (number(*line), fault.why(paper, number(*line))))
        .collect();
    worked.sort();
    let names: Vec<String> = right.iter().map(|at| (at + 1).to_string()).collect();
    let options = (1..=paper.lines().len()).map(|line| line.to_string());
    Question::new("Which lines are wrong or missing?", 2 * found.len())
        .scored(Scoring::LessEach {
            what: "tick or missing tick",
        })
        .worked(worked.into_iter().map(|(_, why)| why))
        .answer("lines", names.join(", "))
        .any_of(options.collect(), right)
}

fn remedies(faults: &[Fault]) -> Question {
    let options = fault::REMEDIES.map(|(letter, words)| format!("{letter}: {words}"));
    let mut right: Vec<usize> = faults.iter().map(|fault| fault.remedy()).collect();
    right.sort_unstable();
    right.dedup();
    let letters: Vec<&str> = right.iter().map(|&at| fault::REMEDIES[at].0).collect();
    Question::new(
        "What has to be done before the record goes to the file? One thing for each fault.",
        2 * faults.len(),
    )
    .scored(Scoring::LessEach {
        what: "tick or missing tick",
    })
    .answer("to be done", letters.join(", "))
    .any_of(options.to_vec(), right)
}

fn wrong(faults: &[Fault]) -> Vec<WrongAnswer> {
    let mut wrong = vec![WrongAnswer::new(
        "the empty line was filled in from memory",
        "What was not done or not written down at the time is done now, or the vehicle stays.",
    )];
    wrong.extend(faults.iter().filter_map(|fault| fault.misread()));
    wrong
}

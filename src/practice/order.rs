//! Order of work: the steps of setting out, and what comes before and after them, put in order.
//!
//! | level | items | more |
//! |---|---|---|
//! | 1 | 5 | the perpendicular way |
//! | 2 | 7 | either way |
//! | 3 | 9 | either way |
//! | 4 | 12, from the beginning | two wrong items to cross out; which check follows a step, and what the tape then reads |
//!
//! There is one right order, because the items are drawn from a chain in which each needs the one before: see
//! `chain`. What could be done in any order among itself, such as two stations or both sides, is one item.

mod chain;
mod check;
#[cfg(test)]
mod tests;

use self::{
    chain::{Item, WRONG, chain},
    check::check_question,
};
use super::{
    Block, Cell, Draw, Exercise, Level, PracticeError, Question, Scoring, WrongAnswer,
    layout::Drawn, lot::Lot,
};
use crate::survey::{SettingOutSteps, Way};

/// Items of levels 1 to 4; a chain that is shorter gives all it has. Both ways of setting out have twelve, so that sheets
/// are worth the same.
const ITEMS: [usize; 4] = [5, 7, 9, 12];

/// What stands for the number of an item that is crossed out.
const CROSSED_OUT: &str = "X";

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout has too few steps for the first level.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let ruling = lot.ruling();
    let draw = &mut lot.draw;
    let drawn = Drawn::new(lot.setting, draw)?;
    let steps = SettingOutSteps::of(&drawn.plan, &lot.setting.precision, lot.setting.inches);
    let way =
        if lot.level.number() > 1 && chain::two_tape_sets_all(&drawn.plan, &steps) && draw.coin() {
            Way::TwoTape
        } else {
            Way::Perpendicular
        };
    let chain = part(chain(&drawn.plan, &steps, way), lot.level, draw);
    if chain.len() < ITEMS[0] {
        return Err("the layout has too few steps that need each other".into());
    }
    let list = List::shuffled(chain, lot.level, draw);
    let mut questions = vec![list.question(way)];
    if lot.level.number() == 4 {
        for _ in 0..2 {
            questions.extend(check_question(
                &drawn.plan,
                steps.way(way),
                &questions,
                ruling,
                draw,
            ));
        }
    }
    let given = Block::text(format!(
        "The layout is set out by hand, {way}. Each step uses what an earlier one made or made sure of."
    ));
    Ok(lot.exercise(vec![given], questions, list.wrong()))
}

/// `count` items of a chain that follow on each other: so each needs one that stands on the sheet, and the reasons name no
/// other.
fn part(mut chain: Vec<Item>, level: Level, draw: &mut Draw) -> Vec<Item> {
    let count = level.of(ITEMS);
    let spare = chain.len().saturating_sub(count);
    let first = match level.number() {
        // The whole work, from the beginning.
        4 => 0,
        _ => draw.whole(0, spare as i64) as usize,
    };
    chain.drain(..first);
    chain.truncate(count);
    if let Some(item) = chain.first_mut().filter(|_| first > 0) {
        "all others here need what it makes.".clone_into(&mut item.reason);
    }
    chain
}

/// An item where it stands in the list.
struct Row {
    text: String,
    reason: String,
    /// Its number in the right order, from 1; `None` for a wrong one.
    place: Option<usize>,
}

/// The shuffled list.
struct List(Vec<Row>);

impl List {
    fn shuffled(chain: Vec<Item>, level: Level, draw: &mut Draw) -> Self {
        let right = (1..).zip(chain).map(|(place, item)| Row {
            text: item.text,
            reason: item.reason,
            place: Some(place),
        });
        let mut rows: Vec<Row> = right.collect();
        if level.number() == 4 {
            let mut wrong = WRONG;
            draw.shuffle(&mut wrong);
            rows.extend(wrong[..2].iter().map(|(text, reason)| Row {
                text: (*text).into(),
                reason: (*reason).into(),
                place: None,
            }));
        }
        let in_order = |rows: &[Row]| rows.iter().filter_map(|row| row.place).is_sorted();
        // A list that comes out in order as drawn asks for nothing.
        while in_order(&rows) {
            draw.shuffle(&mut rows);
        }
        Self(rows)
    }

    fn answer(row: &Row) -> String {
        row.place
            .map_or_else(|| CROSSED_OUT.to_owned(), |place| place.to_string())
    }

    fn has_wrong(&self) -> bool {
        self.0.iter().any(|row| row.place.is_none())
    }

    fn question(&self, way: Way) -> Question {
        let cross = format!(
            " Two of them are wrong: write {CROSSED_OUT} instead of a number and cross them out."
        );
        let cross = if self.has_wrong() { cross.as_str() } else { "" };
        let name = match way {
            Way::TwoTape => "two-tape way",
            Way::Perpendicular => "perpendicular way",
        };
        let lines = || (0..).map(letter).zip(&self.0);
        let rows = lines().map(|(letter, row)| {
            let [letter, text] = [letter, row.text.clone()].map(Cell::Given);
            vec![letter, text, Cell::Blank(Self::answer(row))]
        });
        let text = format!(
            "In which order is this done ({name})? Number the lines, 1 comes first.{cross}"
        );
        Question::new(text, self.0.len())
            .scored(Scoring::Following)
            .block(Block::table(["", "What is done", "Number"], rows))
            .worked(self.reasons())
            .answers(
                lines().map(|(letter, row)| (format!("line {letter}"), Self::answer(row).into())),
            )
    }

    fn reasons(&self) -> Vec<String> {
        let mut sorted: Vec<(usize, &Row)> = self.0.iter().enumerate().collect();
        sorted.sort_by_key(|(_, row)| row.place.unwrap_or(usize::MAX));
        let line = |(index, row): (usize, &Row)| {
            format!("{} ({}): {}", Self::answer(row), letter(index), row.reason)
        };
        sorted.into_iter().map(line).collect()
    }

    /// Neighbours of the right order the wrong way round: what it costs is the later one's reason.
    fn wrong(&self) -> Vec<WrongAnswer> {
        let at = |place: usize| self.0.iter().position(|row| row.place == Some(place));
        let pairs = (1..).map_while(|place| Some((at(place)?, at(place + 1)?)));
        let mut wrong: Vec<WrongAnswer> = pairs
            .map(|(first, second)| {
                let answer = format!("{} before {}", letter(second), letter(first));
                WrongAnswer::new(answer, format!("forgot: {}", self.0[second].reason))
            })
            .collect();
        if self.has_wrong() {
            wrong.push(WrongAnswer::new(
                "a number on a wrong line",
                "took a habit for a step: the worked answer says what it costs",
            ));
        }
        wrong
    }
}

/// `a`, `b` … of a line; no list has more than 26.
fn letter(index: usize) -> String {
    char::from(b'a' + index as u8).to_string()
}

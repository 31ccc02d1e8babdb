//! In the bay: the questions of the form on the real grid, with one's own tape.
//!
//! | level | to be taped | diagonals |
//! |---|---|---|
//! | 1 | the sides and ends of four corners | those of the four corners |
//! | 2 | the short check plan, marks alone | the longest two that mirror each other |
//! | 3 | the short check plan, from the wheels as well | the same |
//! | 4 | the full check plan | the same |
//!
//! A form of more than about 15 rows takes two pages: every row has room for a hand.
//!
//! Nothing is drawn: the sheet is about the layout as it is, so all sheets of a set are the same, and so is their key. The key has
//! ranges, plan ± limit, since the floor is not known here; what the trainee makes of the readings the teacher judges by the
//! rule that stands in the key. Limits are those of the check plan; of level 1 and of the diagonals the tolerance of the marks.

mod rows;
#[cfg(test)]
mod tests;

use rows::{Row, diagonals, rows};

use super::{
    Block, Cell, Exercise, PracticeError, Question, Ruling, Scoring, Value, asked::Asked, lot::Lot,
};

/// Said in the key where only the trainee's own readings say it.
const BY_READINGS: &str = "by the trainee's own readings";

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] at level 1 where the layout has no rectangle of four marks, at the others where its check plan has no such
/// reading.
pub(super) fn exercise(lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let (setting, level, ruling) = (lot.setting, lot.level, lot.ruling());
    let rows = rows(setting, level)?;
    let pair = diagonals(setting, level);
    let given = vec![Block::text(task(level.number(), ruling))];
    let mut questions = vec![taped(&rows, ruling)];
    questions.extend(pair.map(|pair| both(&pair, ruling)));
    questions.extend([beyond(), next(ruling)]);
    Ok(lot.exercise(given, questions, Vec::new()))
}

fn task(level: u8, ruling: Ruling) -> String {
    let wheels = if level >= 3 {
        " WFL, WFR, WRL, WRR: plumb the tyres' outer faces below the wheel centres, front and rear, left and right."
    } else {
        ""
    };
    let strings = if level >= 2 {
        " “on it”: the mark should lie on the string; read how far it lies off, left of the string +, right −, looking along it from its \
         first end."
    } else {
        ""
    };
    format!(
        "For the grid on the floor of your own bay, laid by the overview of this layout. Two people, a tape, a string, a pencil. Hold \
         the zero of the tape on the first mark and read at the second, in {}.{wheels}{strings} Below the body tape and \
         string are pushed through with a rod; nobody reaches below it. Vehicle chocked, keys with one person; strings are trip hazards.",
        ruling.grain()
    )
}

fn taped(rows: &[Row], ruling: Ruling) -> Question {
    let mut asked = Asked::default();
    for (number, row) in (1..).zip(rows) {
        let [reading, difference] = row.ranges(ruling);
        let cells = vec![
            Cell::given(number.to_string()),
            Cell::on_one_line(&row.from),
            Cell::given(&*row.to),
            Cell::on_one_line(row.plan_text(ruling)),
            Cell::on_one_line(format!("± {}", ruling.given(row.limit))),
            asked.blank(format!("row {number} reading"), unit(&reading, ruling)),
            asked.blank(
                format!("row {number} difference"),
                unit(&difference, ruling),
            ),
        ];
        asked.row(cells);
    }
    let columns = ["row", "from", "to"].map(str::to_owned).into_iter();
    let columns =
        columns.chain(["plan", "limit", "reading", "difference"].map(|what| ruling.column(what)));
    let mut question = asked.question(
        "Tape the rows. Write the reading, and the difference = reading − plan with its sign.",
        columns,
    );
    question.worked = vec![format!(
        "Ranges hold when the layout is right: plan ± limit. A reading outside its range is right as well where the teacher's own tape \
         reads the same within {}; the difference belongs to the trainee's own reading.",
        ruling.length(ruling.pick(2.0, 2.0 * ruling.step()))
    )];
    question
}

/// A range with its unit.
fn unit(range: &str, ruling: Ruling) -> String {
    format!("{range} {}", ruling.unit())
}

fn both(pair: &[Row; 2], ruling: Ruling) -> Question {
    let mut asked = Asked::default();
    for row in pair {
        let [reading, _] = row.ranges(ruling);
        let name = format!("{} to {}", row.from, row.to);
        let cells = vec![
            Cell::on_one_line(&name),
            Cell::on_one_line(row.plan_text(ruling)),
            Cell::on_one_line(format!("± {}", ruling.given(row.limit))),
            asked.blank(name, unit(&reading, ruling)),
        ];
        asked.row(cells);
    }
    let limit = pair[0].limit + pair[1].limit;
    let difference = format!(
        "0 to {} {}",
        ruling.whole((limit / ruling.step() + 1e-6).floor() * ruling.step()),
        ruling.unit()
    );
    let cells = vec![
        Cell::given("difference of the two"),
        Cell::given("0"),
        Cell::on_one_line(ruling.given(limit)),
        asked.blank("difference of the diagonals", difference),
    ];
    asked.row(cells);
    asked.worked = vec![format!(
        "Each may be off by {}, so the two may differ by {} at most; a grid that is square has both alike.",
        ruling.given(pair[0].limit),
        ruling.given(limit)
    )];
    asked.question(
        "Tape both long diagonals. By how much do they differ?",
        [
            "diagonal".to_owned(),
            ruling.column("plan"),
            ruling.column("limit"),
            ruling.column("reading"),
        ],
    )
}

fn beyond() -> Question {
    Question::new(
        "Which rows differ by more than their limit, and which mark do they share? Write the rows and the mark, or “none”.",
        2,
    )
    .lines(2)
    .worked(
        [
            "A row counts when its difference without the sign is more than its limit. A mark is named when two or more of \
             these rows share it and the other rows of their other ends are within their limits. None where all are within: judged by the \
             trainee's own readings of question 1."
                .to_owned(),
        ],
    )
    .answer("rows and marks beyond the limit", BY_READINGS)
}

fn next(ruling: Ruling) -> Question {
    let rule = format!(
        "One row alone: tape it again before anything is moved; it counts as before when the second reading is within {} of the first. \
         Two or more rows that share a mark: move that mark, then tape all its rows again. All rows within, but the diagonals not: tape the \
         sides and ends again. Nothing beyond: the layout is in order, sign the form.",
        ruling.length(ruling.pick(2.0, 2.0 * ruling.step()))
    );
    Question::new("What do you do next? Say why.", 2)
        .lines(2)
        .scored(Scoring::parts([(1, "the step"), (1, "the reason")]))
        .worked([rule])
        .answer("the step", Value::from(BY_READINGS))
        .answer("the reason", Value::from(BY_READINGS))
}

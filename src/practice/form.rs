//! Fill in the form: readings of the short check plan, from pictures of a tape.
//!
//! | level | rows | how the tape is held | beyond the limit |
//! |---|---|---|---|
//! | 1 | 4 | by its hook | one row |
//! | 2 | 5 | by its hook | one row |
//! | 3 | 5 | at 100 mm (at 1 in), which is taken off every reading | two rows |
//! | 4 | 6 | each row its own way: by its hook, at 100 mm (at 1 in), by a bent hook that reads too much, by its hook with two people reading | two rows |
//!
//! Rows, planned lengths and limits are those of the real form: the short check plan of the layout as it is. What is read is
//! drawn: every row differs, and no difference is as large as its limit, so that a reading one graduation off does not turn
//! an answer.

mod row;
#[cfg(test)]
mod tests;

use row::{Hold, Row, rows};

use super::{
    Block, Cell, Exercise, PracticeError, Question, Ruling, Scoring, TapePicture, WrongAnswer,
    asked::Asked, lot::Lot,
};

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] where the check plans of the layout have too few readings of a tape.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let (setting, level, ruling) = (lot.setting, lot.level, lot.ruling());
    let rows = rows(setting, level, &mut lot.draw)
        .ok_or("the check plans of this layout have too few readings of a tape for a form")?;
    let tapes = rows
        .iter()
        .flat_map(|row| row.pictures(ruling, &mut lot.draw))
        .collect();
    let given = vec![
        Block::text(how(&rows, level.number(), ruling)),
        TapePicture::block(tapes),
    ];
    let questions = vec![fill(&rows, ruling), beyond(&rows, ruling)];
    Ok(lot.exercise(given, questions, wrong(&rows, ruling)))
}

/// What stands above the tapes.
fn how(rows: &[Row], level: u8, ruling: Ruling) -> String {
    let tape = ruling.pick(
        "Each arrow shows what is read on the tape. Every line of the tape is 1 mm; the large number counts cm, the small one \
         below it metres. The form is in mm: 4 m and 31 cm and 7 mm are 4317.",
        "Each arrow shows what is read on the tape. Every line of the tape is 1/16 in; the large number counts inches from the \
         end of the tape, the small one below it feet and inches. The form is in inches, not in feet.",
    );
    let held = match level {
        1 | 2 => "The hook of the tape is held at the first mark.".to_owned(),
        3 => format!(
            "The hook of this tape is worn. So its {} line is held at the first mark, in every row: take {} off each reading.",
            ruling.pick("100 mm", "1 in"),
            ruling.length(Hold::Line.too_much(ruling))
        ),
        _ => format!(
            "“held at” says how the tape is held at the first mark. At its {line} line: take {line} off the reading. By the bent \
             hook: on a steel rule that tape reads {bent} too much; take {bent} off. Two people: write the mean of their readings.",
            line = ruling.length(Hold::Line.too_much(ruling)),
            bent = ruling.length(Hold::Bent.too_much(ruling))
        ),
    };
    let named = |what: &str| rows.iter().any(|row| row.from.starts_with(what));
    let (mut wheels, mut strings) = ("", "");
    if named("W") {
        wheels = " WFL, WFR, WRL, WRR: wheel marks, front and rear, left and right.";
    }
    if named("string") {
        strings = " “string”: it is stretched over two wheel marks along the tyres (W, front or rear, left or right), and the tape read \
             square from it.";
    }
    format!("{held} {tape}{wheels}{strings}")
}

fn fill(rows: &[Row], ruling: Ruling) -> Question {
    let mut asked = Asked::default();
    let holds = rows.iter().any(|row| row.hold != Hold::Hook);
    for row in rows {
        let mut cells = vec![
            Cell::given(row.number.to_string()),
            Cell::given(&*row.from),
            Cell::given(&*row.to),
        ];
        if holds {
            cells.push(Cell::given(row.hold.words(ruling)));
        }
        cells.extend([
            Cell::on_one_line(ruling.whole(row.plan)),
            Cell::on_one_line(format!("± {}", ruling.given(row.limit))),
        ]);
        cells.push(asked.blank(
            format!("row {} reading", row.number),
            ruling.answer(row.measured()),
        ));
        cells.push(asked.blank(
            format!("row {} difference", row.number),
            ruling.signed_answer(row.difference),
        ));
        asked.row(cells);
        asked.worked.push(row.worked(ruling));
    }
    let mut columns = vec!["row".to_owned(), "from".to_owned(), "to".to_owned()];
    if holds {
        columns.push("held at".to_owned());
    }
    columns.extend(["plan", "limit", "reading", "difference"].map(|what| ruling.column(what)));
    asked.question(
        "Fill in the form: the reading, and the difference = reading − plan, with its sign: + longer, − shorter.",
        columns,
    )
}

fn beyond(rows: &[Row], ruling: Ruling) -> Question {
    let options = rows.iter().map(|row| format!("row {}", row.number));
    let beyond = |row: &Row| row.difference.abs() > row.limit;
    let right: Vec<usize> = (0..rows.len()).filter(|&at| beyond(&rows[at])).collect();
    let names: Vec<String> = right
        .iter()
        .map(|&at| rows[at].number.to_string())
        .collect();
    let line = |&at: &usize| {
        let row = &rows[at];
        format!(
            "Row {}: {} is more than {}.",
            row.number,
            ruling.whole(row.difference.abs()),
            ruling.given(row.limit)
        )
    };
    Question::new(
        "Which rows differ by more than their limit and must be put right first?",
        2,
    )
    .scored(Scoring::LessEach {
        what: "tick or missing tick",
    })
    .worked(right.iter().map(line))
    .answer("rows beyond the limit", names.join(", "))
    .any_of(options.collect(), right)
}

fn wrong(rows: &[Row], ruling: Ruling) -> Vec<WrongAnswer> {
    let mut wrong = Vec::new();
    let mut add = |answer: String, meaning: &str| wrong.push(WrongAnswer::new(answer, meaning));
    let first = &rows[0];
    if ruling == Ruling::Metric {
        let cm = ruling.exact(first.measured() / 10.0);
        add(
            format!("row {}: {cm}", first.number),
            "The reading was written in cm; the form is in mm.",
        );
    }
    // At a line of 1 in, the next number and what is not taken off would be the same.
    let plain = |row: &&Row| row.hold != Hold::Line || ruling == Ruling::Metric;
    if let Some(row) = rows.iter().find(plain) {
        let next = row.measured() + ruling.pick(10.0, 16.0) * ruling.step();
        add(
            format!("row {}: {}", row.number, ruling.whole(next)),
            "The number to the right of the arrow was taken; the last number before the arrow counts.",
        );
    }
    add(
        format!("row {}: {}", first.number, ruling.signed(-first.difference)),
        "The sign was turned round; it is reading less plan.",
    );
    if let Some(row) = rows.iter().find(|row| row.hold == Hold::Line) {
        add(
            format!("row {}: {}", row.number, ruling.whole(row.read[0])),
            ruling.pick(
                "The 100 mm at which the tape is held were not taken off.",
                "The inch at which the tape is held was not taken off.",
            ),
        );
    }
    if let Some(row) = rows.iter().find(|row| row.hold == Hold::TwoPeople) {
        add(
            format!("row {}: {}", row.number, ruling.whole(row.read[0])),
            "One person's reading was taken and not the mean of both.",
        );
    }
    wrong
}

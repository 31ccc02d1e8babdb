//! Fill the table: stations, offsets, two-tape distances and diagonals from given numbers.
//!
//! | level | given | to compute |
//! |---|---|---|
//! | 1 | dimensions, rules of the layout | station and offset of two marks, 4 blanks (sums and halves) |
//! | 2 | the same | station and offset of every mark |
//! | 3 | stations and offsets | two-tape distances of up to 6 marks, one diagonal (Pythagoras) |
//! | 4 | dimensions, the tyre by its size code where the vehicle has one | all of these, the two-tape distances of up to 3 marks, both diagonals, proven by an identity |
//!
//! Answers are the plan's numbers in whole mm or in inches to 1/16. At level 1 free marks are given by how far along and
//! across they lie, so that nobody needs a sine.

#[cfg(test)]
mod tests;
mod working;
mod wrong;

use working::{Builder, marks_of_level};

use super::{
    Block, Exercise, PracticeError,
    layout::{Drawn, NO_SUMS, given},
    lot::Lot,
};

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout's numbers do not come out as sums of what is given, or when it has no mark beside the
/// centreline.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let level = lot.level;
    let ruling = lot.ruling();
    let drawn = Drawn::in_sums(lot.setting, level, &mut lot.draw)?;
    let relations = drawn
        .relations(&lot.setting.template, level)
        .ok_or(NO_SUMS)?;
    let marks = marks_of_level(&drawn.plan, level);
    if marks.is_empty() {
        return Err("the layout has no mark beside the centreline".into());
    }
    let code = drawn
        .vehicle
        .tyre
        .code
        .filter(|_| level.number() == 4 && !lot.setting.as_is && relations.uses("tyre width"));
    let mut builder = Builder::new(&drawn, &relations);
    match level.number() {
        1 | 2 => builder.places(&marks),
        3 => {
            builder.two_tape(6, &mut lot.draw);
            builder.diagonals(1);
        }
        _ => {
            if let Some(code) = code {
                builder.tyre(code);
            }
            builder.places(&marks);
            builder.two_tape(3, &mut lot.draw);
            if let Some(pair) = builder.diagonals(2) {
                builder.identity(pair);
            }
        }
    }
    let mut blocks = if level.number() == 3 {
        builder.given_places()
    } else {
        given(&drawn, &relations, code)
    };
    blocks.push(Block::Text(format!(
        "Answer in {}; a half is rounded away from zero. Go on with unrounded numbers.",
        ruling.grain()
    )));
    let wrong = builder.wrong(level);
    Ok(lot.exercise(blocks, builder.questions, wrong))
}

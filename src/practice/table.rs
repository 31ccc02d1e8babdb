//! Fill the table: stations, offsets, two-tape distances and diagonals from given numbers.
//!
//! | level | given | to compute |
//! |---|---|---|
//! | 1 | dimensions, rules of the layout | station and offset of two marks, 4 blanks (sums and halves) |
//! | 2 | the same | station and offset of every mark |
//! | 3 | stations and offsets | two-tape distances of up to 6 marks, one diagonal (Pythagoras) |
//! | 4 | dimensions, the tyre by its size code where the vehicle has one | all of these, the two-tape distances of up to 3 marks, both diagonals, proven by an identity |
//!
//! Answers are the plan's numbers in whole mm.

mod reckoning;
#[cfg(test)]
mod tests;
mod wrong;

use reckoning::{Builder, marks_of_level};

use super::{
    Block, Draw, Exercise, Kind, Level, PracticeError, Setting,
    layout::{Drawn, Relations, given},
};

const KIND: Kind = Kind::Table;

/// How answers are rounded.
const ROUNDING: &str =
    "Answer in whole mm; half a millimetre is rounded away from zero. Reckon on with unrounded numbers.";

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout's numbers do not come out as sums of what is given, or when it has no mark
/// beside the centreline.
pub fn exercise(setting: &Setting, level: Level, seed: u64, number: usize) -> Result<Exercise, PracticeError> {
    let unsound = |reason: &str| PracticeError::Unsound { kind: KIND, level, reason: reason.to_owned() };
    let drawn = Drawn::new(setting, &mut Draw::of_sheet(seed, KIND, level, number))?;
    let relations = Relations::new(&setting.template, &drawn)
        .ok_or_else(|| unsound("the layout's stations and offsets cannot be written as sums of its dimensions"))?;
    let marks = marks_of_level(&drawn.plan, level);
    if marks.is_empty() {
        return Err(unsound("the layout has no mark beside the centreline"));
    }
    let code = drawn.vehicle.tyre.code.filter(|_| level.number() == 4 && relations.uses("tyre width"));
    let mut draw = Draw::of_sheet(seed, KIND, level, number);
    let mut builder = Builder::new(&drawn, &relations);
    match level.number() {
        1 | 2 => builder.places(&marks),
        3 => {
            builder.two_tape(6, &mut draw);
            builder.diagonals(1);
        }
        _ => {
            if let Some(code) = code {
                builder.tyre(code);
            }
            builder.places(&marks);
            builder.two_tape(3, &mut draw);
            if let Some(pair) = builder.diagonals(2) {
                builder.identity(pair);
            }
        }
    }
    let mut blocks = if level.number() == 3 { builder.given_places() } else { given(&drawn, &relations, code) };
    blocks.push(Block::Text(ROUNDING.to_owned()));
    let wrong = builder.wrong(level);
    Ok(Exercise {
        given: blocks,
        questions: builder.questions,
        worked: builder.worked,
        wrong,
        facts: builder.facts,
        ..setting.sheet(KIND, level, seed, number)
    })
}

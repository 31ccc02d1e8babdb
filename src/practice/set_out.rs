//! Set out on paper: the layout about a vehicle on squared paper, with ruler and set square or with compasses.
//!
//! | level | marks | given |
//! |---|---|---|
//! | 1 | the four corners | dimensions and the layout's rules |
//! | 2 | the inner rail with all its stations, the centreline | the same |
//! | 3 | all | the same |
//! | 4 | all beside the centreline | two-tape distances alone, for compasses |
//!
//! A layout without four corners takes its base marks and its first two marks beside the centreline at level 1, and
//! counts half of its free marks to level 2.

mod scale;
mod tasks;
#[cfg(test)]
mod tests;

use super::{
    Block, Draw, Exercise, Level, PracticeError, Setting,
    layout::{Drawn, NO_SUMS, Relations, frame, given},
    lot::Lot,
};
use scale::{Sheet, marks_of_level};

/// How far a pencil mark may be off, mm on paper: what a ruler is read to.
const MARKING_MM: f64 = 0.5;

/// Layouts that are drawn until one fits; one that is small enough as it is set fits sooner.
const ATTEMPTS: usize = 20;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout fits at no scale, when marks lie too close together on the paper, or when its numbers
/// do not come out as sums of what is given.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let (drawn, marks, sheet) = fitting(lot.setting, lot.level, &mut lot.draw)?;
    let relations = Relations::new(&lot.setting.template, &drawn).ok_or(NO_SUMS)?;
    let compasses = lot.level.number() == 4;
    let mut blocks = if compasses {
        vec![Block::Text(frame(&drawn))]
    } else {
        given(&drawn, &relations, None)
    };
    blocks.push(Block::Text(format!(
        "Scale 1:{n}: 1 mm on paper is {n} mm on the floor. Paper to the nearest {MARKING_MM} mm (right within that), floor to whole mm, halves away from zero. In the figure 0 is the zero point.{tools}",
        n = sheet.n,
        tools = if compasses { "" } else { " Use ruler and set square." },
    )));
    let tasks = tasks::Tasks {
        drawn: &drawn,
        relations: &relations,
        sheet: &sheet,
        marks: &marks,
        compasses,
    };
    let first = if compasses {
        tasks.by_compasses()
    } else {
        tasks.by_set_square()
    };
    let questions = [first].into_iter().chain(tasks.diagonals()).collect();
    Ok(lot.exercise(blocks, questions, tasks.wrong()))
}

/// A drawn layout that fits a sheet, with the marks that are asked for.
fn fitting(
    setting: &Setting,
    level: Level,
    draw: &mut Draw,
) -> Result<(Drawn, Vec<usize>, Sheet), PracticeError> {
    let mut reason = String::new();
    for _ in 0..ATTEMPTS {
        let drawn = Drawn::new(setting, draw)?;
        let marks = marks_of_level(&drawn.plan, level);
        if marks.is_empty() {
            return Err("the layout has no mark beside the centreline".into());
        }
        match Sheet::new(&drawn.plan, &marks) {
            Ok(sheet) => return Ok((drawn, marks, sheet)),
            Err(fault) => reason = fault,
        }
    }
    Err(reason.into())
}

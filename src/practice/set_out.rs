//! Set out on paper: the layout about a vehicle on squared paper, with ruler and set square or with compasses.
//!
//! | level | marks | given |
//! |---|---|---|
//! | 1 | the four corners | dimensions and the layout's rules, without a sine |
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

use kurbo::Point;

use super::{
    Block, Draw, Exercise, Level, PracticeError, Ruling, Setting, Value,
    layout::{Drawn, NO_SUMS, frame, given},
    lot::Lot,
};
use crate::units::MM_PER_INCH;
use scale::{Sheet, marks_of_level};

/// How far a length on paper may be off: what a ruler is read to.
fn marking(ruling: Ruling) -> Value {
    ruling.pick(
        Value::decimals(0.5, 1, "mm"),
        Value::of(0.0625, "in", "1/16"),
    )
}

/// Layouts that are drawn until one fits; one that is small enough as it is set fits sooner.
const ATTEMPTS: usize = 20;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout fits at no scale, when marks lie too close together on the paper, or when its numbers
/// do not come out as sums of what is given.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let (drawn, marks, sheet) = fitting(lot.setting, lot.level, &mut lot.draw)?;
    let relations = drawn
        .relations(&lot.setting.template, lot.level)
        .ok_or(NO_SUMS)?;
    let compasses = lot.level.number() == 4;
    let mut blocks = if compasses {
        vec![Block::Text(frame(&drawn))]
    } else {
        given(&drawn, &relations, None)
    };
    let ruling = drawn.ruling;
    blocks.push(Block::Text(format!(
        "Scale 1:{n}: {}. Write the floor in {}, the paper to the nearest {}; a half is rounded away from zero. In the figure 0 is the zero point.{tools}",
        ruling.pick(
            format!("1 mm on paper is {} mm on the floor", sheet.n),
            format!("{} in on paper is 1 ft on the floor", ruling.whole(12.0 * MM_PER_INCH / f64::from(sheet.n))),
        ),
        ruling.grain(),
        marking(ruling),
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

/// True when sums and plan come to the same on paper: the plain numbers of level 1 are rounded.
fn agrees(setting: &Setting, level: Level, drawn: &Drawn, marks: &[usize], sheet: &Sheet) -> bool {
    let Some(relations) = drawn.relations(&setting.template, level) else {
        return false;
    };
    let by_sums = |mark: usize| {
        let sums = &relations.marks[mark];
        Point::new(sums.station.value(), sums.offset.value())
    };
    let places = marks.iter().flat_map(|&mark| {
        let (sums, at) = (by_sums(mark), drawn.plan.marks[mark].at);
        [(sums.x, at.x), (sums.y, at.y)]
    });
    let checks = drawn.plan.checks.iter();
    let between = checks.filter(|check| marks.contains(&check.from) && marks.contains(&check.to));
    let distances = between.map(|check| {
        let sums = by_sums(check.from).distance(by_sums(check.to));
        (sums, check.distance)
    });
    let ruling = drawn.ruling;
    places.chain(distances).all(|(sums, mm)| {
        sheet.paper(sums) == sheet.paper(mm) && ruling.whole(sums) == ruling.whole(mm)
    })
}

/// A drawn layout that fits a sheet, with the marks that are asked for.
fn fitting(
    setting: &Setting,
    level: Level,
    draw: &mut Draw,
) -> Result<(Drawn, Vec<usize>, Sheet), PracticeError> {
    let mut reason = String::new();
    for _ in 0..ATTEMPTS {
        let drawn = Drawn::in_sums(setting, level, draw)?;
        let marks = marks_of_level(&drawn.plan, level);
        if marks.is_empty() {
            return Err("the layout has no mark beside the centreline".into());
        }
        match Sheet::new(&drawn.plan, &marks, drawn.ruling) {
            Ok(sheet) if !agrees(setting, level, &drawn, &marks, &sheet) => {
                NO_SUMS.clone_into(&mut reason);
            }
            Ok(sheet) => return Ok((drawn, marks, sheet)),
            Err(fault) => reason = fault,
        }
    }
    Err(reason.into())
}

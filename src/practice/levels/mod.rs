//! Is the floor level? Heights at points of the floor, and what they say.
//!
//! | level | points | heights | asked |
//! |---|---|---|---|
//! | 1 | four corners of the needed floor, a rectangle with sides of whole half metres | a plane that falls in one direction | slope along and across, percent, the low side |
//! | 2 | the same | a plane that falls in both | slope along and across, the greatest slope, percent, the low corner |
//! | 3 | four marks of the layout, else the same corners | staff readings, which grow as the floor falls, each up to 1 mm beside the plane | the same, and whether the floor is within its limit |
//! | 4 | six points: the corners, and the middle of each long side | a plane in both directions, one point 6 to 15 mm beside it | the point, how far, and the slopes of the rest |
//!
//! Answers are those of [`Plane`](crate::survey::Plane), [`WheelStance`](crate::survey::WheelStance) and
//! [`FloorAssessment`](crate::survey::FloorAssessment). For the corners of a rectangle the best plane has as its slope the difference of
//! the means of opposite sides, over their distance, so that a pocket calculator is enough.

mod answers;
mod case;
mod sheet;
#[cfg(test)]
mod tests;

use case::Case;

use super::{Exercise, PracticeError, lot::Lot};

/// Draws before a floor is given up; about every second one is sound.
const MOST_DRAWS: usize = 200;

/// Makes one exercise.
///
/// # Errors
/// [`PracticeError::Unsound`] where no heights are found whose answers are sure and not on the edge of rounding.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let case = (0..MOST_DRAWS)
        .find_map(|_| Case::draw(lot.setting, lot.level, &mut lot.draw))
        .ok_or("no heights of such a floor show clearly whether it is within its limits")?;
    Ok(lot.exercise(case.given(), case.questions(), case.wrong()))
}

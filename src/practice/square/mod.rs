//! Square or not: taped readings of a rectangle or of the whole grid, in which mistakes are planted.
//!
//! | level | marks and distances | mistakes | noise of a reading |
//! |---|---|---|---|
//! | 1 | a rectangle of four marks, all six distances | none, or one corner off by 40 to 80 mm | −1, 0 or 1 mm |
//! | 2 | a rectangle with two marks on its sides, all fifteen | none, or one: a mark off by 25 to 60 mm; a reading misread by 10 or 100 mm | −1, 0 or 1 mm |
//! | 3 | all marks, the full check plan | none, or one: a mark off by 25 to 60 mm; a station set 30 to 120 mm from its place; a reading misread by 10 or 100 mm, with digits exchanged, or in inches for centimetres | −1, 0 or 1 mm |
//! | 4 | all marks, a check plan coarse enough for a page, and distances from the wheel marks | none, one or two of these, or the grid turned by 0.3 to 0.8° against the vehicle | as tape and hand have it |
//!
//! Marks lie off along one direction only, which the sheet says: so that one reading tells how far. At levels 1 and 2 the bay is
//! empty, so that diagonals can be taped; at 3 and 4 the vehicle stands there, and no distance runs through a wheel.
//!
//! A sheet is sound when the judgement of the real work, [`assess`](crate::survey::assess), names on the readings as printed
//! exactly what was planted: see the module `proof`.

mod answers;
mod gauge;
mod ground;
mod mistake;
mod proof;
mod sheet;
#[cfg(test)]
mod tests;

use ground::{Ground, Pull};
use mistake::Mistake;
use proof::{Planted, Proof};

use super::{Draw, Exercise, Level, PracticeError, Setting, lot::Lot};

/// Draws before a layout is given up. One in two to one in five is sound.
const MOST_DRAWS: usize = 200;

/// A sound case.
struct Case<'a> {
    setting: &'a Setting,
    level: Level,
    ground: Ground,
    mistakes: Vec<Mistake>,
    readings: Vec<f64>,
}

/// Makes one exercise.
///
/// # Errors
/// [`PracticeError::Unsound`] where the layout has no rectangle, or no case is found that the adjustment tells surely.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let case = Case::draw(lot.setting, lot.level, &mut lot.draw)?;
    Ok(lot.exercise(case.given(), case.questions(), case.wrong()))
}

impl<'a> Case<'a> {
    fn draw(setting: &'a Setting, level: Level, draw: &mut Draw) -> Result<Self, String> {
        let unsure =
            || "the distances of this layout do not show clearly which mistake was made".to_owned();
        let precision = &setting.precision;
        let proof = Proof::on(Ground::of(setting, level, draw)?, precision).ok_or_else(unsure)?;
        let ground = &proof.ground;
        let grid = match ground.has_wheels() {
            true => Some(Proof::on(ground.in_itself(), precision).ok_or_else(unsure)?),
            false => None,
        };
        for _ in 0..MOST_DRAWS {
            let Some(mistakes) = Mistake::draw(ground, level, draw) else {
                continue;
            };
            let Some(readings) = mistake::readings(ground, &mistakes, precision, level, draw)
            else {
                continue;
            };
            let planted = Planted {
                mistakes: &mistakes,
                readings: &readings,
            };
            // The judgement takes far longer than the rest.
            let sound = gauge::readable(ground, planted)
                && proof.holds(planted)
                && grid
                    .as_ref()
                    .is_none_or(|grid| grid.holds_in_itself(planted));
            if sound {
                return Ok(Self {
                    setting,
                    level,
                    ground: proof.ground,
                    mistakes,
                    readings,
                });
            }
        }
        Err(unsure())
    }

    /// A distance that was taped.
    fn pull(&self, pull: usize) -> &Pull {
        &self.ground.pulls[pull]
    }

    /// The name of a mark.
    fn id(&self, mark: usize) -> &str {
        &self.ground.plan.marks[mark].id
    }

    /// Reading less what it should be, whole mm.
    fn difference(&self, pull: usize) -> f64 {
        self.readings[pull] - self.pull(pull).should
    }
}

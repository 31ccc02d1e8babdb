//! Square or not: taped readings of a rectangle or of the whole grid, in which mistakes are planted.
//!
//! | level | marks and distances | mistakes | noise of a reading |
//! |---|---|---|---|
//! | 1 | a rectangle of four marks, all six distances | one corner off by 40 to 80 mm | −1, 0 or 1 mm |
//! | 2 | a rectangle with two marks on its sides, all fifteen | one: a mark off by 25 to 60 mm; a reading misread by 10 or 100 mm | −1, 0 or 1 mm |
//! | 3 | all marks, the full check plan | one: a mark off by 25 to 60 mm; a station set 30 to 120 mm from its place; a reading misread by 10 or 100 mm, with digits exchanged, or on the wrong side of the tape | −1, 0 or 1 mm |
//! | 4 | all marks, a check plan coarse enough for a page, and distances from the wheel marks | two marks, a mark and a reading, a station, or the grid turned by 0.3 to 0.8° against the vehicle | as tape and hand have it |
//!
//! On one sheet in eight nothing is wrong, which the sheets say. In inches sizes are inches and quarters of about as much.
//! Levels 1 and 2 ask what the diagonals say of the corners, and what they do not say of marks between; level 4 has the
//! angle of a grid that is out of square as a whole.
//!
//! Marks lie off along one direction only, which the sheet says: so that one reading tells how far. At levels 1 and 2 the bay is
//! empty, so that diagonals can be taped; at 3 and 4 the vehicle stands there, and no distance runs through a wheel.
//!
//! A sheet is sound when the judgement of the real work, [`assess`](crate::survey::assess), names on the readings as printed
//! exactly what was planted: see the module `proof`.

mod answers;
mod diagonals;
mod gauge;
mod ground;
mod mistake;
mod proof;
mod sheet;
#[cfg(test)]
mod tests;

use diagonals::Sheared;
use ground::{Ground, Pull};
use mistake::Mistake;
use proof::{Planted, Proof};

use super::{Draw, Exercise, Level, PracticeError, Setting, lot::Lot};

/// Draws before a layout is given up. One in two to one in five is sound.
const MOST_DRAWS: usize = 200;

/// On one sheet in so many nothing is wrong.
const EMPTY_SHARE: usize = 8;
const EMPTY_SHARE_WORD: &str = "eight";

/// A sound case.
struct Case<'a> {
    setting: &'a Setting,
    level: Level,
    ground: Ground,
    mistakes: Vec<Mistake>,
    readings: Vec<f64>,
    /// A rectangle out of square as a whole, at level 4.
    sheared: Option<Sheared>,
}

/// Makes one exercise.
///
/// # Errors
/// [`PracticeError::Unsound`] where the layout has no rectangle, or no case is found that the adjustment tells surely.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let nothing = lot.one_in(EMPTY_SHARE);
    let case = Case::draw(lot.setting, lot.level, nothing, &mut lot.draw)?;
    Ok(lot.exercise(case.given(), case.questions(), case.wrong()))
}

impl<'a> Case<'a> {
    fn draw(
        setting: &'a Setting,
        level: Level,
        nothing: bool,
        draw: &mut Draw,
    ) -> Result<Self, String> {
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
            let mistakes = match nothing {
                true => Some(Vec::new()),
                false => Mistake::draw(ground, level, draw),
            };
            let Some(mistakes) = mistakes else {
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
                && diagonals::are_clear(ground, &mistakes, &readings)
                && proof.holds(planted)
                && grid
                    .as_ref()
                    .is_none_or(|grid| grid.holds_in_itself(planted));
            if sound {
                let sheared = (level.number() == 4).then(|| Sheared::draw(setting, draw));
                return Ok(Self {
                    sheared: sheared.flatten(),
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

    /// Reading less what it should be, mm.
    fn difference(&self, pull: usize) -> f64 {
        self.readings[pull] - self.pull(pull).should
    }
}

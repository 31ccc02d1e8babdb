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

use ground::Ground;
use mistake::Mistake;
use proof::{Proof, judged};

use crate::survey::{Assessment, Precision};

use super::{
    Draw, Exercise, Level, Setting,
    lot::{Lot, Refusal},
};

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
/// [`Refusal::Unsound`] where the layout has no rectangle, or no case is found that the adjustment tells surely.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, Refusal> {
    let case = Case::draw(lot.setting, lot.level, &mut lot.draw)?;
    Ok(lot.exercise(case.given(), case.questions(), case.wrong()))
}

/// The grid without the readings from the wheel marks, and the judgement on it without any error.
struct Grid {
    ground: Ground,
    faultless: Assessment,
}

impl Grid {
    /// `None` where its own readings do not hold it.
    fn of(ground: &Ground, precision: &Precision) -> Option<Self> {
        let ground = ground.in_itself();
        let exact: Vec<f64> = ground.pulls.iter().map(|pull| pull.should).collect();
        judged(&ground, &exact, precision).map(|faultless| Self { ground, faultless })
    }

    /// True when the readings between the marks alone tell the same as all together: nobody has to trust the wheel marks
    /// to see what is wrong with the grid.
    fn tells(&self, mistakes: &[Mistake], readings: &[f64], precision: &Precision) -> bool {
        let readings = &readings[..self.ground.pulls.len()];
        let mistakes: Vec<Mistake> = mistakes
            .iter()
            .filter(|one| !matches!(one, Mistake::Turned { .. }))
            .cloned()
            .collect();
        let proof = Proof {
            ground: &self.ground,
            mistakes: &mistakes,
            readings,
            faultless: &self.faultless,
        };
        judged(&self.ground, readings, precision).is_some_and(|found| proof.holds(&found))
    }
}

impl<'a> Case<'a> {
    fn draw(setting: &'a Setting, level: Level, draw: &mut Draw) -> Result<Self, String> {
        let ground = Ground::of(setting, level, draw)?;
        let unsure =
            || "the distances of this layout tell no mistake surely from another".to_owned();
        let exact: Vec<f64> = ground.pulls.iter().map(|pull| pull.should).collect();
        let faultless = judged(&ground, &exact, &setting.precision).ok_or_else(unsure)?;
        let grid = if ground.has_wheels() {
            Some(Grid::of(&ground, &setting.precision).ok_or_else(unsure)?)
        } else {
            None
        };
        for _ in 0..MOST_DRAWS {
            let Some(mistakes) = Mistake::draw(&ground, level, draw) else {
                continue;
            };
            let Some(readings) =
                mistake::readings(&ground, &mistakes, &setting.precision, level, draw)
            else {
                continue;
            };
            // The judgement takes far longer than the rest.
            if !gauge::readable(&ground, &mistakes, &readings) {
                continue;
            }
            let Some(found) = judged(&ground, &readings, &setting.precision) else {
                continue;
            };
            let proof = Proof {
                ground: &ground,
                mistakes: &mistakes,
                readings: &readings,
                faultless: &faultless,
            };
            let in_itself = || {
                grid.as_ref()
                    .is_none_or(|grid| grid.tells(&mistakes, &readings, &setting.precision))
            };
            if proof.holds(&found) && in_itself() {
                return Ok(Self {
                    setting,
                    level,
                    ground,
                    mistakes,
                    readings,
                });
            }
        }
        Err(unsure())
    }

    /// Reading less what it should be, whole mm.
    fn difference(&self, pull: usize) -> f64 {
        self.readings[pull] - self.ground.pulls[pull].should
    }
}

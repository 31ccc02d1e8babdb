//! Judge the layout: the filled form of the short check plan, row by row and as a whole, and what to do next.
//!
//! | level | differences | rows too near to their limits | guard band |
//! |---|---|---|---|
//! | 1 | given | none | given |
//! | 2 | given | one | given |
//! | 3 | to be worked out | one | given |
//! | 4 | to be worked out | two | worked out from the standard deviation of a reading |
//!
//! The rows are those of the real form, all of them, of the layout as it is. On every sheet one thing is to be done next: nothing, a
//! mark is moved, a reading taped again, or one taped that is missing on the form. Rows are judged by [`Verdict`], the rule of the
//! program. A sheet is sound when the judgement of the real work, [`assess`](crate::survey::assess), asks on the readings as
//! printed for what the key says, and when the rules that stand on the page lead there: see the modules `case` and `proof`.

mod answers;
mod case;
mod given;
mod proof;
mod row;
#[cfg(test)]
mod tests;

use case::{Case, Sort};

use super::{Draw, Exercise, Level, PracticeError, Setting, lot::Lot};

/// Draws of one sort, and how many of them are given to the judgement of the real work, before another sort is tried.
const MOST_DRAWS: usize = 60;
const MOST_JUDGED: usize = 4;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] where no readings are found whose judgement is sure.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let case = sound(lot.setting, lot.level, &mut lot.draw)
        .ok_or("the short check plan of this layout does not show clearly what to do next")?;
    Ok(lot.exercise(case.given(), case.questions(), case.wrong()))
}

/// A sound case; the sorts are tried in a random order, so that a class gets all of them.
fn sound<'a>(setting: &'a Setting, level: Level, draw: &mut Draw) -> Option<Case<'a>> {
    let mut sorts = Sort::ALL;
    draw.shuffle(&mut sorts);
    sorts.into_iter().find_map(|sort| {
        (0..MOST_DRAWS)
            .filter_map(|_| Case::draw(setting, level, sort, draw))
            .take(MOST_JUDGED)
            .find(Case::is_real)
    })
}

//! Is the print true to scale? A check square or the bars of the scale test are measured; what that means over the layout's
//! length, and what to do.
//!
//! | level | measured | asked |
//! |---|---|---|
//! | 1 | a check square, both ways alike: true, or fitted to the page | percent, how far off over the layout's length, what now |
//! | 2 | the same, or off by a printer's own error | the same, over length and width |
//! | 3 | bars along and across, which differ | percent of each, over length and width, what now |
//! | 4 | the same | also the diagonal |
//!
//! What counts as true is what sheet 0 lets pass, 0.5 mm in 100 mm; what is beyond the printer's own error is what a
//! profile refuses.

mod ask;
mod print;
#[cfg(test)]
mod tests;

use super::{
    Block, Exercise, PracticeError, Ruling, WrongAnswer,
    layout::{Drawn, picture},
    lot::Lot,
    ruling::in_decimals,
};
use crate::{paper::MOST_CORRECTED, units::mm_exact};
use ask::Sizes;
use print::Print;

/// Part of a length that a true print may be off: sheet 0 says 100 ± 0.5 mm.
const TRUE_PART: f64 = 0.005;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// None but those of the layout.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let level = lot.level.number();
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    let ruling = drawn.ruling;
    let print = Print::drawn(ruling, level, &mut lot.draw);
    let sizes = Sizes::of(&drawn);
    let mut blocks = vec![
        Block::text(
            "The stencils of this layout are printed. Before a sheet is laid, a steel rule is held to what shows the scale.",
        ),
        picture(&drawn.plan).block(),
        Block::Text(rules(&print, ruling)),
        Block::Text(sizes.words(ruling, level)),
    ];
    if ruling == Ruling::Inches {
        blocks.push(in_decimals(32));
    }
    let questions = vec![
        ask::scale(&print, ruling, level),
        ask::over(&print, &sizes, ruling, level),
        ask::what_now(&print, &mut lot.draw),
    ];
    let wrong = wrong(&print, ruling);
    Ok(lot.exercise(blocks, questions, wrong))
}

/// What is true, what is a printer's own error, what is a page that was fitted.
fn rules(print: &Print, ruling: Ruling) -> String {
    let off = TRUE_PART * print.side;
    let bound = ruling.pick(
        format!("{} mm", mm_exact(off, 2)),
        format!("{} in", ruling.decimals(off, 3)),
    );
    format!(
        "True to scale: within {} %, here within {bound} of {}. Further off by up to {} %: the printer's own error, which a profile of the printer makes good. By more than {} %: the page was scaled when it was printed, as “fit to page” does.",
        mm_exact(TRUE_PART * 100.0, 1),
        ruling.length(print.side),
        mm_exact(MOST_CORRECTED * 100.0, 1),
        mm_exact(MOST_CORRECTED * 100.0, 1),
    )
}

/// The usual slips with their numbers.
fn wrong(print: &Print, ruling: Ruling) -> Vec<WrongAnswer> {
    let off = print.side - print.measured[0];
    let percent = off / print.measured[0] * 100.0;
    vec![
        WrongAnswer::new(
            format!("off over the length by {}", ruling.length(off.abs())),
            "took what the short line is off for what the layout is off: the part counts, and it grows with the length",
        ),
        WrongAnswer::new(
            format!("{} %", mm_exact(100.0 + percent, 2)),
            "divided what should be by what was measured",
        ),
        WrongAnswer::new(
            "join the sheets and share the error out",
            "the error is in every sheet and not in the joints: marks stay off by as much as the print is",
        ),
    ]
}

//! How a kit's sheets lie, and why a kit cannot be made.

use super::long;
use crate::{
    cover::{Mode, SheetPlan},
    units::mm_exact,
};

/// How many sheets there are, and how few could do.
#[must_use]
pub fn laid_in_words(plan: &SheetPlan, inches: bool) -> String {
    let (count, paper) = (plan.sheets.len(), &plan.format.paper.name);
    if plan.mode == Mode::Keys {
        return format!(
            "{} on {} of {paper}",
            several(count, "key"),
            several(plan.pages, "page")
        );
    }
    match plan.roll {
        Some(roll) => format!(
            "{} of {paper}, {} of paper in all (by the layout's bare area at least {})",
            several(count, "strip"),
            long(roll.length, inches),
            long(roll.least, inches)
        ),
        None if plan.lower_bound == count => format!(
            "{} of {paper}, the fewest possible",
            several(count, "sheet")
        ),
        None => {
            let count = several(count, "sheet");
            format!(
                "{count} of {paper} (any placement needs at least {})",
                plan.lower_bound
            )
        }
    }
}

fn several(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// More sheets than anyone prints by accident.
#[must_use]
pub fn many_sheets(count: usize, most: usize) -> String {
    format!(
        "the layout takes {count} sheets, more than {most}: check the distances, or take a larger paper"
    )
}

/// A sheet is asked for that there is not.
#[must_use]
pub fn no_sheet(number: usize, last: usize) -> String {
    format!("there is no sheet {number}; the sheets of this job are 1 to {last}")
}

/// A floor of this size, mm, is too large for one page.
#[must_use]
pub fn single_page(width: f64, height: f64) -> String {
    format!(
        "the floor on one page would be {} × {} mm, more than any PDF page: take strips of a roll, or floor.svg",
        mm_exact(width, 0),
        mm_exact(height, 0)
    )
}

//! Why a kit cannot be made.

use crate::units::mm_exact;

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

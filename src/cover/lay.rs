//! From chosen cells to a plan of joined sheets.

use kurbo::Rect;

use super::{
    Content, Heading, Mode, SheetFormat, SheetPlan,
    joints::{Join, join},
};

/// A cell that a sheet of its own is to show.
#[derive(Clone, Debug)]
pub(crate) struct ChosenCell {
    /// The cell on the floor, mm.
    pub cell: Rect,
    /// How the page lies.
    pub heading: Heading,
}

/// Puts a sheet on every cell, a page each in the order of laying, which is the one given, and joins them. The
/// bound is left at the trivial one.
pub(crate) fn lay(
    cells: Vec<ChosenCell>,
    format: &SheetFormat,
    mode: Mode,
    content: &Content,
    which: Join,
) -> SheetPlan {
    let mut sheets: Vec<_> = cells
        .into_iter()
        .enumerate()
        .map(|(page, chosen)| format.sheet(chosen, page))
        .collect();
    let (joints, registration) = join(&mut sheets, format, content, which);
    let pages = sheets.len();
    SheetPlan {
        format: format.clone(),
        mode,
        sheets,
        joints,
        registration,
        pages,
        lower_bound: 1,
        roll: None,
    }
}

//! What of the floor a map shows, and in which pieces where its cells would be too small to name.

use kurbo::{Point, Rect};

use crate::{
    cover::{Mode, SheetPlan},
    sheets::shared::{Context, FloorArt},
};

/// What is seen of a laid sheet, on the floor or on the page.
#[derive(Clone, Copy)]
pub(super) struct Cell<'a> {
    pub area: Rect,
    /// The sheet's number; a key's mark.
    pub sheet: &'a str,
    /// What is written in it: nothing in a key's, since the mark's name stands beside it.
    pub label: &'a str,
}

/// What of each sheet is kept.
pub(super) fn floor_cells(sheets: &SheetPlan) -> Vec<Cell<'_>> {
    let label = |label| if sheets.mode == Mode::Keys { "" } else { label };
    let cells = sheets.sheets.iter().enumerate();
    cells
        .map(|(index, sheet)| Cell {
            area: sheets.kept_floor(index),
            sheet: &sheet.label,
            label: label(sheet.label.as_str()),
        })
        .collect()
}

/// The smallest floor rectangle about the vehicle, all sheets and all marks.
pub(super) fn whole_floor(context: &Context, art: &FloorArt, sheets: &SheetPlan) -> Rect {
    let with_sheets = floor_cells(sheets)
        .iter()
        .fold(context.plan.vehicle.body(), |all, cell| {
            all.union(cell.area)
        });
    art.marks
        .iter()
        .fold(with_sheets, |all, mark| all.union_pt(*mark))
}

/// Divides the floor, foremost pieces first and left before right, so that no cell is cut: each
/// goes to the piece that holds its middle, and a piece reaches as far as its cells. Pieces
/// without a cell and without a mark are left out.
pub(super) fn pieces_of<'a>(
    floor: Rect,
    (cells, marks): (&[Cell<'a>], &[Point]),
    along: usize,
    across: usize,
) -> Vec<(Rect, Vec<Cell<'a>>)> {
    let (length, width) = (floor.width() / along as f64, floor.height() / across as f64);
    let mut pieces = Vec::new();
    for (i, j) in (0..along).flat_map(|i| (0..across).map(move |j| (i, j))) {
        let part = Rect::from_origin_size(
            (
                floor.x1 - (i + 1) as f64 * length,
                floor.y1 - (j + 1) as f64 * width,
            ),
            (length, width),
        );
        let within: Vec<Cell> = cells
            .iter()
            .filter(|cell| part.contains(cell.area.center()))
            .copied()
            .collect();
        if !within.is_empty() || marks.iter().any(|&mark| shows(part, mark)) {
            pieces.push((
                within.iter().fold(part, |all, cell| all.union(cell.area)),
                within,
            ));
        }
    }
    pieces
}

/// True when a point lies on a part of the floor, its edge included.
pub(super) fn shows(floor: Rect, at: Point) -> bool {
    (floor.x0..=floor.x1).contains(&at.x) && (floor.y0..=floor.y1).contains(&at.y)
}

//! Seams: where one sheet's part of the floor ends and its neighbour's begins.
//!
//! A seam is the middle of the strip that a sheet and its neighbour both show. Sheets are trimmed
//! along it at the right and the bottom, and registration marks lie on it.

use kurbo::Rect;

use super::{Edge, PlacedSheet, SheetFormat};
use crate::plan::bounds;

/// The part of the page that a sheet's window takes, mm from the page's lower left corner.
pub(super) fn page_window(sheet: &PlacedSheet, format: &SheetFormat) -> Rect {
    // A turn by a quarter leaves corners some 1e-13 mm beyond the printable edge.
    shown(sheet, sheet).intersect(format.printable())
}

/// Where a sheet's seams lie on its page, in the order of [`Edge::ALL`]: x in mm at left and right,
/// y at top and bottom; `None` where no neighbour joins.
pub(super) fn seams(sheets: &[PlacedSheet], format: &SheetFormat, index: usize) -> [Option<f64>; 4] {
    let sheet = &sheets[index];
    let window = page_window(sheet, format);
    Edge::ALL.map(|edge| {
        let other = shown(&sheets[sheet.neighbour(edge)?], sheet);
        Some(match edge {
            Edge::Left => f64::midpoint(window.x0, other.x1),
            Edge::Right => f64::midpoint(window.x1, other.x0),
            Edge::Top => f64::midpoint(window.y1, other.y0),
            Edge::Bottom => f64::midpoint(window.y0, other.y1),
        })
    })
}

/// What of a window is neither trimmed away nor covered by a neighbour, mm on the page.
pub(super) fn kept(window: Rect, seams: [Option<f64>; 4]) -> Rect {
    let at = |edge: Edge, otherwise: f64| seams[edge as usize].unwrap_or(otherwise);
    Rect::new(
        at(Edge::Left, window.x0),
        at(Edge::Bottom, window.y0),
        at(Edge::Right, window.x1),
        at(Edge::Top, window.y1),
    )
}

/// The window of one sheet on the page of another.
fn shown(sheet: &PlacedSheet, page: &PlacedSheet) -> Rect {
    bounds(&sheet.window.map(|corner| page.floor_to_page * corner))
}

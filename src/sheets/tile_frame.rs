//! The edges of a full-scale sheet: printable window, seams with the neighbours, room between.

use kurbo::{Affine, Line, Rect, Vec2};

use crate::cover::{Edge, SheetPlan};

/// Distance in mm that lettering and outlines keep from a seam or the window's edge.
const CLEARANCE_MM: f64 = 1.2;

/// A sheet's edges on its page, mm.
#[derive(Clone, Debug)]
pub struct Frame {
    /// What the page may show.
    pub window: Rect,
    /// What is neither trimmed away nor covered by a neighbour, less a clearance: where lettering may
    /// stand.
    pub inner: Rect,
    /// Where the seams lie, in the order of [`Edge::ALL`]: x at left and right, y at top and bottom.
    pub seams: [Option<f64>; 4],
    /// Page mm per floor mm along the page's x and y: 1 without a printer correction.
    pub stretch: Vec2,
}

impl Frame {
    /// The frame of a sheet in its plan.
    #[must_use]
    pub fn of(sheets: &SheetPlan, index: usize) -> Self {
        Self {
            window: sheets.page_window(index),
            inner: sheets.kept(index).inset(-CLEARANCE_MM),
            seams: sheets.seams(index),
            stretch: stretch(sheets.sheets[index].floor_to_page),
        }
    }

    /// The seam at an edge, across the whole window, with the strip beyond it.
    #[must_use]
    pub fn seam(&self, edge: Edge) -> Option<(Line, Rect)> {
        let at = self.seams[edge as usize]?;
        let Rect { x0, y0, x1, y1 } = self.window;
        Some(match edge {
            Edge::Left => (Line::new((at, y0), (at, y1)), Rect::new(x0, y0, at, y1)),
            Edge::Right => (Line::new((at, y0), (at, y1)), Rect::new(at, y0, x1, y1)),
            Edge::Top => (Line::new((x0, at), (x1, at)), Rect::new(x0, at, x1, y1)),
            Edge::Bottom => (Line::new((x0, at), (x1, at)), Rect::new(x0, y0, x1, at)),
        })
    }
}

/// How much longer a floor length comes out along the page's x and y.
fn stretch(floor_to_page: Affine) -> Vec2 {
    let [a, b, c, d, ..] = floor_to_page.inverse().as_coeffs();
    Vec2::new(1.0 / a.hypot(b), 1.0 / c.hypot(d))
}

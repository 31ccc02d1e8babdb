//! The edges of a full-scale sheet: printable window, seams with the neighbours, room between.

use kurbo::{Line, Rect};

use crate::cover::{Edge, SheetPlan};

/// Distance in mm that lettering and outlines keep from a seam or the window's edge.
const CLEARANCE_MM: f64 = 1.2;

/// A sheet's edges, true mm from the page's lower left corner.
#[derive(Clone, Debug)]
pub struct Frame {
    /// What the page may show.
    pub window: Rect,
    /// What is neither trimmed away nor covered by a neighbour, less a clearance: where lettering may
    /// stand.
    pub inner: Rect,
    /// Where the seams lie, in the order of [`Edge::ALL`]: x at left and right, y at top and bottom.
    pub seams: [Option<f64>; 4],
}

impl Frame {
    /// The frame of a sheet in its plan.
    #[must_use]
    pub fn of(sheets: &SheetPlan, index: usize) -> Self {
        Self {
            window: sheets.page_window(index),
            inner: sheets.kept(index).inset(-CLEARANCE_MM),
            seams: sheets.seams(index),
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

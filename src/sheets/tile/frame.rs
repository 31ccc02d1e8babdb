//! The edges of a full-scale sheet: printable window, cuts, seams with other sheets, room between.

use kurbo::{Line, Rect};

use crate::cover::{Edge, Seam, SheetPlan};

/// Distance in mm that lettering and outlines keep from a seam or the window's edge.
const CLEARANCE_MM: f64 = 1.2;

/// A sheet's edges, true mm from the page's lower left corner.
#[derive(Clone, Debug)]
pub struct Frame {
    /// What the page may show.
    pub window: Rect,
    /// What is not trimmed away, less a clearance.
    pub kept: Rect,
    /// What is neither trimmed away nor hidden along a whole edge, less a clearance: where lettering
    /// may stand.
    pub inner: Rect,
    /// What sheets on top of this one hide.
    pub hidden: Vec<Rect>,
    /// Where the page is cut, from edge to edge of the window.
    pub cuts: Vec<(Edge, Line)>,
    /// Where other sheets join.
    pub seams: Vec<Seam>,
}

impl Frame {
    /// The frame of a sheet in its plan.
    #[must_use]
    pub fn of(sheets: &SheetPlan, index: usize) -> Self {
        let sheet = &sheets.sheets[index];
        let window = sheet.page_window();
        let depth = sheets.format.cut_depth();
        let cut_edges = Edge::ALL.into_iter().filter(|edge| sheet.is_cut(*edge));
        Self {
            window,
            kept: sheets.kept(index).inset(-CLEARANCE_MM),
            inner: sheets.visible(index).inset(-CLEARANCE_MM),
            hidden: sheets.hidden(index),
            cuts: cut_edges
                .map(|edge| (edge, edge.of(edge.cut(window, depth))))
                .collect(),
            seams: sheets.seams(index),
        }
    }

    /// The part of the window beyond a line at one of its edges, as long as the line.
    #[must_use]
    pub fn beyond(&self, edge: Edge, line: Line) -> Rect {
        let at = Rect::from_points(line.p0, line.p1);
        match edge {
            Edge::Left => Rect {
                x0: self.window.x0,
                ..at
            },
            Edge::Right => Rect {
                x1: self.window.x1,
                ..at
            },
            Edge::Top => Rect {
                y1: self.window.y1,
                ..at
            },
            Edge::Bottom => Rect {
                y0: self.window.y0,
                ..at
            },
        }
    }
}

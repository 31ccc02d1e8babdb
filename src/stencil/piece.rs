//! The finished stencil: pieces of material with what is cut and scored on each.

use kurbo::{BezPath, Line, Point, Rect};

use super::{CutNote, CutOptions, opening::Opening, outline::grown};

/// A stencil in pieces. Floor mm: x forward, y left.
#[derive(Clone, Debug)]
pub struct CutPlan {
    /// The whole mat on the floor.
    pub mat: Rect,
    /// Pieces, row by row from the left side of the vehicle, each row from the rear.
    pub pieces: Vec<Piece>,
    /// Rows and columns of pieces.
    pub grid: (usize, usize),
    /// The options it was made with.
    pub options: CutOptions,
    /// What could not be cut as wanted, and why.
    pub notes: Vec<CutNote>,
}

/// What one sheet of material becomes.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Running number from 1, row by row from the front, in each from left to right.
    pub label: String,
    /// Its row and column, from 0.
    pub cell: (usize, usize),
    /// Its place on the floor.
    pub area: Rect,
    /// Its finished outline with the notches, counter-clockwise.
    pub outline: Vec<Point>,
    /// What is cut out of it.
    pub openings: Vec<Opening>,
    /// What is scored on it, not cut through.
    pub scores: Vec<Line>,
}

impl Piece {
    /// The paths that go through the material, for the middle of a tool of `kerf` mm: first the
    /// openings, last the outline, so that the piece lies still while it is worked on.
    #[must_use]
    pub fn cut_paths(&self, kerf: f64) -> Vec<BezPath> {
        let mut paths: Vec<BezPath> = self
            .openings
            .iter()
            .map(|opening| opening.path(kerf / 2.0))
            .collect();
        let mut outline = BezPath::new();
        for (index, &corner) in grown(&self.outline, kerf / 2.0).iter().enumerate() {
            if index == 0 {
                outline.move_to(corner);
            } else {
                outline.line_to(corner);
            }
        }
        outline.close_path();
        paths.push(outline);
        paths
    }
}

impl CutPlan {
    /// The paths of all openings, without the outlines of pieces: what is cut out of printed sheets.
    #[must_use]
    pub fn opening_paths(&self) -> Vec<BezPath> {
        let openings = self.pieces.iter().flat_map(|piece| &piece.openings);
        openings
            .map(|opening| opening.path(self.options.kerf / 2.0))
            .collect()
    }
}

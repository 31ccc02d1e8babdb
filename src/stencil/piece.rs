//! The finished stencil: pieces of material with what is cut and scored on each.

use kurbo::{BezPath, Line};

use super::{
    Contour, CutNote, CutOptions, Joint, Load, opening::Opening, outline::grown, shape::Shape,
};

/// A stencil in pieces. Floor mm: x forward, y left.
#[derive(Clone, Debug)]
pub struct CutPlan {
    /// Pieces, from the front to the rear of the vehicle, then from left to right.
    pub pieces: Vec<Piece>,
    /// The joints of a frame; none of a field, whose pieces lie edge to edge.
    pub joints: Vec<Joint>,
    /// How the pieces lie on the bed.
    pub loads: Vec<Load>,
    /// The options it was made with.
    pub options: CutOptions,
    /// What could not be cut as wanted, and why.
    pub notes: Vec<CutNote>,
}

/// A coherent part of the stencil, cut in one.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Running number from 1, from the front, then from left to right.
    pub label: String,
    /// Its finished outline with tabs and notches.
    pub shape: Shape,
    /// What is cut out of it.
    pub openings: Vec<Opening>,
    /// What is scored on it, not cut through.
    pub scores: Vec<Line>,
    /// Names and ticks, scored.
    pub lettering: Vec<Contour>,
}

impl Piece {
    /// What goes through the material inside the outline, for the middle of a tool of `kerf` mm.
    #[must_use]
    pub fn inner_cuts(&self, kerf: f64) -> Vec<Contour> {
        let openings = self
            .openings
            .iter()
            .map(|opening| opening.contour(kerf / 2.0));
        let hollows = self.shape.holes.iter();
        openings
            .chain(hollows.map(|hole| Contour::of_polygon(&grown(hole, kerf / 2.0))))
            .collect()
    }

    /// The outline, for the middle of a tool of `kerf` mm. It is cut last, so that the piece lies still while it is worked on.
    #[must_use]
    pub fn outline_cut(&self, kerf: f64) -> Contour {
        Contour::of_polygon(&grown(&self.shape.outer, kerf / 2.0))
    }

    /// All that is scored or drawn.
    #[must_use]
    pub fn scored(&self) -> Vec<Contour> {
        let lines = self.scores.iter();
        lines
            .map(|line| Contour::of_points(&[line.p0, line.p1]))
            .chain(self.lettering.iter().cloned())
            .collect()
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

    /// Length of all paths that go through the material, mm.
    #[must_use]
    pub fn cut_length(&self) -> f64 {
        let of_piece = |piece: &Piece| {
            let inner: f64 = piece.inner_cuts(0.0).iter().map(Contour::length).sum();
            inner + piece.outline_cut(0.0).length()
        };
        self.pieces.iter().map(of_piece).sum()
    }

    /// Area of all pieces without what is cut out of them but with its slots, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.shape.area()).sum()
    }

    /// The part of a load that pieces take, 0 to 1.
    #[must_use]
    pub fn used(&self, load: &Load) -> f64 {
        let pieces = load.pieces.iter();
        let used: f64 = pieces
            .map(|laid| self.pieces[laid.piece].shape.area())
            .sum();
        used / (load.size.0 * load.size.1)
    }

    /// Distance of two register holes across a joint, mm; `None` without joints.
    #[must_use]
    pub fn register_distance(&self) -> Option<f64> {
        let [before, behind] = self
            .joints
            .iter()
            .find_map(|joint| joint.register.first())?;
        Some(before.distance(*behind))
    }

    /// So many loads any way of laying the pieces takes at least, by their area.
    #[must_use]
    pub fn least_loads(&self) -> usize {
        let (width, height) = self.options.load();
        (self.area() / (width * height)).ceil().max(1.0) as usize
    }
}

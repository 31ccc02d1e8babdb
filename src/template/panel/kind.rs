//! What can be asked of every shape.

use std::fmt;

use kurbo::{Point, Vec2};

use super::PanelShape;

/// A shape of panels. Its geometry lies about the panel's middle, unturned, x forward and y left, in mm.
#[derive(Clone, Copy)]
pub struct PanelKind {
    /// The word for it, in templates and on paper.
    pub word: &'static str,
    /// Keys of its numbers of cells, in the order of [`PanelShape::cells`].
    pub(super) cells: &'static [&'static str],
    /// Keys of its lengths, in the order of [`PanelShape::lengths`].
    pub(super) lengths: &'static [&'static str],
    /// Which of its lengths, each sane in itself, is not less than which other one, as it has to be.
    pub(super) contradiction: fn(&PanelShape) -> Option<[usize; 2]>,
    /// Its single-coloured fields.
    pub(super) fields: fn(&PanelShape) -> Vec<Field>,
    /// Convex polygons that together are the panel.
    pub(super) convex_parts: fn(&PanelShape) -> Vec<Vec<Point>>,
    /// Radius of the circle that is its only edge, where it is one.
    pub(super) radius: fn(&PanelShape) -> Option<f64>,
}

/// A single-coloured part of a panel.
#[derive(Clone, Debug)]
pub struct Field {
    /// Corners, counter-clockwise seen from above.
    pub outline: Vec<Point>,
    /// Dark or light.
    pub dark: bool,
}

impl Field {
    pub(super) fn dark(outline: Vec<Point>) -> Self {
        Self {
            outline,
            dark: true,
        }
    }
}

impl PartialEq for PanelKind {
    fn eq(&self, other: &Self) -> bool {
        self.word == other.word
    }
}

impl fmt::Debug for PanelKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word)
    }
}

/// A rectangle about a point, counter-clockwise from the smallest coordinates.
pub(super) fn rectangle(middle: Point, along: f64, across: f64) -> Vec<Point> {
    let (x, y) = (along / 2.0, across / 2.0);
    [(-x, -y), (x, -y), (x, y), (-x, y)]
        .map(|corner| middle + Vec2::from(corner))
        .to_vec()
}

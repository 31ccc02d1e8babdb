//! Panels: flat targets laid on the floor.

use kurbo::{Point, Rect, Vec2};

use super::rectangle::corners;

/// Corners of the polygon that stands for a disc. A 24-sided wheel would show; with 180 corners a
/// 1 m disc strays less than 0.08 mm from the circle.
const DISC_CORNERS: usize = 180;

/// Shape and size of a panel. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub enum PanelShape {
    /// One dark square.
    Square {
        /// Side.
        side: f64,
    },
    /// Chequered field, its rear right cell dark.
    Chequer {
        /// Number of cells along x.
        along: usize,
        /// Number of cells along y.
        across: usize,
        /// Side of a cell.
        cell: f64,
    },
    /// One dark disc.
    Disc {
        /// Diameter.
        diameter: f64,
    },
    /// A dark upright cross.
    Cross {
        /// Length from tip to tip.
        span: f64,
        /// Width of the arms.
        arm: f64,
    },
}

/// A single-coloured part of a panel.
#[derive(Clone, Debug)]
pub struct Field {
    /// Corners, counter-clockwise seen from above.
    pub outline: Vec<Point>,
    /// Dark or light.
    pub dark: bool,
}

impl PanelShape {
    /// The panel's fields about its middle, unturned.
    #[must_use]
    pub fn fields(&self) -> Vec<Field> {
        match *self {
            Self::Square { side } => vec![dark(rect_about(Point::ZERO, side, side))],
            Self::Disc { diameter } => vec![dark(disc(diameter / 2.0))],
            Self::Cross { span, arm } => vec![dark(cross(span / 2.0, arm / 2.0))],
            Self::Chequer {
                along,
                across,
                cell,
            } => {
                let start = Point::new(
                    -(along as f64 - 1.0) * cell / 2.0,
                    -(across as f64 - 1.0) * cell / 2.0,
                );
                let mut fields = Vec::with_capacity(along * across);
                for i in 0..along {
                    for j in 0..across {
                        let middle = start + Vec2::new(i as f64, j as f64) * cell;
                        fields.push(Field {
                            outline: rect_about(middle, cell, cell),
                            dark: (i + j) % 2 == 0,
                        });
                    }
                }
                fields
            }
        }
    }

    /// Convex polygons that together are the panel, about its middle, unturned.
    #[must_use]
    pub fn convex_parts(&self) -> Vec<Vec<Point>> {
        match *self {
            Self::Cross { span, arm } => {
                vec![
                    rect_about(Point::ZERO, span, arm),
                    rect_about(Point::ZERO, arm, span),
                ]
            }
            Self::Disc { diameter } => vec![disc(diameter / 2.0)],
            Self::Square { .. } | Self::Chequer { .. } => {
                let (along, across) = self.size();
                vec![rect_about(Point::ZERO, along, across)]
            }
        }
    }

    /// Extent along and across before turning, mm.
    #[must_use]
    pub fn size(&self) -> (f64, f64) {
        match *self {
            Self::Square { side } => (side, side),
            Self::Disc { diameter } => (diameter, diameter),
            Self::Cross { span, .. } => (span, span),
            Self::Chequer {
                along,
                across,
                cell,
            } => (along as f64 * cell, across as f64 * cell),
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Square { .. } => "square",
            Self::Chequer { .. } => "chequer",
            Self::Disc { .. } => "disc",
            Self::Cross { .. } => "cross",
        }
    }
}

fn dark(outline: Vec<Point>) -> Field {
    Field {
        outline,
        dark: true,
    }
}

fn rect_about(middle: Point, along: f64, across: f64) -> Vec<Point> {
    corners(Rect::from_center_size(middle, (along, across))).to_vec()
}

fn disc(radius: f64) -> Vec<Point> {
    (0..DISC_CORNERS)
        .map(|i| {
            Point::ZERO
                + Vec2::from_angle(std::f64::consts::TAU * i as f64 / DISC_CORNERS as f64) * radius
        })
        .collect()
}

fn cross(tip: f64, half: f64) -> Vec<Point> {
    let corners = [
        (tip, -half),
        (tip, half),
        (half, half),
        (half, tip),
        (-half, tip),
        (-half, half),
        (-tip, half),
        (-tip, -half),
        (-half, -half),
        (-half, -tip),
        (half, -tip),
        (half, -half),
    ];
    corners.into_iter().map(Point::from).collect()
}

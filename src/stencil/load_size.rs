//! How large the cutter's bed is, and how a piece lies on it.

use kurbo::{Affine, Point, Rect, Vec2};

use super::{CutOptions, distance::sides};
use crate::{plan::bounds, units::ROUND_OFF_MM};

/// What stays free along the edges of the bed, mm: clamps, and sheets that are not cut true (common practice, no source).
pub(super) const BED_EDGE_MM: f64 = 5.0;

/// What stays free between pieces on the bed, besides the kerf, mm.
pub(super) const BETWEEN_MM: f64 = 5.0;

/// The part of a bed that pieces may lie on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LoadSize {
    width: f64,
    height: f64,
}

impl LoadSize {
    /// The bed of the options, or the material of a roll as far as a page goes.
    pub(super) fn of(options: &CutOptions) -> Self {
        let (width, height) = options.load();
        // Corners of tabs reach out by up to a kerf where the tool runs round them.
        let free = 2.0 * (BED_EDGE_MM + options.kerf);
        Self {
            width: width - free,
            height: height - free,
        }
    }

    pub(super) fn sides(&self) -> (f64, f64) {
        (self.width, self.height)
    }

    pub(super) fn longest(&self) -> f64 {
        self.width.max(self.height)
    }

    pub(super) fn shortest(&self) -> f64 {
        self.width.min(self.height)
    }

    /// How a contour lies on the bed: as [`smallest_rectangle`]; `None` where it is too large.
    pub(super) fn lays(&self, contour: &[Point]) -> Option<(f64, Rect)> {
        let (angle, rect) = smallest_rectangle(contour);
        let fits = |width: f64, height: f64| {
            width <= self.width + ROUND_OFF_MM && height <= self.height + ROUND_OFF_MM
        };
        let lies = fits(rect.width(), rect.height()) || fits(rect.height(), rect.width());
        lies.then_some((angle, rect))
    }
}

/// The turn (radians, from x towards y) by which the smallest rectangle about a contour lies off the axes, and the rectangle
/// in those axes: one of its sides runs along a side of the contour.
pub(super) fn smallest_rectangle(contour: &[Point]) -> (f64, Rect) {
    let mut angles: Vec<f64> = sides(contour)
        .map(|side| {
            (side.p1 - side.p0)
                .angle()
                .rem_euclid(std::f64::consts::FRAC_PI_2)
        })
        .collect();
    angles.push(0.0);
    angles.sort_by(f64::total_cmp);
    angles.dedup_by(|a, b| *a - *b < 1e-7);
    let boxed = |angle: f64| {
        let turn = Affine::rotate(-angle);
        let turned: Vec<Point> = contour.iter().map(|point| turn * *point).collect();
        (angle, bounds(&turned))
    };
    let smaller = |a: (f64, Rect), b: (f64, Rect)| {
        if b.1.area() < a.1.area() - ROUND_OFF_MM {
            b
        } else {
            a
        }
    };
    angles
        .into_iter()
        .map(boxed)
        .reduce(smaller)
        .unwrap_or((0.0, Rect::ZERO))
}

/// The rigid motion that turns by `-angle` and takes the lower left corner of `rect` (in the turned axes) to `corner`;
/// a quarter turn more, counter-clockwise, where `quarter`.
pub(super) fn laid(angle: f64, rect: Rect, quarter: bool, corner: Point) -> Affine {
    let flat = Affine::translate(-rect.origin().to_vec2()) * Affine::rotate(-angle);
    let turned = if quarter {
        Affine::translate(Vec2::new(rect.height(), 0.0))
            * Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0])
            * flat
    } else {
        flat
    };
    Affine::translate(corner.to_vec2()) * turned
}

//! A single opening in the mat.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::contour::{Contour, arc_slot, circle, rounded};

/// Length in mm of the chords that stand for an arc slot when distances are measured.
const ARC_CHORD_MM: f64 = 4.0;

/// A closed shape without a hole in it, cut out of the mat. Floor mm; the finished size, whatever
/// the kerf.
#[derive(Clone, Debug, PartialEq)]
pub enum Opening {
    /// A straight slot with rounded corners.
    Slot {
        /// Middle of one short side.
        from: Point,
        /// Middle of the other short side.
        to: Point,
        /// Width.
        width: f64,
        /// Radius of the corners, at most half of the width.
        corner: f64,
    },
    /// A round hole.
    Hole {
        /// Middle.
        at: Point,
        /// Diameter.
        diameter: f64,
    },
    /// A slot along a circle, its ends round.
    Arc {
        /// Middle of the circle.
        centre: Point,
        /// Radius of the slot's middle line.
        radius: f64,
        /// Width.
        width: f64,
        /// Bearing of the first end's centre in radians, from x towards y.
        start: f64,
        /// Angle to the other end's centre, counter-clockwise, radians.
        sweep: f64,
    },
}

impl Opening {
    /// The line of a tool's middle: the finished outline, drawn inwards (into the waste) by
    /// `inset` mm, half of the kerf. A corner sharper than the tool keeps the tool's radius.
    #[must_use]
    pub fn contour(&self, inset: f64) -> Contour {
        match *self {
            Self::Slot {
                from,
                to,
                width,
                corner,
            } => {
                let along = to - from;
                let half = width / 2.0 - inset;
                let area = Rect::new(inset, -half, along.hypot() - inset, half);
                rounded(area, (corner - inset).max(0.0))
                    .placed(Affine::translate(from.to_vec2()) * Affine::rotate(along.angle()))
            }
            Self::Hole { at, diameter } => circle(at, diameter / 2.0 - inset),
            Self::Arc {
                centre,
                radius,
                width,
                start,
                sweep,
            } => arc_slot(centre, radius, width / 2.0 - inset, start, sweep),
        }
    }

    /// [`Self::contour`] as a path.
    #[must_use]
    pub fn path(&self, inset: f64) -> BezPath {
        self.contour(inset).path()
    }

    /// The finished outline as a polygon.
    #[must_use]
    pub fn polygon(&self) -> Vec<Point> {
        self.contour(0.0).polygon()
    }

    /// Convex polygons that together are (or, at rounded ends, cover) the finished opening.
    #[must_use]
    pub fn convex_parts(&self) -> Vec<Vec<Point>> {
        let Self::Arc {
            centre,
            radius,
            width,
            start,
            sweep,
        } = *self
        else {
            return vec![self.polygon()];
        };
        let cap = width / 2.0 / radius;
        let (first, whole) = (start - cap, sweep + 2.0 * cap);
        let count = (whole * radius / ARC_CHORD_MM).ceil().max(1.0) as usize;
        let at = |index: usize, reach: f64| {
            centre
                + Vec2::from_angle(first + whole * index as f64 / count as f64) * (radius + reach)
        };
        let quad = |i| {
            vec![
                at(i, -width / 2.0),
                at(i, width / 2.0),
                at(i + 1, width / 2.0),
                at(i + 1, -width / 2.0),
            ]
        };
        (0..count).map(quad).collect()
    }

    /// A point of the opening's middle line.
    #[must_use]
    pub fn middle(&self) -> Point {
        match *self {
            Self::Slot { from, to, .. } => from.midpoint(to),
            Self::Hole { at, .. } => at,
            Self::Arc {
                centre,
                radius,
                start,
                sweep,
                ..
            } => centre + Vec2::from_angle(start + sweep / 2.0) * radius,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use kurbo::{Arc, Circle, ParamCurve, ParamCurveNearest, PathEl, RoundedRect, Shape};

    use super::*;

    fn area(points: &[Point]) -> f64 {
        let next = points.iter().skip(1).chain(points.first());
        points
            .iter()
            .zip(next)
            .map(|(p, q)| p.to_vec2().cross(q.to_vec2()))
            .sum::<f64>()
            / 2.0
    }

    #[test]
    fn a_slot_has_its_width_and_length_and_loses_the_inset_on_every_side() {
        let slot = Opening::Slot {
            from: Point::new(100.0, 50.0),
            to: Point::new(100.0, 350.0),
            width: 50.0,
            corner: 1.0,
        };
        // 50 × 300 less four corners of (1 − π/4).
        assert!((area(&slot.polygon()) - (15_000.0 - (4.0 - PI))).abs() < 0.02);
        let cut = slot.path(0.5).bounding_box();
        let expected = [75.5, 50.5, 124.5, 349.5];
        for (found, wanted) in [cut.x0, cut.y0, cut.x1, cut.y1].into_iter().zip(expected) {
            assert!((found - wanted).abs() < 1e-9, "{cut:?}");
        }
    }

    #[test]
    fn a_slot_as_wide_as_twice_its_corner_has_round_ends_and_no_empty_sides() {
        let slot = Opening::Slot {
            from: Point::ZERO,
            to: Point::new(20.0, 0.0),
            width: 2.0,
            corner: 1.0,
        };
        let path = slot.path(0.0);
        let lines = path
            .elements()
            .iter()
            .filter(|element| matches!(element, PathEl::LineTo(_)))
            .count();
        assert_eq!(lines, 1, "{path:?}");
        assert!((area(&slot.polygon()) - (36.0 + PI)).abs() < 0.05);
    }

    #[test]
    fn an_arc_slot_is_as_large_as_its_middle_line_times_its_width_with_its_caps() {
        let slot = Opening::Arc {
            centre: Point::new(5.0, 5.0),
            radius: 60.0,
            width: 2.0,
            start: 0.3,
            sweep: 1.2,
        };
        let expected = 60.0 * 1.2 * 2.0 + PI;
        assert!(
            (area(&slot.polygon()) - expected).abs() < 0.5,
            "{}",
            area(&slot.polygon())
        );
        let parts: f64 = slot
            .convex_parts()
            .iter()
            .map(|part| area(part).abs())
            .sum();
        assert!((parts - (60.0 * 1.2 + 2.0) * 2.0).abs() < 0.5, "{parts}");
    }

    /// Largest distance from the points of a contour's chords to a path, and from the path to the contour.
    fn apart(contour: &Contour, shape: &BezPath) -> f64 {
        let chords = Contour::of_polygon(&contour.polygon()).path();
        let points = |path: &BezPath| -> Vec<Point> {
            path.segments()
                .flat_map(|segment| (0..4).map(move |step| segment.eval(f64::from(step) / 4.0)))
                .collect()
        };
        let to_path = |path: &BezPath, point: Point| {
            path.segments()
                .map(|segment| segment.nearest(point, 1e-9).distance_sq)
                .fold(f64::INFINITY, f64::min)
                .sqrt()
        };
        let there = points(&chords).into_iter().map(|p| to_path(shape, p));
        let back = points(shape).into_iter().map(|p| to_path(&chords, p));
        there.chain(back).fold(0.0, f64::max)
    }

    #[test]
    fn slots_and_holes_are_the_shapes_of_geometry() {
        let place = Affine::translate((40.0, -7.0)) * Affine::rotate(0.7);
        let slot = Opening::Slot {
            from: place * Point::ZERO,
            to: place * Point::new(120.0, 0.0),
            width: 30.0,
            corner: 4.0,
        };
        let hole = Opening::Hole {
            at: Point::new(3.0, 4.0),
            diameter: 6.0,
        };
        for inset in [0.0, 0.6] {
            let area = Rect::new(inset, inset - 15.0, 120.0 - inset, 15.0 - inset);
            let rounded = place * RoundedRect::from_rect(area, 4.0 - inset).to_path(1e-6);
            assert!(apart(&slot.contour(inset), &rounded) < 0.0042);
            let round = Circle::new((3.0, 4.0), 3.0 - inset).to_path(1e-6);
            assert!(apart(&hole.contour(inset), &round) < 0.0042);
        }
    }

    #[test]
    fn an_arc_slot_is_two_arcs_about_its_middle_and_two_round_ends() {
        let centre = Point::new(5.0, 5.0);
        let slot = Opening::Arc {
            centre,
            radius: 60.0,
            width: 2.0,
            start: 0.3,
            sweep: 1.2,
        };
        let at = |bearing: f64| centre + Vec2::from_angle(bearing) * 60.0;
        let mut shape = BezPath::new();
        let half = 0.75;
        shape.move_to(centre + Vec2::from_angle(0.3) * (60.0 + half));
        for arc in [
            Arc::new(centre, (60.0 + half, 60.0 + half), 0.3, 1.2, 0.0),
            Arc::new(at(1.5), (half, half), 1.5, PI, 0.0),
            Arc::new(centre, (60.0 - half, 60.0 - half), 1.5, -1.2, 0.0),
            Arc::new(at(0.3), (half, half), 0.3 + 2.0 * FRAC_PI_2, PI, 0.0),
        ] {
            shape.extend(arc.append_iter(1e-6));
        }
        assert!(apart(&slot.contour(0.25), &shape) < 0.0042);
    }
}

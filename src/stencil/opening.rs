//! A single opening in the mat.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Affine, Arc, BezPath, Circle, PathEl, Point, Shape, Vec2};

/// How far, in mm, curves of a path may stray from the true arc, and chords from a curve: a tenth
/// of what a cutter repeats.
const CURVE_ACCURACY_MM: f64 = 0.004;

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
    /// The path of a tool's middle: the finished outline, drawn inwards (into the waste) by
    /// `inset` mm, half of the kerf. A corner sharper than the tool keeps the tool's radius.
    #[must_use]
    pub fn path(&self, inset: f64) -> BezPath {
        match *self {
            Self::Slot {
                from,
                to,
                width,
                corner,
            } => {
                let along = to - from;
                let place = Affine::translate(from.to_vec2()) * Affine::rotate(along.angle());
                let (length, half) = (along.hypot() - inset, width / 2.0 - inset);
                place * rounded(inset, length, half, (corner - inset).max(0.0))
            }
            Self::Hole { at, diameter } => {
                Circle::new(at, diameter / 2.0 - inset).to_path(CURVE_ACCURACY_MM)
            }
            Self::Arc {
                centre,
                radius,
                width,
                start,
                sweep,
            } => {
                let half = width / 2.0 - inset;
                arc_slot(centre, radius, half, start, sweep)
            }
        }
    }

    /// The finished outline as a polygon.
    #[must_use]
    pub fn polygon(&self) -> Vec<Point> {
        flattened(&self.path(0.0))
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

/// The corners of a closed path, curves as chords.
pub(super) fn flattened(path: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path.iter(), CURVE_ACCURACY_MM, |element| match element {
        PathEl::MoveTo(point) | PathEl::LineTo(point) => points.push(point),
        _ => {}
    });
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}

/// A rectangle from x `start` to `end` and y −`half` to `half` with round corners, begun and drawn
/// so that no side of no length is written.
fn rounded(start: f64, end: f64, half: f64, radius: f64) -> BezPath {
    let corners = [(end, -half), (end, half), (start, half), (start, -half)].map(Point::from);
    let mut path = BezPath::new();
    for (index, &corner) in corners.iter().enumerate() {
        let before = (corner - corners[(index + 3) % 4]).normalize() * radius;
        let after = (corners[(index + 1) % 4] - corner).normalize() * radius;
        let (into, out) = (corner - before, corner + after);
        match path.elements().last().and_then(PathEl::end_point) {
            None => path.move_to(into),
            Some(pen) if pen.distance(into) > CURVE_ACCURACY_MM => path.line_to(into),
            Some(_) => {}
        }
        if radius > 0.0 {
            // The usual cubic for a quarter circle; it strays 0.03 % of the radius.
            let kappa = 4.0 / 3.0 * (PI / 8.0).tan();
            path.curve_to(into + before * kappa, out - after * kappa, out);
        }
    }
    path.close_path();
    path
}

fn arc_slot(centre: Point, radius: f64, half: f64, start: f64, sweep: f64) -> BezPath {
    let end = start + sweep;
    let at = |bearing: f64, reach: f64| centre + Vec2::from_angle(bearing) * reach;
    let arcs = [
        Arc::new(centre, (radius + half, radius + half), start, sweep, 0.0),
        Arc::new(at(end, radius), (half, half), end, PI, 0.0),
        Arc::new(centre, (radius - half, radius - half), end, -sweep, 0.0),
        Arc::new(
            at(start, radius),
            (half, half),
            start + 2.0 * FRAC_PI_2,
            PI,
            0.0,
        ),
    ];
    let mut path = BezPath::new();
    path.move_to(at(start, radius + half));
    for element in arcs
        .iter()
        .flat_map(|arc| arc.append_iter(CURVE_ACCURACY_MM))
    {
        path.push(element);
    }
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
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
}

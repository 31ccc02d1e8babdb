//! Paths as straights and arcs, for formats that have no other curves.

use kurbo::{BezPath, CubicBez, ParamCurve, PathEl, Point};

use crate::stencil::{Contour, Vertex};

/// How far an arc may stray from the curve that it stands for, mm: half of what formats may differ by.
const ARC_ACCURACY_MM: f64 = 0.0005;

/// Points nearer to each other than this are one, mm: far below the last digit that is written.
const SAME_MM: f64 = 1e-7;

/// Parts of a curve at which its distance from an arc is looked at.
const LOOKED_AT: u32 = 8;

/// Halvings of a curve after which an arc is taken as it is: a thousandth of any curve is as good as straight.
const MOST_HALVINGS: u32 = 10;

/// The parts of a path, each a contour; a part that is not closed is open unless `fills` says that it is filled.
pub(super) fn contours_of(path: &BezPath, fills: bool) -> Vec<Contour> {
    let mut contours = Vec::new();
    let mut vertices: Vec<Vertex> = Vec::new();
    for element in path.elements() {
        let pen = vertices.last().map_or(Point::ZERO, |vertex| vertex.at);
        match *element {
            PathEl::MoveTo(to) => {
                take(&mut contours, &mut vertices, fills);
                vertices.push(Vertex::straight(to));
            }
            PathEl::LineTo(to) => go_on(&mut vertices, 0.0, to),
            PathEl::QuadTo(a, to) => {
                let (from, to) = (pen.lerp(a, 2.0 / 3.0), (to.lerp(a, 2.0 / 3.0), to));
                add_curve(&mut vertices, CubicBez::new(pen, from, to.0, to.1), 0);
            }
            PathEl::CurveTo(a, b, to) => {
                add_curve(&mut vertices, CubicBez::new(pen, a, b, to), 0);
            }
            PathEl::ClosePath => {
                let start = vertices.first().map(|vertex| vertex.at);
                take(&mut contours, &mut vertices, true);
                vertices.extend(start.map(Vertex::straight));
            }
        }
    }
    take(&mut contours, &mut vertices, fills);
    contours
}

/// Ends a part; one point alone is none.
fn take(contours: &mut Vec<Contour>, vertices: &mut Vec<Vertex>, closed: bool) {
    let mut part = std::mem::take(vertices);
    if closed && part.len() > 2 {
        let first = part[0].at;
        part.pop_if(|last| last.at.distance(first) < SAME_MM);
    }
    if part.len() > 1 {
        contours.push(Contour {
            vertices: part,
            closed,
        });
    }
}

/// Goes on from the last vertex, by a bulge; nowhere where it is there already.
fn go_on(vertices: &mut Vec<Vertex>, bulge: f64, to: Point) {
    match vertices.last_mut() {
        Some(last) if last.at.distance(to) < SAME_MM => return,
        Some(last) => last.bulge = bulge,
        None => {}
    }
    vertices.push(Vertex::straight(to));
}

/// A curve as one arc through its ends and its middle, or as two such halves where that strays too far.
fn add_curve(vertices: &mut Vec<Vertex>, curve: CubicBez, halvings: u32) {
    let middle = curve.eval(0.5);
    let (before, after) = (middle - curve.p0, curve.p3 - middle);
    // The turn from one chord to the other is half of the arc's angle.
    let turn = before.cross(after).atan2(before.dot(after));
    let bulge = (turn / 2.0).tan();
    if halvings == MOST_HALVINGS || strays(curve, bulge) <= ARC_ACCURACY_MM {
        go_on(vertices, bulge, curve.p3);
        return;
    }
    let (one, other) = curve.subdivide();
    add_curve(vertices, one, halvings + 1);
    add_curve(vertices, other, halvings + 1);
}

/// Farthest distance of a curve from the arc over its chord.
fn strays(curve: CubicBez, bulge: f64) -> f64 {
    let chord = curve.p3 - curve.p0;
    if chord.hypot() < SAME_MM {
        return curve.p0.distance(curve.eval(0.5));
    }
    let at = |part: u32| curve.eval(f64::from(part) / f64::from(LOOKED_AT));
    let arc = Contour::open(vec![
        Vertex {
            at: curve.p0,
            bulge,
        },
        Vertex::straight(curve.p3),
    ]);
    (1..LOOKED_AT)
        .map(|part| arc.distance(at(part)))
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use kurbo::{Circle, Ellipse, ParamCurveNearest, Rect, Shape};

    use super::*;

    #[test]
    fn circles_and_other_curves_stay_within_a_thousandth_and_closed() {
        for (path, most) in [
            (Circle::new((300.0, 20.0), 200.0).to_path(0.002), 40),
            (Circle::new((3.0, 2.0), 3.0).to_path(0.002), 40),
            // As chords it would be some 2000.
            (
                Ellipse::new((0.0, 0.0), (400.0, 90.0), 0.3).to_path(0.002),
                1000,
            ),
        ] {
            let contours = contours_of(&path, true);
            assert_eq!(contours.len(), 1);
            let count = contours[0].vertices.len();
            assert!(contours[0].closed && count < most, "{count} of {most}");
            for point in contours[0].polygon() {
                let off = path
                    .segments()
                    .map(|segment| segment.nearest(point, 1e-9).distance_sq)
                    .fold(f64::INFINITY, f64::min)
                    .sqrt();
                assert!(off < 0.001, "{off}");
            }
            for segment in path.segments() {
                for part in 0..20 {
                    let off = contours[0].distance(segment.eval(f64::from(part) / 20.0));
                    assert!(off < 0.001, "{off}");
                }
            }
        }
    }

    #[test]
    fn straights_stay_what_they_are_and_each_part_is_a_contour() {
        let mut path = Rect::new(0.0, 0.0, 10.0, 5.0).to_path(0.1);
        path.move_to((20.0, 0.0));
        path.line_to((30.0, 0.0));
        path.line_to((30.0, 0.0));
        path.line_to((30.0, 8.0));
        let contours = contours_of(&path, false);
        let counts: Vec<(usize, bool)> = contours
            .iter()
            .map(|contour| (contour.vertices.len(), contour.closed))
            .collect();
        assert_eq!(counts, [(4, true), (3, false)]);
        assert!(contours_of(&path, true)[1].closed);
    }
}

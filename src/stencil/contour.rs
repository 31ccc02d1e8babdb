//! A line that a tool follows: straights and arcs of circles, open or closed.
//!
//! Everything that a stencil is cut and scored by is made of straights and arcs alone, so that every file format has the
//! same curve: arcs themselves where it knows them (DXF), else cubics or chords that stray less than any cutter can.

use std::f64::consts::{FRAC_PI_8, PI, TAU};

use kurbo::{Affine, Arc, BezPath, Line, ParamCurveNearest, PathEl, Point, Rect, Shape, Vec2};

use crate::units::ROUND_OFF_MM;

/// How far, in mm, a cubic may stray from the arc that it stands for: a third of the last digit that is written.
pub const CUBIC_ACCURACY_MM: f64 = 0.0003;

/// How far, in mm, a chord may stray from the arc that it stands for: a tenth of what a cutter repeats.
pub const CHORD_ACCURACY_MM: f64 = 0.004;

/// An arc that rises less than this above its chord is a straight, mm: far below what is written, and its circle would
/// be too large to calculate with.
const FLAT_MM: f64 = 1e-7;

/// A point of a contour and how the contour goes on from there. mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// The point.
    pub at: Point,
    /// Tangent of a quarter of the angle of the arc to the next vertex, positive counter-clockwise, 0 for a straight
    /// (the `bulge` of DXF, group 42). Without meaning at the end of an open contour.
    pub bulge: f64,
}

/// Straights and arcs, one after the other. mm; no vertex stands twice in a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Its vertices in order; at least two.
    pub vertices: Vec<Vertex>,
    /// True where the last vertex goes on to the first.
    pub closed: bool,
}

/// An arc as its circle has it: angles in radians, the sweep positive counter-clockwise.
struct Circular {
    centre: Point,
    radius: f64,
    start: f64,
    sweep: f64,
}

impl Vertex {
    /// The start of a straight.
    #[must_use]
    pub const fn straight(at: Point) -> Self {
        Self { at, bulge: 0.0 }
    }

    /// The start of an arc that sweeps `angle` radians, positive counter-clockwise, less than a whole turn.
    #[must_use]
    pub fn arc(at: Point, angle: f64) -> Self {
        Self {
            at,
            bulge: (angle / 4.0).tan(),
        }
    }
}

impl Contour {
    /// A closed contour.
    #[must_use]
    pub const fn closed(vertices: Vec<Vertex>) -> Self {
        Self {
            vertices,
            closed: true,
        }
    }

    /// An open contour.
    #[must_use]
    pub const fn open(vertices: Vec<Vertex>) -> Self {
        Self {
            vertices,
            closed: false,
        }
    }

    /// A closed contour of straights.
    #[must_use]
    pub fn of_polygon(corners: &[Point]) -> Self {
        Self::closed(corners.iter().copied().map(Vertex::straight).collect())
    }

    /// An open contour of straights.
    #[must_use]
    pub fn of_points(points: &[Point]) -> Self {
        Self::open(points.iter().copied().map(Vertex::straight).collect())
    }

    /// As a path, arcs as cubics that stray [`CUBIC_ACCURACY_MM`] at most and meet in its vertices exactly.
    #[must_use]
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        if let Some(first) = self.vertices.first() {
            path.move_to(first.at);
        }
        let last = self.sides().count().saturating_sub(1);
        for (index, (from, to)) in self.sides().enumerate() {
            match circular(from, to) {
                Some(arc) => append_arc(&mut path, &arc, to),
                // Closing the path draws the last side.
                None if self.closed && index == last => {}
                None => path.line_to(to),
            }
        }
        if self.closed {
            path.close_path();
        }
        path
    }

    /// Its corners, arcs as chords that stray [`CHORD_ACCURACY_MM`] at most; the first is not repeated at the end.
    #[must_use]
    pub fn polygon(&self) -> Vec<Point> {
        let mut points = Vec::new();
        for (from, to) in self.sides() {
            points.push(from.at);
            let Some(arc) = circular(from, to) else {
                continue;
            };
            let step = 2.0 * (1.0 - (CHORD_ACCURACY_MM / arc.radius).min(1.0)).acos();
            let count = (arc.sweep.abs() / step).ceil() as usize;
            points.extend((1..count).map(|index| arc.at(index as f64 / count as f64)));
        }
        if !self.closed {
            points.extend(self.vertices.last().map(|last| last.at));
        }
        points
    }

    /// The way along it, arcs along their curve, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.sides()
            .map(|(from, to)| match circular(from, to) {
                Some(arc) => arc.radius * arc.sweep.abs(),
                None => from.at.distance(to),
            })
            .sum()
    }

    /// Distance from a point to the nearest of its straights and arcs, mm.
    #[must_use]
    pub fn distance(&self, point: Point) -> f64 {
        self.sides()
            .map(|(from, to)| match circular(from, to) {
                Some(arc) => arc.distance(point, from.at, to),
                None => {
                    let nearest = Line::new(from.at, to).nearest(point, ROUND_OFF_MM);
                    nearest.distance_sq.sqrt()
                }
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// The upright rectangle about it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.path().bounding_box()
    }

    /// Where it ends: for a closed contour, where it begins.
    #[must_use]
    pub fn end(&self) -> Option<Point> {
        let end = if self.closed {
            self.vertices.first()
        } else {
            self.vertices.last()
        };
        end.map(|vertex| vertex.at)
    }

    /// The same contour moved and turned. Nothing is mirrored and nothing changes its size: an arc would not stay what
    /// its bulge says.
    #[must_use]
    pub fn placed(&self, motion: Affine) -> Self {
        debug_assert!(is_rigid(motion));
        let place = |vertex: &Vertex| Vertex {
            at: motion * vertex.at,
            bulge: vertex.bulge,
        };
        Self {
            vertices: self.vertices.iter().map(place).collect(),
            closed: self.closed,
        }
    }

    /// The same way round, begun at another vertex; an open contour stays as it is.
    #[must_use]
    pub fn begun_at(mut self, index: usize) -> Self {
        if self.closed && index < self.vertices.len() {
            self.vertices.rotate_left(index);
        }
        self
    }

    /// The same line the other way round; a closed one begins where it did.
    #[must_use]
    pub fn reversed(mut self) -> Self {
        let bulges: Vec<f64> = self.vertices.iter().map(|vertex| vertex.bulge).collect();
        let count = bulges.len();
        self.vertices.reverse();
        if self.closed {
            self.vertices.rotate_right(1);
        }
        for (index, vertex) in self.vertices.iter_mut().enumerate() {
            // What led to the next now leads back from there; the end of an open contour leads nowhere.
            let before = if self.closed {
                count - 1 - index
            } else {
                (2 * count - 2 - index) % count
            };
            vertex.bulge = -bulges[before];
        }
        self
    }

    /// Each vertex with the point that it leads to.
    fn sides(&self) -> impl Iterator<Item = (Vertex, Point)> + '_ {
        let first = self.vertices.first().filter(|_| self.closed);
        let next = self.vertices.iter().skip(1).chain(first);
        self.vertices
            .iter()
            .zip(next)
            .map(|(&from, to)| (from, to.at))
    }
}

impl Circular {
    /// The point at a part of the arc, 0 at its start and 1 at its end.
    fn at(&self, part: f64) -> Point {
        self.centre + Vec2::from_angle(self.start + self.sweep * part) * self.radius
    }

    /// Distance from a point: to the curve where it faces it, else to the nearer end.
    fn distance(&self, point: Point, from: Point, to: Point) -> f64 {
        let turn = ((point - self.centre).angle() - self.start) * self.sweep.signum();
        if turn.rem_euclid(TAU) <= self.sweep.abs() {
            (point.distance(self.centre) - self.radius).abs()
        } else {
            point.distance(from).min(point.distance(to))
        }
    }
}

/// The arc from a vertex to a point; `None` for a straight.
fn circular(from: Vertex, to: Point) -> Option<Circular> {
    let chord = to - from.at;
    let half = chord.hypot() / 2.0;
    if (from.bulge * half).abs() < FLAT_MM {
        return None;
    }
    // With the bulge b = tan(θ/4): sin(θ/2) = 2b/(1 + b²), and tan(θ/2) = 2b/(1 − b²) says how far the middle lies to
    // the left of the chord.
    let bulge = from.bulge;
    let left = Vec2::new(-chord.y, chord.x) / 2.0;
    let centre = from.at.midpoint(to) + left * (1.0 - bulge * bulge) / (2.0 * bulge);
    Some(Circular {
        centre,
        radius: half * (1.0 + bulge * bulge) / (2.0 * bulge.abs()),
        start: (from.at - centre).angle(),
        sweep: 4.0 * bulge.atan(),
    })
}

/// Adds an arc as cubics, the last of them ending exactly at `end`.
fn append_arc(path: &mut BezPath, arc: &Circular, end: Point) {
    let radii = (arc.radius, arc.radius);
    let curve = Arc::new(arc.centre, radii, arc.start, arc.sweep, 0.0);
    let mut elements: Vec<PathEl> = curve.append_iter(CUBIC_ACCURACY_MM).collect();
    if let Some(PathEl::CurveTo(_, _, last)) = elements.last_mut() {
        *last = end;
    }
    path.extend(elements);
}

fn is_rigid(motion: Affine) -> bool {
    let [a, b, c, d, ..] = motion.as_coeffs();
    (a - d).abs() < ROUND_OFF_MM
        && (b + c).abs() < ROUND_OFF_MM
        && (a.hypot(b) - 1.0).abs() < ROUND_OFF_MM
}

/// An upright rectangle whose corners have a radius, counter-clockwise, begun before its lower right corner; a side that
/// the corners use up is left out.
pub(super) fn rounded(area: Rect, radius: f64) -> Contour {
    let corners = [
        (area.x1, area.y0),
        (area.x1, area.y1),
        (area.x0, area.y1),
        (area.x0, area.y0),
    ]
    .map(Point::from);
    if radius < FLAT_MM {
        return Contour::of_polygon(&corners);
    }
    let mut vertices: Vec<Vertex> = Vec::new();
    for (index, &corner) in corners.iter().enumerate() {
        let before = (corner - corners[(index + 3) % 4]).normalize() * radius;
        let after = (corners[(index + 1) % 4] - corner).normalize() * radius;
        // An arc that begins where the one before ended takes its end's place.
        vertices.pop_if(|last| last.at.distance(corner - before) < FLAT_MM);
        vertices.push(Vertex {
            at: corner - before,
            bulge: FRAC_PI_8.tan(),
        });
        vertices.push(Vertex::straight(corner + after));
    }
    let first = vertices[0].at;
    vertices.pop_if(|last| last.at.distance(first) < FLAT_MM);
    Contour::closed(vertices)
}

/// A whole circle, counter-clockwise, in two halves: an arc of a contour is less than a turn.
pub(super) fn circle(centre: Point, radius: f64) -> Contour {
    let right = Vec2::new(radius, 0.0);
    Contour::closed(vec![
        Vertex::arc(centre + right, PI),
        Vertex::arc(centre - right, PI),
    ])
}

/// A slot along an arc, `half` mm to both sides of a radius, with round ends; counter-clockwise. Bearings of the ends'
/// middles in radians, the sweep less than a turn.
pub(super) fn arc_slot(centre: Point, radius: f64, half: f64, start: f64, sweep: f64) -> Contour {
    let at = |bearing: f64, reach: f64| centre + Vec2::from_angle(bearing) * reach;
    let end = start + sweep;
    Contour::closed(vec![
        Vertex::arc(at(start, radius + half), sweep),
        Vertex::arc(at(end, radius + half), PI),
        Vertex::arc(at(end, radius - half), -sweep),
        Vertex::arc(at(start, radius - half), PI),
    ])
}

#[cfg(test)]
mod tests {
    use std::f64::consts::FRAC_PI_2;

    use kurbo::{ParamCurve, PathSeg};

    use super::*;

    fn samples() -> Vec<Contour> {
        vec![
            rounded(Rect::new(0.0, -25.0, 300.0, 25.0), 1.0),
            rounded(Rect::new(0.0, -1.0, 20.0, 1.0), 1.0),
            rounded(Rect::new(-3.0, -2.0, 20.0, 1.0), 0.0),
            circle(Point::new(5.0, 6.0), 3.0),
            circle(Point::new(5.0, 6.0), 2500.0),
            arc_slot(Point::new(5.0, 5.0), 60.0, 1.0, 0.3, 1.2),
            arc_slot(Point::new(5.0, 5.0), 1200.0, 3.0, 3.0, 5.9),
            Contour::open(vec![
                Vertex::arc(Point::new(1.0, 2.0), -FRAC_PI_2),
                Vertex::straight(Point::new(3.0, 4.0)),
                Vertex::arc(Point::new(3.0, 9.0), 4.0),
                Vertex::straight(Point::new(8.0, 9.0)),
            ]),
        ]
    }

    #[test]
    fn cubics_and_chords_stray_no_further_than_they_may() {
        for contour in samples() {
            for segment in contour.path().segments() {
                for step in 0..=40 {
                    let point = segment.eval(f64::from(step) / 40.0);
                    let strayed = contour.distance(point);
                    assert!(
                        strayed <= CUBIC_ACCURACY_MM + 1e-9,
                        "{strayed}: {contour:?}"
                    );
                }
            }
            let corners = contour.polygon();
            for pair in corners.windows(2) {
                assert!(contour.distance(pair[0]) < 1e-9, "{contour:?}");
                let strayed = contour.distance(pair[0].midpoint(pair[1]));
                assert!(
                    strayed <= CHORD_ACCURACY_MM + 1e-9,
                    "{strayed}: {contour:?}"
                );
            }
        }
    }

    #[test]
    fn a_path_passes_every_vertex_and_has_no_side_without_length() {
        for contour in samples() {
            let path = contour.path();
            let ends: Vec<Point> = path.segments().map(|segment| segment.start()).collect();
            for vertex in &contour.vertices[..contour.vertices.len() - 1] {
                assert!(ends.contains(&vertex.at), "{vertex:?} of {contour:?}");
            }
            for segment in path.segments() {
                assert!(
                    segment.start().distance(segment.end()) > 1e-6,
                    "{contour:?}"
                );
            }
            let closes = matches!(path.elements().last(), Some(PathEl::ClosePath));
            assert_eq!(closes, contour.closed);
        }
    }

    #[test]
    fn lengths_are_those_of_the_true_curves() {
        let found: Vec<f64> = samples().iter().map(Contour::length).collect();
        for (index, expected) in [
            2.0 * (298.0 + 48.0) + TAU,
            2.0 * 18.0 + TAU,
            2.0 * (23.0 + 3.0),
            TAU * 3.0,
            TAU * 2500.0,
            2.0 * 1.2 * 60.0 + TAU,
            2.0 * 5.9 * 1200.0 + TAU * 3.0,
        ]
        .into_iter()
        .enumerate()
        {
            assert!(
                (found[index] - expected).abs() < 1e-6,
                "{index}: {}",
                found[index]
            );
        }
    }

    #[test]
    fn a_placed_contour_is_the_same_curve_elsewhere() {
        let motion = Affine::translate((100.0, -7.0)) * Affine::rotate(2.1);
        for contour in samples() {
            let placed = contour.placed(motion);
            assert!((placed.length() - contour.length()).abs() < 1e-9);
            for point in contour.polygon() {
                assert!(placed.distance(motion * point) < 1e-6, "{contour:?}");
            }
        }
    }

    #[test]
    #[should_panic(expected = "is_rigid")]
    #[cfg(debug_assertions)]
    fn a_mirrored_contour_is_refused() {
        let _ = circle(Point::ZERO, 3.0).placed(Affine::FLIP_X);
    }

    #[test]
    fn begun_elsewhere_or_reversed_it_is_the_same_curve() {
        for contour in samples() {
            for other in [contour.clone().begun_at(1), contour.clone().reversed()] {
                assert!((other.length() - contour.length()).abs() < 1e-9);
                for point in contour.polygon() {
                    assert!(other.distance(point) < 1e-6, "{contour:?} is not {other:?}");
                }
            }
            let back = contour.clone().reversed();
            let (first, last) = (contour.vertices[0].at, contour.end());
            let (begins, ends) = (Some(back.vertices[0].at), back.end());
            assert_eq!((begins, ends), (last, Some(first)));
            for (from, to) in contour.sides() {
                let is_reverse = |side: (Vertex, Point)| {
                    (side.0.at, side.1, side.0.bulge) == (to, from.at, -from.bulge)
                };
                assert!(back.sides().any(is_reverse), "{contour:?}");
            }
        }
    }

    #[test]
    fn the_cubics_of_a_quarter_are_no_more_than_needed() {
        let arc = Contour::open(vec![
            Vertex::arc(Point::new(1.0, 0.0), FRAC_PI_2),
            Vertex::straight(Point::new(0.0, 1.0)),
        ]);
        let cubics = arc
            .path()
            .segments()
            .filter(|segment| matches!(segment, PathSeg::Cubic(_)))
            .count();
        assert_eq!(cubics, 1);
    }
}

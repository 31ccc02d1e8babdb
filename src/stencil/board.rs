//! Where lettering has room on a piece of material.

use kurbo::{Affine, Line, Point, Rect, Vec2};

use super::{Contour, Piece, distance::between, shape::Shape};
use crate::plan::{bounds, corners};

/// Distance of lettering from cuts, scores and other lettering, mm.
const CLEAR_MM: f64 = 2.5;

/// Steps in which a place is looked for, mm.
const STEP_MM: f64 = 6.0;

/// A piece turned so that its lettering runs along x.
pub(super) struct Board {
    shape: Shape,
    to_floor: Affine,
    angle: f64,
    taken: Vec<(Vec<Point>, Rect)>,
    lettering: Vec<Contour>,
}

impl Board {
    /// The board of a piece whose lettering runs along a direction.
    pub(super) fn of(piece: &Piece, reading: Vec2) -> Self {
        let angle = reading.angle();
        let to_board = Affine::rotate(-angle);
        let turned = |polygon: &[Point]| -> Vec<Point> {
            polygon.iter().map(|point| to_board * *point).collect()
        };
        let shape = Shape {
            outer: turned(&piece.shape.outer),
            holes: piece.shape.holes.iter().map(|hole| turned(hole)).collect(),
        };
        let openings = piece.openings.iter().flat_map(super::Opening::convex_parts);
        let scores = piece.scores.iter().map(|score| vec![score.p0, score.p1]);
        let obstacle = |polygon: Vec<Point>| (turned(&polygon), bounds(&turned(&polygon)));
        let mut taken: Vec<(Vec<Point>, Rect)> = openings.chain(scores).map(obstacle).collect();
        let sides = shape.sides().map(|side| vec![side.p0, side.p1]);
        taken.extend(sides.map(|side| (side.clone(), bounds(&side))));
        Self {
            shape,
            to_floor: to_board.inverse(),
            angle,
            taken,
            lettering: Vec::new(),
        }
    }

    /// The bearing of the board's x on the floor, radians.
    pub(super) const fn angle(&self) -> f64 {
        self.angle
    }

    /// All that was put on it, on the floor.
    pub(super) fn into_lettering(self) -> Vec<Contour> {
        self.lettering
    }

    fn is_free(&self, polygon: &[Point]) -> bool {
        let around = bounds(polygon).inflate(CLEAR_MM, CLEAR_MM);
        self.shape.holds(polygon[0])
            && self
                .taken
                .iter()
                .filter(|(_, other)| meet(around, *other))
                .all(|(other, _)| between(polygon, other) >= CLEAR_MM)
    }

    /// Puts lettering of a size where it has room nearest to a floor point, its middle within `reach` mm of it; `draw` makes it
    /// from the map that takes its own lower left corner to the floor.
    pub(super) fn put(
        &mut self,
        size: (f64, f64),
        near: Point,
        reach: f64,
        draw: impl FnOnce(Affine) -> Vec<Contour>,
    ) -> bool {
        let near = self.to_floor.inverse() * near;
        let area = self.shape.bounds();
        let (across, up) = (
            ((area.width() - size.0) / STEP_MM).floor() as i32,
            ((area.height() - size.1) / STEP_MM).floor() as i32,
        );
        let middle = Vec2::new(size.0 / 2.0, size.1 / 2.0);
        let places = (0..=across).flat_map(|x| (0..=up).map(move |y| (x, y)));
        let mut places: Vec<(f64, Point)> = places
            .map(|(x, y)| area.origin() + Vec2::new(f64::from(x), f64::from(y)) * STEP_MM)
            .map(|corner| ((corner + middle).distance(near), corner))
            .filter(|(distance, _)| *distance <= reach)
            .collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let rect = |corner: Point| Rect::from_origin_size(corner, size);
        let Some((_, corner)) = places
            .into_iter()
            .find(|(_, corner)| self.is_free(&corners(rect(*corner))))
        else {
            return false;
        };
        // A letter's height to the next word, so that two do not read as one.
        let apart = rect(corner).inflate(size.1 / 2.0, 0.0);
        self.take(corners(apart).to_vec());
        let place = self.to_floor * Affine::translate(corner.to_vec2());
        self.lettering.extend(draw(place));
        true
    }

    /// Puts lettering that fills an area of its own at a place on the floor; false where it has no room.
    pub(super) fn put_at(
        &mut self,
        place: Affine,
        area: Rect,
        draw: impl FnOnce() -> Vec<Contour>,
    ) -> bool {
        let to_board = self.to_floor.inverse() * place;
        let polygon = corners(area).map(|corner| to_board * corner).to_vec();
        let free = self.is_free(&polygon);
        if free {
            self.take(polygon);
            let contours = draw();
            self.lettering
                .extend(contours.iter().map(|contour| contour.placed(place)));
        }
        free
    }

    /// Puts a line on the floor; false where it has no room.
    pub(super) fn put_line(&mut self, line: Line) -> bool {
        let to_board = self.to_floor.inverse();
        let polygon = vec![to_board * line.p0, to_board * line.p1];
        let free = self.is_free(&polygon);
        if free {
            self.take(polygon);
            self.lettering.push(Contour::of_points(&[line.p0, line.p1]));
        }
        free
    }

    fn take(&mut self, polygon: Vec<Point>) {
        let around = bounds(&polygon);
        self.taken.push((polygon, around));
    }
}

/// True where two rectangles meet, also such as have no area.
fn meet(one: Rect, other: Rect) -> bool {
    one.x0 <= other.x1 && other.x0 <= one.x1 && one.y0 <= other.y1 && other.y0 <= one.y1
}

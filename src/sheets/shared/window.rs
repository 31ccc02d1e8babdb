//! The part of the floor that one sheet shows.

use kurbo::{Affine, Line, Point, Rect};

use crate::{
    page::clip::{Contour, intersection, line_within},
    plan::bounds,
};

/// The floor polygon that a page shows.
pub struct Window {
    polygon: Contour,
    bounds: Rect,
    pub to_page: Affine,
}

impl Window {
    pub fn new(window: [Point; 4], to_page: Affine) -> Self {
        let polygon = window.to_vec();
        Self {
            bounds: bounds(&polygon),
            polygon,
            to_page,
        }
    }

    pub fn near(&self, rect: Rect) -> bool {
        // Not `Rect::overlaps`: lines along an axis have bounds without area.
        rect.x0 <= self.bounds.x1
            && self.bounds.x0 <= rect.x1
            && rect.y0 <= self.bounds.y1
            && self.bounds.y0 <= rect.y1
    }

    /// True when a point lies on the window, its edge included.
    pub fn shows(&self, point: Point) -> bool {
        let next = self.polygon.iter().skip(1).chain(self.polygon.first());
        let mut turns = self
            .polygon
            .iter()
            .zip(next)
            .map(|(&p, &q)| (q - p).cross(point - p));
        turns.clone().all(|turn| turn >= 0.0) || turns.all(|turn| turn <= 0.0)
    }

    pub fn areas(&self, contours: &[Contour]) -> Vec<Contour> {
        // A contour away from the window, be it outline or hole, changes nothing within it.
        let near: Vec<Contour> = contours
            .iter()
            .filter(|contour| self.near(bounds(contour)))
            .cloned()
            .collect();
        let mut shown = intersection(&near, std::slice::from_ref(&self.polygon));
        for point in shown.iter_mut().flatten() {
            *point = self.to_page * *point;
        }
        shown
    }

    pub fn lines(&self, lines: &[Line]) -> Vec<Line> {
        lines
            .iter()
            .flat_map(|&line| self.line(line))
            .map(|line| self.to_page * line)
            .collect()
    }

    pub fn line(&self, line: Line) -> Vec<Line> {
        if !self.near(Rect::from_points(line.p0, line.p1)) {
            Vec::new()
        } else if self.shows(line.p0) && self.shows(line.p1) {
            vec![line]
        } else {
            line_within(line, std::slice::from_ref(&self.polygon))
        }
    }
}

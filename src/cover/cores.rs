//! What cells have to cover, and which parts of it have nothing to do with each other.
//!
//! Cells cover everything that lies on the floor, to its edges: so wherever a sheet is cut, half an
//! overlap inside its window, nothing is lost, and sheets overlap wherever the layout goes on from one
//! to the next.

use kurbo::{Point, Rect, Size, Vec2};

use super::{Content, content::MARK_HALF_MM};
use crate::{
    plan::{bounds, corners},
    units::SAME_DRAWN_MM,
};

/// Direction of a straight run of strips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Axis {
    /// Along the vehicle, floor x.
    Along,
    /// Across the vehicle, floor y.
    Across,
}

impl Axis {
    /// The coordinate of a point along this axis.
    pub(super) const fn of(self, point: Point) -> f64 {
        match self {
            Self::Along => point.x,
            Self::Across => point.y,
        }
    }

    /// The length of a cell along this axis.
    pub(super) const fn length(self, cell: Size) -> f64 {
        match self {
            Self::Along => cell.width,
            Self::Across => cell.height,
        }
    }

    pub(super) const fn other(self) -> Self {
        match self {
            Self::Along => Self::Across,
            Self::Across => Self::Along,
        }
    }

    /// The rectangle of a span along this axis and one across it.
    pub(super) const fn rect(self, (from, to): (f64, f64), (low, high): (f64, f64)) -> Rect {
        match self {
            Self::Along => Rect::new(from, low, to, high),
            Self::Across => Rect::new(low, from, high, to),
        }
    }
}

/// A straight run of strips square to the vehicle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Run {
    pub axis: Axis,
    /// Where it lies across its axis, mm.
    pub at: f64,
    /// Where it starts and ends along its axis, mm.
    pub from: f64,
    pub to: f64,
    /// Whether a mark lies at its start and at its end.
    pub marked: [bool; 2],
    /// Half its width where it is widest, mm.
    pub half: f64,
    /// Half its width where it is narrowest, mm.
    pub least: f64,
}

impl Run {
    /// The run that holds this one and a parallel one.
    pub(super) fn beside(&self, other: &Self) -> Self {
        let low = (self.at - self.half).min(other.at - other.half);
        let high = (self.at + self.half).max(other.at + other.half);
        Self {
            axis: self.axis,
            at: f64::midpoint(low, high),
            half: (high - low) / 2.0,
            least: 0.0,
            ..self.as_far_as(other)
        }
    }

    /// The run with the ends of a parallel one where those lie further out.
    fn as_far_as(&self, other: &Self) -> Self {
        let start = if other.from < self.from { other } else { self };
        let end = if other.to > self.to { other } else { self };
        Self {
            from: start.from,
            to: end.to,
            marked: [start.marked[0], end.marked[1]],
            ..*self
        }
    }

    /// The run on the floor.
    pub(super) const fn rect(&self) -> Rect {
        self.axis.rect(
            (self.from, self.to),
            (self.at - self.half, self.at + self.half),
        )
    }
}

/// Everything that is to be covered, or a part of it that no cell shares with the rest.
#[derive(Clone, Debug, Default)]
pub(super) struct Cores {
    pub runs: Vec<Run>,
    /// Convex polygons: parts of panels, slanting strips.
    pub patches: Vec<Vec<Point>>,
    /// Marks.
    pub points: Vec<Point>,
}

impl Cores {
    pub(super) fn of(content: &Content) -> Self {
        let mut cores = Self {
            points: content.marks.clone(),
            patches: content.patches.clone(),
            ..Self::default()
        };
        for strip in &content.strips {
            let (p, q) = (strip.axis.p0, strip.axis.p1);
            let half = strip.width / 2.0;
            let axis = if (p.y - q.y).abs() < SAME_DRAWN_MM {
                Axis::Along
            } else if (p.x - q.x).abs() < SAME_DRAWN_MM {
                Axis::Across
            } else {
                let side = Vec2::new(p.y - q.y, q.x - p.x).normalize() * half;
                cores
                    .patches
                    .push(vec![p + side, p - side, q - side, q + side]);
                continue;
            };
            let (start, end) = if axis.of(p) < axis.of(q) {
                (p, q)
            } else {
                (q, p)
            };
            let at = axis.other().of(p);
            let marked = |end: Point| {
                let marks = content.marks.iter();
                marks
                    .into_iter()
                    .any(|mark| mark.distance(end) < SAME_DRAWN_MM)
            };
            cores.add(Run {
                axis,
                at,
                from: axis.of(start),
                to: axis.of(end),
                marked: [marked(start), marked(end)],
                half,
                least: half,
            });
        }
        cores
    }

    /// Adds a run, joined with those on its straight that it touches.
    fn add(&mut self, mut run: Run) {
        let touches = |other: &Run| {
            other.axis == run.axis
                && (other.at - run.at).abs() < SAME_DRAWN_MM
                && other.from <= run.to + SAME_DRAWN_MM
                && run.from <= other.to + SAME_DRAWN_MM
        };
        if let Some(index) = self.runs.iter().position(touches) {
            let other = self.runs.swap_remove(index);
            run = run.as_far_as(&other);
            run.half = run.half.max(other.half);
            run.least = run.least.min(other.least);
            return self.add(run);
        }
        self.runs.push(run);
    }

    /// All of it as convex polygons.
    pub(super) fn polygons(&self) -> Vec<Vec<Point>> {
        let square =
            |mark: &Point| Rect::from_center_size(*mark, (2.0 * MARK_HALF_MM, 2.0 * MARK_HALF_MM));
        let rects = self.runs.iter().map(Run::rect);
        let squares = self.points.iter().map(square);
        let patches = self.patches.iter().cloned();
        let rects = rects.map(|rect| corners(rect).to_vec());
        rects
            .chain(patches)
            .chain(squares.map(|rect| corners(rect).to_vec()))
            .collect()
    }

    /// Parts that no cell can touch together, in the order of their first core.
    pub(super) fn parts(&self, cells: &[Size]) -> Vec<Self> {
        let rects: Vec<Rect> = self
            .polygons()
            .iter()
            .map(|polygon| bounds(polygon))
            .collect();
        let mut part: Vec<usize> = (0..rects.len()).collect();
        for one in 0..rects.len() {
            for other in one + 1..rects.len() {
                if share_a_cell(rects[one], rects[other], cells) && part[one] != part[other] {
                    let (keep, gone) = (part[one].min(part[other]), part[one].max(part[other]));
                    part.iter_mut()
                        .filter(|part| **part == gone)
                        .for_each(|part| *part = keep);
                }
            }
        }
        let mut names = part.clone();
        names.sort_unstable();
        names.dedup();
        let (runs, patches) = (self.runs.len(), self.runs.len() + self.patches.len());
        let pick = |name: usize| Self {
            runs: (0..runs)
                .filter(|&i| part[i] == name)
                .map(|i| self.runs[i])
                .collect(),
            patches: (runs..patches)
                .filter(|&i| part[i] == name)
                .map(|i| self.patches[i - runs].clone())
                .collect(),
            points: (patches..part.len())
                .filter(|&i| part[i] == name)
                .map(|i| self.points[i - patches])
                .collect(),
        };
        names.into_iter().map(pick).collect()
    }
}

/// True when some cell, wherever it lies, touches both rectangles.
pub(super) fn share_a_cell(one: Rect, other: Rect, cells: &[Size]) -> bool {
    let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.1).max(b.0 - a.1).max(0.0);
    let (x, y) = (
        apart((one.x0, one.x1), (other.x0, other.x1)),
        apart((one.y0, one.y1), (other.y0, other.y1)),
    );
    cells
        .iter()
        .any(|cell| x <= cell.width + SAME_DRAWN_MM && y <= cell.height + SAME_DRAWN_MM)
}

/// The part of a convex polygon on the side of a straight line that a normal points to.
pub(super) fn clipped(polygon: &[Point], on: Point, normal: Vec2) -> Vec<Point> {
    let depth = |point: Point| normal.dot(point - on);
    let mut kept = Vec::new();
    for (p, q) in sides(polygon) {
        let (a, b) = (depth(p), depth(q));
        if a >= 0.0 {
            kept.push(p);
        }
        if (a < 0.0) != (b < 0.0) {
            kept.push(p.lerp(q, a / (a - b)));
        }
    }
    kept
}

fn sides(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    polygon
        .iter()
        .copied()
        .zip(polygon.iter().copied().cycle().skip(1))
}

//! What cells have to cover, and which parts of it have nothing to do with each other.
//!
//! A cell is a window less half an overlap on every side. A strip that lies within the window of a
//! sheet may reach into that half overlap sideways, but not at its ends: there stand marks. So of a
//! strip the *core* is its whole length times its width less one overlap; of a panel's part, what is
//! left when half an overlap is taken off on every side; of a mark, its point. Cells that cover all
//! cores belong to windows that show the whole layout, and that overlap wherever it goes on from one
//! to the next.

use kurbo::{Point, Rect, Size, Vec2};

use super::Content;
use crate::plan::{bounds, corners};

/// How far apart, in mm, two coordinates may lie and still count as one.
pub(super) const SAME_MM: f64 = 0.01;

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
    /// Half the width of its core, mm.
    pub half: f64,
}

impl Run {
    /// Its core.
    pub(super) const fn core(&self) -> Rect {
        self.axis.rect((self.from, self.to), (self.at - self.half, self.at + self.half))
    }
}

/// Everything that is to be covered, or a part of it that no cell shares with the rest.
#[derive(Clone, Debug, Default)]
pub(super) struct Cores {
    pub runs: Vec<Run>,
    /// Convex polygons: parts of panels, slanting strips.
    pub patches: Vec<Vec<Point>>,
    /// Marks that lie on none of the others.
    pub points: Vec<Point>,
}

impl Cores {
    pub(super) fn of(content: &Content, overlap: f64) -> Self {
        let half = overlap / 2.0;
        let mut cores = Self::default();
        for strip in &content.strips {
            let (p, q) = (strip.axis.p0, strip.axis.p1);
            let core = (strip.width / 2.0 - half).max(0.0);
            let axis = if (p.y - q.y).abs() < SAME_MM {
                Axis::Along
            } else if (p.x - q.x).abs() < SAME_MM {
                Axis::Across
            } else {
                let side = Vec2::new(p.y - q.y, q.x - p.x).normalize() * core;
                cores.patches.push(vec![p + side, p - side, q - side, q + side]);
                continue;
            };
            let (a, b) = (axis.of(p), axis.of(q));
            let at = axis.other().of(p);
            cores.add(Run { axis, at, from: a.min(b), to: a.max(b), half: core });
        }
        cores.patches.extend(content.patches.iter().map(|patch| eroded(patch, half)));
        let on_run = |mark: Point| cores.runs.iter().any(|run| run.core().inflate(SAME_MM, SAME_MM).contains(mark));
        let on_patch = |mark: Point| cores.patches.iter().any(|patch| holds(patch, mark));
        let free: Vec<Point> = content.marks.iter().copied().filter(|&mark| !on_run(mark) && !on_patch(mark)).collect();
        cores.points = free;
        cores
    }

    /// Adds a run, joined with those on its straight that it touches.
    fn add(&mut self, mut run: Run) {
        let touches = |other: &Run| {
            other.axis == run.axis
                && (other.at - run.at).abs() < SAME_MM
                && other.from <= run.to + SAME_MM
                && run.from <= other.to + SAME_MM
        };
        while let Some(index) = self.runs.iter().position(touches) {
            let other = self.runs.swap_remove(index);
            run.from = run.from.min(other.from);
            run.to = run.to.max(other.to);
            run.half = run.half.max(other.half);
            return self.add(run);
        }
        self.runs.push(run);
    }

    /// Every core as a convex polygon.
    pub(super) fn polygons(&self) -> Vec<Vec<Point>> {
        let runs = self.runs.iter().map(|run| corners(run.core()).to_vec());
        let points = self.points.iter().map(|point| vec![*point]);
        runs.chain(self.patches.iter().cloned()).chain(points).collect()
    }

    /// Parts that no cell can touch together, in the order of their first core.
    pub(super) fn parts(&self, cells: &[Size]) -> Vec<Self> {
        let rects: Vec<Rect> = self.polygons().iter().map(|polygon| bounds(polygon)).collect();
        let mut part: Vec<usize> = (0..rects.len()).collect();
        for one in 0..rects.len() {
            for other in one + 1..rects.len() {
                if share_a_cell(rects[one], rects[other], cells) && part[one] != part[other] {
                    let (keep, gone) = (part[one].min(part[other]), part[one].max(part[other]));
                    part.iter_mut().filter(|part| **part == gone).for_each(|part| *part = keep);
                }
            }
        }
        let mut names = part.clone();
        names.sort_unstable();
        names.dedup();
        let (runs, patches) = (self.runs.len(), self.runs.len() + self.patches.len());
        let pick = |name: usize| Self {
            runs: (0..runs).filter(|&i| part[i] == name).map(|i| self.runs[i]).collect(),
            patches: (runs..patches).filter(|&i| part[i] == name).map(|i| self.patches[i - runs].clone()).collect(),
            points: (patches..part.len()).filter(|&i| part[i] == name).map(|i| self.points[i - patches]).collect(),
        };
        names.into_iter().map(pick).collect()
    }
}

/// True when some cell, wherever it lies, touches both rectangles.
pub(super) fn share_a_cell(one: Rect, other: Rect, cells: &[Size]) -> bool {
    let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.1).max(b.0 - a.1).max(0.0);
    let (x, y) = (apart((one.x0, one.x1), (other.x0, other.x1)), apart((one.y0, one.y1), (other.y0, other.y1)));
    cells.iter().any(|cell| x <= cell.width + SAME_MM && y <= cell.height + SAME_MM)
}

/// What is left of a convex polygon when a square of half side `half` must fit about each point; the
/// polygon itself where nothing is left.
fn eroded(polygon: &[Point], half: f64) -> Vec<Point> {
    let turn: f64 = sides(polygon).map(|(p, q)| p.to_vec2().cross(q.to_vec2())).sum();
    let left = sides(polygon).fold(polygon.to_vec(), |left, (p, q)| {
        // Inward normal; the square reaches half · (|nx| + |ny|) along it.
        let inward = Vec2::new(p.y - q.y, q.x - p.x).normalize() * turn.signum();
        let depth = half * (inward.x.abs() + inward.y.abs());
        clipped(&left, p + inward * depth, inward)
    });
    if left.is_empty() { polygon.to_vec() } else { left }
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

/// True when a convex polygon holds a point, its edge included.
fn holds(polygon: &[Point], point: Point) -> bool {
    let turns: Vec<f64> = sides(polygon).map(|(p, q)| (q - p).cross(point - p)).collect();
    turns.iter().all(|&turn| turn >= 0.0) || turns.iter().all(|&turn| turn <= 0.0)
}

fn sides(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    polygon.iter().copied().zip(polygon.iter().copied().cycle().skip(1))
}

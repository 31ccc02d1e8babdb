//! Scored lines: the vehicle's centreline and axles, and the arms of marks' crosses.

use kurbo::{Line, Rect};

use super::{bed::Bed, distance::left_over, outline::axles, shape::Shape};
use crate::{
    plan::{FloorPlan, MarkShape},
    units::SAME_TAPED_MM,
};

/// Distance a score keeps from a cut, so that it does not weaken the cut's edge, mm.
const OFF_CUT_MM: f64 = 0.5;

/// Shortest score, mm.
const SHORTEST_MM: f64 = 1.0;

/// A line along x or along y.
struct Score {
    is_along_x: bool,
    at: f64,
    stretches: Vec<(f64, f64)>,
}

/// The scores of a mat, each stretch once, none over an opening.
pub(super) fn scores(mat: Rect, plan: &FloorPlan, bed: &Bed) -> Vec<Line> {
    let mut scores: Vec<Score> = Vec::new();
    let mut add = |is_along_x: bool, at: f64, from: f64, to: f64| {
        let same = |score: &&mut Score| {
            score.is_along_x == is_along_x && (score.at - at).abs() < SAME_TAPED_MM
        };
        match scores.iter_mut().find(same) {
            Some(score) => score.stretches.push((from, to)),
            None => scores.push(Score {
                is_along_x,
                at,
                stretches: vec![(from, to)],
            }),
        }
    };
    add(true, 0.0, mat.x0, mat.x1);
    for axle in axles(plan) {
        // Each side has its own line where the wheelbases differ.
        for (x, from, to) in [(axle.left, 0.0, mat.y1), (axle.right, mat.y0, 0.0)] {
            if x > mat.x0 && x < mat.x1 {
                add(false, x, from, to);
            }
        }
    }
    for mark in &plan.marks {
        add(
            true,
            mark.at.y,
            mark.at.x - MarkShape::FULL.arm,
            mark.at.x + MarkShape::FULL.arm,
        );
        add(
            false,
            mark.at.x,
            mark.at.y - MarkShape::FULL.arm,
            mark.at.y + MarkShape::FULL.arm,
        );
    }
    scores
        .into_iter()
        .flat_map(Score::lines)
        .flat_map(|line| off_openings(line, bed))
        .collect()
}

impl Score {
    fn lines(mut self) -> Vec<Line> {
        self.stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut joined: Vec<(f64, f64)> = Vec::new();
        for (from, to) in self.stretches {
            match joined.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => joined.push((from, to)),
            }
        }
        let at = self.at;
        let line = |(from, to): (f64, f64)| {
            if self.is_along_x {
                Line::new((from, at), (to, at))
            } else {
                Line::new((at, from), (at, to))
            }
        };
        joined.into_iter().map(line).collect()
    }
}

fn off_openings(line: Line, bed: &Bed) -> Vec<Line> {
    let length = (line.p1 - line.p0).hypot();
    let at = |distance: f64| line.p0.lerp(line.p1, distance / length);
    left_over((0.0, length), bed.near(line, OFF_CUT_MM))
        .into_iter()
        .filter(|(from, to)| to - from >= SHORTEST_MM)
        .map(|(from, to)| Line::new(at(from), at(to)))
        .collect()
}

/// The parts of a line that lie in a piece and are long enough to score.
pub(super) fn within(line: Line, shape: &Shape) -> Vec<Line> {
    let length = (line.p1 - line.p0).hypot();
    let at = |distance: f64| line.p0.lerp(line.p1, distance / length);
    shape
        .stretches_on(line)
        .into_iter()
        .map(|(from, to)| (from.max(0.0), to.min(length)))
        .filter(|(from, to)| to - from >= SHORTEST_MM)
        .map(|(from, to)| Line::new(at(from), at(to)))
        .collect()
}

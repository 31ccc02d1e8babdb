//! Lines of several vehicles on one mat: each stretch once, with all who use it.

use std::collections::BTreeMap;

use kurbo::Point;

use super::SHARED_MM;
use crate::{
    plan::{FloorPlan, Line, Mark},
    template::StripEnds,
};

/// A vehicle's line between marks of the mat.
struct MatStrip {
    from: usize,
    to: usize,
    width: f64,
    ends: StripEnds,
    past: [f64; 2],
    vehicle: usize,
}

/// The lines of a mat, with the vehicles that use each. `index_of` has, by vehicle and mark, the mark of the mat.
pub(super) fn join_lines(
    plans: &[FloorPlan],
    marks: &[Mark],
    index_of: &[Vec<usize>],
) -> (Vec<Line>, Vec<Vec<usize>>) {
    let strips: Vec<MatStrip> = plans
        .iter()
        .enumerate()
        .flat_map(|(vehicle, plan)| {
            let index = &index_of[vehicle];
            plan.lines.iter().map(move |line| MatStrip {
                from: index[line.from],
                to: index[line.to],
                width: line.width,
                ends: line.ends,
                past: line.past,
                vehicle,
            })
        })
        .collect();
    let mut lines: Vec<Line> = Vec::new();
    let mut users: Vec<Vec<usize>> = Vec::new();
    for strip in &strips {
        let cuts = pieces(strip, &strips, marks);
        for piece in cuts.windows(2) {
            // Its own ends alone run past their marks.
            let past = [(piece[0], strip.from, 0), (piece[1], strip.to, 1)]
                .map(|(mark, end, which)| if mark == end { strip.past[which] } else { 0.0 });
            let same = lines.iter().position(|line| {
                line.width == strip.width
                    && ([line.from, line.to] == [piece[0], piece[1]]
                        || [line.to, line.from] == [piece[0], piece[1]])
            });
            if let Some(line) = same.map(|known| &mut lines[known]) {
                let turned = line.from != piece[0];
                for end in [0, 1] {
                    let other = if turned { 1 - end } else { end };
                    line.past[end] = line.past[end].max(past[other]);
                }
            }
            match same {
                Some(known) if !users[known].contains(&strip.vehicle) => {
                    users[known].push(strip.vehicle)
                }
                Some(_) => {}
                None => {
                    lines.push(Line {
                        ends: strip.ends,
                        past,
                        ..Line::new(piece[0], piece[1], strip.width)
                    });
                    users.push(vec![strip.vehicle]);
                }
            }
        }
    }
    (lines, users)
}

/// The marks at which a strip is cut, its ends included, in order from its start.
fn pieces(strip: &MatStrip, strips: &[MatStrip], marks: &[Mark]) -> Vec<usize> {
    let (from, to) = (marks[strip.from].at, marks[strip.to].at);
    let length = from.distance(to);
    let along = (to - from) / length;
    let mut cuts = BTreeMap::new();
    for other in strips
        .iter()
        .filter(|other| other.width == strip.width && run_together(strip, other, marks))
    {
        for end in [other.from, other.to] {
            let at = along.dot(marks[end].at - from);
            if at > SHARED_MM && at < length - SHARED_MM {
                cuts.insert(end, at);
            }
        }
    }
    let mut inner: Vec<(usize, f64)> = cuts.into_iter().collect();
    inner.sort_by(|a, b| a.1.total_cmp(&b.1));
    std::iter::once(strip.from)
        .chain(inner.into_iter().map(|(mark, _)| mark))
        .chain([strip.to])
        .collect()
}

/// True when two strips run on one straight and share more than an end.
fn run_together(one: &MatStrip, other: &MatStrip, marks: &[Mark]) -> bool {
    let ends = |strip: &MatStrip| (marks[strip.from].at, marks[strip.to].at);
    let on = |(from, to): (Point, Point), (p, q): (Point, Point)| {
        let along = (to - from).normalize();
        [p, q]
            .iter()
            .all(|&end| along.cross(end - from).abs() < SHARED_MM)
    };
    let (a, b) = (ends(one), ends(other));
    if !on(a, b) || !on(b, a) {
        return false;
    }
    let along = (a.1 - a.0).normalize();
    let (p, q) = (along.dot(b.0 - a.0), along.dot(b.1 - a.0));
    p.max(q).min(a.0.distance(a.1)) - p.min(q).max(0.0) > SHARED_MM
}

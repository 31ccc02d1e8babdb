//! Nodes and stretches of a network.

use kurbo::{Point, Size};

use super::super::{
    content::MARK_HALF_MM,
    cores::{Axis, Run},
};
use crate::units::SAME_DRAWN_MM;

/// An end beyond a run's last crossing is short up to this share of the shorter side of a cell, which then holds
/// it beside the crossing and keeps a third for the arm on the other side.
const SHORT_END: f64 = 2.0 / 3.0;

/// A crossing of a run along the vehicle with one across.
pub(super) struct Node {
    pub at: Point,
    /// Indices of the two runs, in the order of the axes.
    pub runs: [usize; 2],
    /// By axis and end: whether the strip goes on there.
    pub arms: [[bool; 2]; 2],
}

/// A part of a run between two nodes, a node and an end, or its two ends.
pub(super) struct Stretch {
    pub run: usize,
    pub from: f64,
    pub to: f64,
    /// Nodes at its start and its end.
    pub nodes: [Option<usize>; 2],
    /// Whether a mark lies at its start and its end where that is free.
    pub marked: [bool; 2],
}

impl Node {
    pub fn new(at: Point, [along, across]: [usize; 2], runs: &[Run]) -> Self {
        let goes_on = |run: &Run| {
            let place = run.axis.of(at);
            [
                run.from < place - MARK_HALF_MM,
                run.to > place + MARK_HALF_MM,
            ]
        };
        Self {
            at,
            runs: [along, across],
            arms: [goes_on(&runs[along]), goes_on(&runs[across])],
        }
    }
}

impl Stretch {
    /// Where what cells have to cover of it starts and ends, with room beyond marks at its free ends.
    pub fn span(&self, clearance: f64) -> [f64; 2] {
        let beyond = |end: usize| {
            if self.nodes[end].is_none() && self.marked[end] {
                clearance
            } else {
                0.0
            }
        };
        [self.from - beyond(0), self.to + beyond(1)]
    }
}

/// A run up to its outermost crossings where what lies beyond is short, or within the run that it crosses.
pub(super) fn without_short_ends(run: &Run, runs: &[Run], cells: [Size; 2]) -> Run {
    let sides = cells.iter().flat_map(|cell| [cell.width, cell.height]);
    let short = SHORT_END * sides.fold(f64::INFINITY, f64::min);
    let mut part = *run;
    for other in runs {
        let Some(place) = crossing(run, other).map(|at| run.axis.of(at)) else {
            continue;
        };
        let short = short.max(other.half + SAME_DRAWN_MM);
        if place - run.from <= short {
            part.from = part.from.max(place);
        }
        if run.to - place <= short {
            part.to = part.to.min(place);
        }
    }
    part.from = part.from.min(part.to);
    part
}

/// Where two runs of different axes meet.
pub(super) fn crossing(one: &Run, other: &Run) -> Option<Point> {
    let (along, across) = if one.axis == Axis::Along {
        (one, other)
    } else {
        (other, one)
    };
    let on = |run: &Run, place: f64| {
        run.from - SAME_DRAWN_MM <= place && place <= run.to + SAME_DRAWN_MM
    };
    let meet = one.axis != other.axis && on(along, across.at) && on(across, along.at);
    meet.then(|| Point::new(across.at, along.at))
}

pub(super) fn stretches(index: usize, run: &Run, nodes: &[Node]) -> Vec<Stretch> {
    let mut on: Vec<(f64, usize)> = nodes
        .iter()
        .enumerate()
        .filter(|(_, node)| node.runs.contains(&index))
        .map(|(number, node)| (run.axis.of(node.at), number))
        .collect();
    on.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut cuts: Vec<(f64, Option<usize>)> = vec![(run.from, None)];
    cuts.extend(on.into_iter().map(|(place, node)| (place, Some(node))));
    cuts.push((run.to, None));
    let between = cuts
        .windows(2)
        .filter(|pair| pair[1].0 - pair[0].0 > MARK_HALF_MM || pair.iter().all(|p| p.1.is_none()));
    between
        .map(|pair| Stretch {
            run: index,
            from: pair[0].0,
            to: pair[1].0,
            nodes: [pair[0].1, pair[1].1],
            marked: run.marked,
        })
        .collect()
}

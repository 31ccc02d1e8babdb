//! Where joints divide bars: close beside junctions, then as far apart as the bed is long.

use kurbo::{Line, Point, Vec2};

use super::region::Bar;
use crate::{
    plan::{FloorPlan, MarkShape},
    stencil::{
        CutOptions,
        outline::NOTCH_DEPTH_MM,
        shape::{Shape, inside},
    },
};

/// Step in which a bar is looked at, and in which joints find their places, mm.
const STEP_MM: f64 = 5.0;

/// How much wider than its bar a section may be and still be the bar's alone, mm.
const SECTION_MM: f64 = 0.5;

/// How far from where it could be a joint beside a junction may be moved, mm, where that saves a joint.
const ARM_MM: f64 = 160.0;

/// Shortest piece of a bar, mm: shorter ones are lost and do not lie straight (common practice, no source).
const SHORTEST_MM: f64 = 150.0;

/// Cosine above which a corner of the material counts as straight: 10°.
const STRAIGHT: f64 = 0.985;

/// A stretch of a bar that no other material meets, mm from the bar's start.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Run {
    from: f64,
    to: f64,
    /// True where a junction lies before, and behind it.
    after_junction: bool,
    before_junction: bool,
}

/// What a bar keeps joints off.
struct Section {
    junctions: Vec<(f64, f64)>,
    closed: Vec<(f64, f64)>,
}

/// The places of a bar's joints, as lines across it, left to right; pieces between them are at most `most` mm long.
pub(super) fn joints_of(
    bar: &Bar,
    shape: &Shape,
    plan: &FloorPlan,
    options: &CutOptions,
    most: f64,
) -> Vec<Line> {
    let section = Section::of(bar, shape, plan, options);
    let along = bar.along();
    let across = Vec2::new(-along.y, along.x) * (bar.width / 2.0);
    section
        .runs(bar.length())
        .into_iter()
        .flat_map(|run| section.places(run, most))
        .map(|at| bar.axis.p0 + along * at)
        .map(|at| Line::new(at - across, at + across))
        .collect()
}

/// Corners of the material at which it turns.
pub(super) fn turns(shape: &Shape) -> Vec<Point> {
    let of_contour = |contour: &[Point]| {
        let count = contour.len();
        (0..count)
            .filter(|&index| {
                let before = contour[(index + count - 1) % count];
                let after = contour[(index + 1) % count];
                let (into, out) = (contour[index] - before, after - contour[index]);
                into.normalize().dot(out.normalize()) < STRAIGHT
            })
            .map(|index| contour[index])
            .collect::<Vec<_>>()
    };
    shape.contours().flat_map(of_contour).collect()
}

impl Section {
    fn of(bar: &Bar, shape: &Shape, plan: &FloorPlan, options: &CutOptions) -> Self {
        let (along, half, length) = (bar.along(), bar.width / 2.0, bar.length());
        let local = |point: Point| {
            let from = point - bar.axis.p0;
            (along.dot(from), along.cross(from))
        };
        let near: Vec<Line> = shape
            .sides()
            .filter(|side| {
                let ((s0, n0), (s1, n1)) = (local(side.p0), local(side.p1));
                let reach = half + bar.width;
                s0.max(s1) > -STEP_MM
                    && s0.min(s1) < length + STEP_MM
                    && n0.max(n1) > -reach
                    && n0.min(n1) < reach
            })
            .collect();
        let count = (length / STEP_MM).floor() as usize;
        let is_junction = |at: f64| {
            let start = bar.axis.p0 + along * at;
            let across = Line::new(start, start + Vec2::new(-along.y, along.x));
            let own = inside(near.iter().copied(), across)
                .into_iter()
                .find(|(from, to)| *from <= 0.0 && *to >= 0.0);
            own.is_none_or(|(from, to)| from < -half - SECTION_MM || to > half + SECTION_MM)
        };
        let mut junctions: Vec<(f64, f64)> = Vec::new();
        // A notch in the end of a bar takes its axis there, which is no junction.
        let stations = (0..count).map(|index| (index as f64 + 0.5) * STEP_MM);
        let within = NOTCH_DEPTH_MM..=length - NOTCH_DEPTH_MM;
        for at in stations.filter(|at| within.contains(at)) {
            if !is_junction(at) {
                continue;
            }
            match junctions.last_mut() {
                Some((_, to)) if at - *to <= STEP_MM => *to = at + STEP_MM / 2.0,
                _ => junctions.push((at - STEP_MM / 2.0, at + STEP_MM / 2.0)),
            }
        }
        let mut closed: Vec<(f64, f64)> = Vec::new();
        let mut close = |point: Point, reach: f64, keep_off: f64| {
            let (at, off) = local(point);
            if off.abs() <= half + reach {
                closed.push((at - keep_off, at + keep_off));
            }
        };
        let room = options.joint_reach();
        for mark in &plan.marks {
            close(mark.at, MarkShape::FULL.arm, MarkShape::FULL.arm + room);
        }
        for turn in turns(shape) {
            close(turn, SECTION_MM, options.tab_length() + options.bridge);
        }
        Self { junctions, closed }
    }

    /// The stretches between junctions.
    fn runs(&self, length: f64) -> Vec<Run> {
        let mut runs = Vec::new();
        let mut from = (0.0, false);
        let ends = self
            .junctions
            .iter()
            .map(|&(start, end)| (start, end, true));
        for (start, end, before_junction) in ends.chain([(length, length, false)]) {
            if start > from.0 {
                runs.push(Run {
                    from: from.0,
                    to: start,
                    after_junction: from.1,
                    before_junction,
                });
            }
            from = (end, true);
        }
        runs
    }

    /// The joints of a run: the fewest, those beside junctions close to them, pieces between as long as can be. None where
    /// the run is too short for a piece, or no joints divide it far enough.
    fn places(&self, run: Run, most: f64) -> Vec<f64> {
        let length = run.to - run.from;
        let is_free = |at: f64| self.closed.iter().all(|&(from, to)| at <= from || at >= to);
        let count = (length / STEP_MM).floor() as usize;
        let ends = self.closed.iter().flat_map(|&(from, to)| [from, to]);
        let mut free: Vec<f64> = (0..=count)
            .map(|index| run.from + index as f64 * STEP_MM)
            .chain(ends)
            .filter(|at| (run.from..=run.to).contains(at) && is_free(*at))
            .collect();
        free.sort_by(f64::total_cmp);
        free.dedup_by(|a, b| *a - *b < SECTION_MM);
        fewest(run, &free, most).unwrap_or_default()
    }
}

/// What the best way to a place costs, and the place before it.
#[derive(Clone, Copy)]
struct Way {
    joints: usize,
    cost: f64,
    before: Option<usize>,
}

/// Shortest ways over the free places, by the number of joints and then by their cost (dynamic programming).
fn fewest(run: Run, free: &[f64], most: f64) -> Option<Vec<f64>> {
    let first = *free.first()?;
    let last = *free.last()?;
    if !run.after_junction && !run.before_junction && run.to - run.from <= most {
        return None;
    }
    // Material that a longer arm of a corner piece takes from straight ones costs room on the bed; one long piece and a rest
    // lie better than two that are half as long.
    let arm = |way: f64| way * most;
    let piece = |length: f64| -length * length;
    let mut ways: Vec<Option<Way>> = Vec::with_capacity(free.len());
    for (index, &at) in free.iter().enumerate() {
        let start = if run.after_junction {
            (at - first <= ARM_MM).then(|| arm(at - first))
        } else {
            let length = at - run.from;
            (SHORTEST_MM..=most)
                .contains(&length)
                .then(|| piece(length))
        };
        let mut best = start.map(|cost| Way {
            joints: 1,
            cost,
            before: None,
        });
        for (before, &from) in free[..index].iter().enumerate() {
            let length = at - from;
            let (true, Some(way)) = ((SHORTEST_MM..=most).contains(&length), ways[before]) else {
                continue;
            };
            let longer = Way {
                joints: way.joints + 1,
                cost: way.cost + piece(length),
                before: Some(before),
            };
            if best.is_none_or(|best| longer.is_better_than(best)) {
                best = Some(longer);
            }
        }
        ways.push(best);
    }
    let ended = |index: usize| {
        let way = ways[index]?;
        let cost = if run.before_junction {
            (last - free[index] <= ARM_MM).then(|| arm(last - free[index]))
        } else {
            let length = run.to - free[index];
            (SHORTEST_MM..=most)
                .contains(&length)
                .then(|| piece(length))
        }?;
        Some((
            index,
            Way {
                cost: way.cost + cost,
                ..way
            },
        ))
    };
    let best = (0..free.len())
        .filter_map(ended)
        .reduce(|a, b| if b.1.is_better_than(a.1) { b } else { a })?;
    let mut places = Vec::new();
    let mut at = Some(best.0);
    while let Some(index) = at {
        places.push(free[index]);
        at = ways[index].and_then(|way| way.before);
    }
    places.reverse();
    Some(places)
}

impl Way {
    fn is_better_than(&self, other: Self) -> bool {
        self.joints
            .cmp(&other.joints)
            .then(self.cost.total_cmp(&other.cost))
            .is_lt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(from: f64, to: f64) -> Vec<f64> {
        let count = ((to - from) / STEP_MM) as usize;
        (0..=count)
            .map(|index| from + index as f64 * STEP_MM)
            .collect()
    }

    fn run(from: f64, to: f64, after_junction: bool, before_junction: bool) -> Run {
        Run {
            from,
            to,
            after_junction,
            before_junction,
        }
    }

    #[test]
    fn a_bar_between_junctions_is_one_joint_beside_each_and_as_long_pieces_as_can_be_between() {
        let places = fewest(run(0.0, 2000.0, true, true), &grid(30.0, 1970.0), 1200.0).unwrap();
        assert_eq!(places.len(), 3);
        assert_eq!((places[0], places[2]), (30.0, 1970.0));
        let longest = (places[1] - places[0]).max(places[2] - places[1]);
        assert_eq!(longest, 1200.0);
    }

    #[test]
    fn an_arm_grows_where_that_saves_a_joint() {
        // 30 to 2470 would take three pieces of 1200; with an arm longer by 40 it takes two.
        let places = fewest(run(0.0, 2500.0, true, true), &grid(30.0, 2470.0), 1200.0).unwrap();
        assert_eq!(places.len(), 3);
        assert!(places[2] - places[0] <= 2400.0);
    }

    #[test]
    fn a_bar_that_fits_the_bed_and_meets_nothing_has_no_joint() {
        assert_eq!(
            fewest(run(0.0, 900.0, false, false), &grid(0.0, 900.0), 1200.0),
            None
        );
        let places = fewest(run(0.0, 1900.0, false, false), &grid(0.0, 1900.0), 1200.0).unwrap();
        assert_eq!(places.len(), 1);
    }
}

//! Distances that a tape can reach.

use kurbo::Point;

use crate::plan::FloorPlan;

/// Longest distance that is taped, mm; `None` for any.
pub type LongestPull = Option<f64>;

/// Shortest distance, mm: below, a tape says next to nothing of the direction.
const SHORTEST_MM: f64 = 100.0;

/// More distances than this, and only some are chosen from: see [`Candidates::of`].
const MOST: usize = 1800;

/// Directions in which each mark keeps its nearest and its farthest neighbour.
const SECTORS: usize = 8;

/// Pairs of marks.
#[derive(Clone, Debug)]
pub(super) struct Candidates {
    /// Those to choose from, by their indices, the smaller first, in rising order.
    pub pairs: Vec<[usize; 2]>,
}

impl Candidates {
    /// All distances that do not run through a wheel and are neither too short nor too long. Of more than 1800, the
    /// layout's own checks stay, and for each mark the nearest and the farthest neighbour in each of
    /// eight directions: what holds a mark is the variety of directions, what holds the whole are long
    /// distances.
    pub(super) fn of(plan: &FloorPlan, longest: LongestPull) -> Self {
        let at = |mark: usize| plan.marks[mark].at;
        let length = |[from, to]: [usize; 2]| at(from).distance(at(to));
        let mut pairs: Vec<[usize; 2]> = (0..plan.marks.len())
            .flat_map(|to| (0..to).map(move |from| [from, to]))
            .filter(|&pair| {
                length(pair) >= SHORTEST_MM
                    && longest.is_none_or(|longest| length(pair) <= longest)
                    && !plan.vehicle.through_wheel(at(pair[0]), at(pair[1]))
            })
            .collect();
        pairs.sort_unstable();
        if pairs.len() > MOST {
            pairs = thinned(plan, &pairs, length);
        }
        Self { pairs }
    }
}

fn thinned(
    plan: &FloorPlan,
    pairs: &[[usize; 2]],
    length: impl Fn([usize; 2]) -> f64,
) -> Vec<[usize; 2]> {
    let mut around: Vec<[Vec<[usize; 2]>; SECTORS]> = vec![Default::default(); plan.marks.len()];
    for &[from, to] in pairs {
        for (mark, other) in [(from, to), (to, from)] {
            around[mark][sector(plan.marks[mark].at, plan.marks[other].at)].push([from, to]);
        }
    }
    let by_length =
        |a: &&[usize; 2], b: &&[usize; 2]| length(**a).total_cmp(&length(**b)).then(a.cmp(b));
    let ends = around
        .iter()
        .flatten()
        .flat_map(|way| [way.iter().min_by(by_length), way.iter().max_by(by_length)]);
    let known = plan
        .checks
        .iter()
        .map(|check| [check.from.min(check.to), check.from.max(check.to)]);
    let known = known.filter(|pair| pairs.binary_search(pair).is_ok());
    let mut kept: Vec<[usize; 2]> = ends.flatten().copied().chain(known).collect();
    kept.sort_unstable();
    kept.dedup();
    kept
}

fn sector(from: Point, to: Point) -> usize {
    let turn = (to - from).atan2() / std::f64::consts::TAU + 0.5;
    (turn * SECTORS as f64) as usize % SECTORS
}

//! Two distances that mirror each other, for diagonals.

use crate::{
    plan::{CheckKind, FloorPlan},
    units::ROUND_OFF_MM,
};

/// Indices of two checks of a plan, one the mirror image of the other, neither along nor across the vehicle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::practice) struct Pair {
    /// The one.
    pub first: usize,
    /// The other.
    pub second: usize,
}

/// Shortest way along and across that makes a diagonal, mm.
const LEAST_LEG_MM: f64 = 100.0;

/// The longest pair between `wanted` marks; diagonals before ties.
pub(in crate::practice) fn longest_pair(plan: &FloorPlan, wanted: &[usize]) -> Option<Pair> {
    let legs = |index: usize| {
        let check = &plan.checks[index];
        let way = plan.marks[check.to].at - plan.marks[check.from].at;
        (way.x.abs(), way.y.abs())
    };
    let slanted = |index: &usize| {
        let check = &plan.checks[*index];
        let (along, across) = legs(*index);
        along.min(across) >= LEAST_LEG_MM
            && [check.from, check.to]
                .iter()
                .all(|mark| wanted.contains(mark))
    };
    let slanted: Vec<usize> = (0..plan.checks.len()).filter(slanted).collect();
    let mirrored = |one: usize, other: usize| {
        let ((a, b), (c, d)) = (legs(one), legs(other));
        (a - c).abs() < ROUND_OFF_MM && (b - d).abs() < ROUND_OFF_MM
    };
    let pairs = slanted.iter().enumerate().flat_map(|(at, &first)| {
        let rest = slanted[at + 1..]
            .iter()
            .copied()
            .filter(move |&second| mirrored(first, second));
        rest.map(move |second| Pair { first, second })
    });
    let rank = |pair: &Pair| {
        let check = &plan.checks[pair.first];
        (check.kind == CheckKind::Diagonal, check.distance)
    };
    pairs.fold(None, |best, pair| match best {
        Some(known) if rank(&known) >= rank(&pair) => Some(known),
        _ => Some(pair),
    })
}

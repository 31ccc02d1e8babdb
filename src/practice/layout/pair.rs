//! Two distances that mirror each other, for diagonals.

use crate::{
    plan::{Check, CheckKind, FloorPlan},
    units::ROUND_OFF_MM,
};

/// Shortest way along and across that makes a diagonal, mm.
const LEAST_LEG_MM: f64 = 100.0;

/// A check as the long side of a right triangle.
pub(in crate::practice) struct Slant {
    /// Both ends: "1L – 4R".
    pub name: String,
    /// How far along the vehicle, mm.
    pub along: f64,
    /// How far across, mm.
    pub across: f64,
}

impl Slant {
    /// Of a plan's check.
    pub fn of(plan: &FloorPlan, check: &Check) -> Self {
        let [from, to] = [check.from, check.to].map(|mark| &plan.marks[mark]);
        Self {
            name: format!("{} \u{2013} {}", from.id, to.id),
            along: (to.at.x - from.at.x).abs(),
            across: (to.at.y - from.at.y).abs(),
        }
    }
}

/// The longest two checks between `wanted` marks of which one is the mirror image of the other, neither along nor across the
/// vehicle; diagonals before ties.
pub(in crate::practice) fn longest_pair<'a>(
    plan: &'a FloorPlan,
    wanted: &[usize],
) -> Option<[&'a Check; 2]> {
    let slanted: Vec<(&Check, Slant)> = plan
        .checks
        .iter()
        .filter(|check| wanted.contains(&check.from) && wanted.contains(&check.to))
        .map(|check| (check, Slant::of(plan, check)))
        .filter(|(_, slant)| slant.along.min(slant.across) >= LEAST_LEG_MM)
        .collect();
    let mirrored = |one: &Slant, other: &Slant| {
        (one.along - other.along).abs() < ROUND_OFF_MM
            && (one.across - other.across).abs() < ROUND_OFF_MM
    };
    let pairs = slanted.iter().enumerate().flat_map(|(at, (first, one))| {
        let rest = slanted[at + 1..]
            .iter()
            .filter(|(_, other)| mirrored(one, other));
        rest.map(|(second, _)| [*first, *second])
    });
    let rank = |[first, _]: &[&Check; 2]| (first.kind == CheckKind::Diagonal, first.distance);
    pairs.reduce(|best, pair| {
        if rank(&best) >= rank(&pair) {
            best
        } else {
            pair
        }
    })
}

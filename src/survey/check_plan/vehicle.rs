//! Distances from the plumbed wheel marks: how the layout lies against the vehicle.

use kurbo::Point;

use super::{VehicleCheck, candidates::LongestPull};
use crate::{
    plan::FloorPlan,
    survey::{Precision, wheel_marks},
    units::ROUND_OFF,
};

/// Shortest distance, mm.
const SHORTEST_MM: f64 = 100.0;

/// For each wheel the two distances to marks that fix it best, where a tape can reach: of all pairs the one with
/// the most information in its worst direction (larger smaller eigenvalue of Σ p u uᵀ), which is one near
/// mark and one at a wide angle to it. In the order of the wheels, the shorter first.
pub(super) fn vehicle_checks(
    plan: &FloorPlan,
    precision: &Precision,
    longest: LongestPull,
) -> Vec<VehicleCheck> {
    let mut checks: Vec<VehicleCheck> = Vec::new();
    for (wheel, at) in wheel_marks(&plan.vehicle) {
        for mark in best_two(plan, precision, longest, at) {
            let mark_at = plan.marks[mark].at;
            let distance = at.distance(mark_at);
            checks.push(VehicleCheck {
                id: format!("V{}", checks.len() + 1),
                wheel: wheel.to_owned(),
                wheel_at: at,
                mark,
                distance,
            });
        }
    }
    checks
}

/// Standard deviation of a reading from a wheel mark: the mark is as uncertain as the plumb bob.
fn sd(precision: &Precision, distance: f64) -> f64 {
    precision.distance(distance).hypot(precision.plumb)
}

fn best_two(
    plan: &FloorPlan,
    precision: &Precision,
    longest: LongestPull,
    at: Point,
) -> Vec<usize> {
    let reachable = |mark: &usize| {
        let distance = at.distance(plan.marks[*mark].at);
        distance >= SHORTEST_MM
            && longest.is_none_or(|longest| distance <= longest)
            && !plan.vehicle.through_wheel(at, plan.marks[*mark].at)
    };
    let mut marks: Vec<usize> = (0..plan.marks.len()).filter(reachable).collect();
    marks.sort_by(|&a, &b| {
        at.distance(plan.marks[a].at)
            .total_cmp(&at.distance(plan.marks[b].at))
            .then(a.cmp(&b))
    });
    let information = |a: usize, b: usize| {
        let [(p, u), (q, v)] = [a, b].map(|mark| {
            let to = plan.marks[mark].at - at;
            (sd(precision, to.hypot()).powi(-2), to.normalize())
        });
        let (half, determinant) = (f64::midpoint(p, q), p * q * u.cross(v).powi(2));
        half - half.mul_add(half, -determinant).max(0.0).sqrt()
    };
    let mut best: Option<(f64, [usize; 2])> = None;
    for (index, &second) in marks.iter().enumerate() {
        for &first in &marks[..index] {
            let found = information(first, second);
            if best.is_none_or(|(most, _)| found > most * (1.0 + ROUND_OFF)) {
                best = Some((found, [first, second]));
            }
        }
    }
    best.map_or_else(
        || marks.into_iter().take(1).collect(),
        |(_, pair)| pair.to_vec(),
    )
}

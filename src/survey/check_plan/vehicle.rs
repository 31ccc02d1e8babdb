//! Distances from the plumbed wheel marks: how the layout lies against the vehicle.

use kurbo::{Point, Vec2};
use nalgebra::{Matrix3, Vector3};

use super::{
    PoseDetectable,
    candidates::LongestPull,
    limits::{expected_from_wheel, limits},
};
use crate::{
    plan::{FloorPlan, VehicleCheck},
    survey::{Precision, non_centrality, setting_out::SettingOut, wheel_marks},
};

/// Shortest distance, mm.
const SHORTEST_MM: f64 = 100.0;

/// For each wheel the two distances to marks that fix it best, where a tape can reach: of all pairs the one with
/// the most information in its worst direction (larger smaller eigenvalue of Σ p u uᵀ), which is one near
/// mark and one at a wide angle to it. In the order of the wheels, the shorter first.
pub(super) fn vehicle_checks(plan: &FloorPlan, precision: &Precision, longest: LongestPull) -> Vec<VehicleCheck> {
    let setting_out = SettingOut { vehicle: &plan.vehicle, precision };
    let mut checks: Vec<VehicleCheck> = Vec::new();
    for (wheel, at) in wheel_marks(&plan.vehicle) {
        for mark in best_two(plan, precision, longest, at) {
            let mark_at = plan.marks[mark].at;
            let distance = at.distance(mark_at);
            let sd = sd(precision, distance);
            let expected = expected_from_wheel(setting_out, at, mark_at, sd);
            checks.push(VehicleCheck {
                id: format!("V{}", checks.len() + 1),
                wheel: wheel.to_owned(),
                wheel_at: at,
                mark,
                distance,
                limits: limits(plan.marks[mark].tolerance, sd, expected),
            });
        }
    }
    checks
}

/// Standard deviation of a reading from a wheel mark: the mark is as uncertain as the plumb bob.
fn sd(precision: &Precision, distance: f64) -> f64 {
    precision.distance(distance).hypot(precision.plumb)
}

fn best_two(plan: &FloorPlan, precision: &Precision, longest: LongestPull, at: Point) -> Vec<usize> {
    let reachable = |mark: &usize| {
        let distance = at.distance(plan.marks[*mark].at);
        distance >= SHORTEST_MM
            && longest.is_none_or(|longest| distance <= longest)
            && !plan.vehicle.through_wheel(at, plan.marks[*mark].at)
    };
    let mut marks: Vec<usize> = (0..plan.marks.len()).filter(reachable).collect();
    marks.sort_by(|&a, &b| at.distance(plan.marks[a].at).total_cmp(&at.distance(plan.marks[b].at)).then(a.cmp(&b)));
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
            if best.is_none_or(|(most, _)| found > most * (1.0 + 1e-9)) {
                best = Some((found, [first, second]));
            }
        }
    }
    best.map_or_else(|| marks.into_iter().take(1).collect(), |(_, pair)| pair.to_vec())
}

/// What the distances find of the layout's place as a rigid body; `None` where they do not hold all of it.
pub(super) fn pose(plan: &FloorPlan, precision: &Precision, checks: &[VehicleCheck]) -> Option<PoseDetectable> {
    /// Metres instead of millimetres for the turn's lever, so that all three are of one size.
    const METRE: f64 = 1000.0;
    let mut normal = Matrix3::zeros();
    for check in checks {
        let at = plan.marks[check.mark].at;
        let along: Vec2 = (at - check.wheel_at).normalize();
        let row = Vector3::new(along.x, along.y, at.to_vec2().cross(along) / METRE);
        normal += row * row.transpose() * sd(precision, check.distance).powi(-2);
    }
    let inverse = normal.cholesky()?.inverse();
    let found = |index: usize| non_centrality() * inverse[(index, index)].sqrt();
    Some(PoseDetectable { forward: found(0), left: found(1), turned: (found(2) / METRE).to_degrees() })
}

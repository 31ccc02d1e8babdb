//! What a limit of diagonals means for squareness.

use crate::plan::{Check, CheckKind, FloorPlan};

/// Diagonals this near to one another in length, mm, should be equal.
const EQUAL_MM: f64 = 0.01;

/// The largest rectangle's diagonals and what a difference between them means.
#[derive(Clone, Debug, PartialEq)]
pub struct Squareness {
    /// Names of the two checks.
    pub diagonals: [String; 2],
    /// By how much they differ when one is at its limit long and the other short, mm.
    pub difference: f64,
    /// How far the rectangle's corners are then from a right angle, degrees.
    pub out_of_square: f64,
}

impl Squareness {
    /// Of the layout's largest rectangle whose diagonals are both among the checks; `None` where there is none.
    ///
    /// In a parallelogram with sides a and b turned by γ, d₁² − d₂² = 4ab sin γ (elementary geometry).
    #[must_use]
    pub fn of(plan: &FloorPlan) -> Option<Self> {
        let diagonals: Vec<&Check> = plan.checks.iter().filter(|check| check.kind == CheckKind::Diagonal).collect();
        let pairs =
            diagonals.iter().enumerate().flat_map(|(index, a)| diagonals[..index].iter().map(move |b| [*b, *a]));
        let rectangles = pairs.filter_map(|pair| Some((pair, sides(plan, pair)?)));
        let ([one, other], [a, b]) =
            rectangles.reduce(|best, next| if area(next.1) > area(best.1) * (1.0 + 1e-9) { next } else { best })?;
        let limit = |check: &Check| check.limits.accept.unwrap_or(check.limits.tolerance);
        let (long, short) = (one.distance + limit(one), other.distance - limit(other));
        let sine = (long * long - short * short) / (4.0 * a * b);
        (sine.abs() <= 1.0).then(|| Self {
            diagonals: [one.id.clone(), other.id.clone()],
            difference: long - short,
            out_of_square: sine.asin().to_degrees(),
        })
    }
}

fn area([a, b]: [f64; 2]) -> f64 {
    a * b
}

/// Sides of the rectangle that two distances are the diagonals of.
fn sides(plan: &FloorPlan, [one, other]: [&Check; 2]) -> Option<[f64; 2]> {
    let at = |mark: usize| plan.marks[mark].at;
    let apart = at(one.from).midpoint(at(one.to)).distance(at(other.from).midpoint(at(other.to)));
    if apart > EQUAL_MM || (one.distance - other.distance).abs() > EQUAL_MM {
        return None;
    }
    Some([at(one.from).distance(at(other.from)), at(one.from).distance(at(other.to))])
}

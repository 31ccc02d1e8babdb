//! What a limit of diagonals means for squareness.

use crate::{
    plan::{Check, CheckKind, FloorPlan},
    units::mm_exact,
};

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
        Some(Self {
            diagonals: [one.id.clone(), other.id.clone()],
            difference: long - short,
            out_of_square: out_of_square(long, short, [a, b])?,
        })
    }
}

/// Degrees off a right angle of a parallelogram with the given diagonals and sides, mm: d₁² − d₂² = 4ab sin γ (elementary
/// geometry). `None` where there is no such parallelogram.
#[must_use]
pub fn out_of_square(long: f64, short: f64, [a, b]: [f64; 2]) -> Option<f64> {
    let sine = (long * long - short * short) / (4.0 * a * b);
    (sine.abs() <= 1.0).then(|| sine.asin().to_degrees())
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

impl Squareness {
    /// What the limits mean, in words.
    #[must_use]
    pub fn sentence(&self) -> String {
        let [one, other] = &self.diagonals;
        format!(
            "{one} and {other} both at their limits: diagonals differ by {} mm = {}° out of square",
            mm_exact(self.difference, 1),
            mm_exact(self.out_of_square, 2)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_of_the_diagonals_is_told_as_an_angle() {
        // A rhombus-like parallelogram of sides 3 and 4 m sheared by 0.1°: its diagonals by the law of cosines.
        let gamma = 0.1_f64.to_radians();
        let diagonal = |sign: f64| (25e6 + sign * 24e6 * gamma.sin()).sqrt();
        let (long, short) = (diagonal(1.0), diagonal(-1.0));
        assert!((out_of_square(long, short, [3000.0, 4000.0]).unwrap() - 0.1).abs() < 1e-9);
        // 8 mm on a rectangle of 6 × 2.6 m: 8 · 2 · 6539 / (4 · 6000 · 2600) = 0.00168 = 0.096°.
        let half = 4.0;
        let found = out_of_square(6539.11 + half, 6539.11 - half, [6000.0, 2600.0]).unwrap();
        assert!((found - 0.0961).abs() < 1e-4, "{found}");
    }
}

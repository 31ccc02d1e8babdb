//! The uncertainty of a place on the floor.

use super::Influence;

/// Coverage factor of [`Covariance::expanded`] (JCGM 100:2008, 6.2 and 6.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Covariance matrix of a mark's place, mm², x forward and y left.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Covariance {
    /// Variance along x.
    pub xx: f64,
    /// Covariance of x and y.
    pub xy: f64,
    /// Variance along y.
    pub yy: f64,
}

impl Covariance {
    /// What independent influences come to: the sum of their outer products (JCGM 100:2008, 5.1.2 for
    /// the variances; the covariance by the same sum, F.1.2.3).
    #[must_use]
    pub fn of(influences: &[Influence]) -> Self {
        influences.iter().fold(Self::default(), |sum, Influence { effect, .. }| Self {
            xx: sum.xx + effect.x * effect.x,
            xy: sum.xy + effect.x * effect.y,
            yy: sum.yy + effect.y * effect.y,
        })
    }

    /// Standard deviation along x, mm.
    #[must_use]
    pub fn sd_x(&self) -> f64 {
        self.xx.sqrt()
    }

    /// Standard deviation along y, mm.
    #[must_use]
    pub fn sd_y(&self) -> f64 {
        self.yy.sqrt()
    }

    /// Standard position error in mm: the root sum square of both, the same in any axes.
    #[must_use]
    pub fn position(&self) -> f64 {
        (self.xx + self.yy).sqrt()
    }

    /// Expanded position error in mm, [`COVERAGE_FACTOR`] times [`Covariance::position`]: a circle of
    /// this radius about the designed place holds the mark in at least 95 % of all cases when the
    /// errors are normal, from 95.4 % where they all lie along one direction to 98.2 % where they are
    /// alike in all.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        COVERAGE_FACTOR * self.position()
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::survey::Cause;

    #[test]
    fn influences_add_up_as_squares_and_one_cause_adds_with_its_signs() {
        let (a, b) = (Influence::new(Cause::Tape, 3.0, 0.0), Influence::new(Cause::Reading, 4.0, 1.0));
        assert_eq!(Covariance::of(&[a, b]), Covariance { xx: 25.0, xy: 4.0, yy: 1.0 });
        assert_eq!(Covariance::of(&[a.and(b)]), Covariance { xx: 49.0, xy: 7.0, yy: 1.0 });
    }

    /// Probability that a normal point with standard deviations along its axes lies within a radius:
    /// in polar form the radius integrates in closed form, the angle by the midpoint rule.
    fn within(radius: f64, (sd_x, sd_y): (f64, f64)) -> f64 {
        const STEPS: usize = 200_000;
        let part = |step: usize| {
            let angle = 2.0 * PI * (step as f64 + 0.5) / STEPS as f64;
            let form = (angle.cos() / sd_x).powi(2) + (angle.sin() / sd_y).powi(2);
            (1.0 - (-form * radius * radius / 2.0).exp()) / form
        };
        (0..STEPS).map(part).sum::<f64>() / STEPS as f64 / (sd_x * sd_y)
    }

    #[test]
    fn the_expanded_error_covers_at_least_95_percent_whatever_the_shape() {
        for part in 0..=20 {
            let shape = 0.01 + 0.99 * f64::from(part) / 20.0;
            let covariance = Covariance { xx: 1.0, xy: 0.0, yy: shape * shape };
            let covered = within(covariance.expanded(), (1.0, shape));
            assert!((0.954..=0.982).contains(&covered), "{shape}: {covered}");
        }
        // Circular normal: 1 − exp(−k²) with the radius k√2 σ (Rayleigh distribution, closed form).
        let circle = Covariance { xx: 1.0, xy: 0.0, yy: 1.0 };
        assert!((within(circle.expanded(), (1.0, 1.0)) - (1.0 - (-4.0_f64).exp())).abs() < 1e-9);
    }
}

//! The uncertainty of a place on the floor.

use kurbo::Vec2;
use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use super::Influence;

/// Coverage factor of [`Covariance::expanded`] (JCGM 100:2008, 6.2 and 6.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Steps of the midpoint rule over a circle for each standard deviation that its radius holds, and the fewest and the
/// most: ten digits down to a standard deviation of a hundredth of the radius (tried against 20 000 steps).
const STEPS_PER_SD: f64 = 4.0;
const FEWEST_STEPS: f64 = 32.0;
const MOST_STEPS: f64 = 1600.0;

/// Standard deviations beyond which no place is looked for: less than one in ten million lies there (Rayleigh
/// distribution, exp(−18)).
const SURELY: f64 = 6.0;

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

/// An ellipse of confidence about a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ellipse {
    /// Longer half-axis, mm.
    pub major: f64,
    /// Shorter half-axis, mm.
    pub minor: f64,
    /// Direction of the longer half-axis, degrees counter-clockwise from forward, −90 to 90.
    pub bearing: f64,
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

    /// Half-axes in mm of the ellipse that holds the place with 95 %, and the direction of the longer one.
    #[must_use]
    pub fn ellipse(&self) -> Ellipse {
        // Quantile of χ² with 2 degrees of freedom at 95 %: −2 ln 0.05.
        let factor = (-2.0 * 0.05_f64.ln()).sqrt();
        let middle = f64::midpoint(self.xx, self.yy);
        let reach = ((self.xx - self.yy) / 2.0).hypot(self.xy);
        Ellipse {
            major: factor * (middle + reach).sqrt(),
            minor: factor * (middle - reach).max(0.0).sqrt(),
            bearing: (2.0 * self.xy).atan2(self.xx - self.yy).to_degrees() / 2.0,
        }
    }

    /// Standard deviation in mm in the direction in which it is largest.
    #[must_use]
    pub fn largest_sd(&self) -> f64 {
        (f64::midpoint(self.xx, self.yy) + ((self.xx - self.yy) / 2.0).hypot(self.xy)).sqrt()
    }

    /// All variances and covariances times a factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self { xx: self.xx * factor, xy: self.xy * factor, yy: self.yy * factor }
    }

    /// Variance along a direction of length 1, mm².
    #[must_use]
    pub fn along(&self, direction: Vec2) -> f64 {
        direction.x * (self.xx * direction.x + 2.0 * self.xy * direction.y) + self.yy * direction.y * direction.y
    }

    /// The covariance in axes turned by `angle` radians counter-clockwise.
    #[must_use]
    pub fn turned(&self, angle: f64) -> Self {
        let (forward, left) = (Vec2::from_angle(angle), Vec2::from_angle(angle).turn_90());
        let towards = Vec2::new(self.xx * forward.x + self.xy * forward.y, self.xy * forward.x + self.yy * forward.y);
        Self { xx: self.along(forward), xy: left.dot(towards), yy: self.along(left) }
    }

    /// dᵀC⁻¹d, the squared distance of `d` (mm) in units of its own uncertainty; infinite where there is no uncertainty
    /// at all.
    #[must_use]
    pub fn squared_distance(&self, d: Vec2) -> f64 {
        let determinant = self.xx * self.yy - self.xy * self.xy;
        if determinant <= 0.0 {
            return if d == Vec2::ZERO { 0.0 } else { f64::INFINITY };
        }
        (self.yy * d.x * d.x - 2.0 * self.xy * d.x * d.y + self.xx * d.y * d.y) / determinant
    }

    /// Probability that a place measured at `d` (mm) from where it should be is truly within `radius` mm
    /// of it: the normal density about `d` over the circle (conformance probability, JCGM 106:2012, clause 7). In the
    /// density's own axes one direction integrates in closed form, the other by the midpoint rule over the circle.
    #[must_use]
    pub fn within(&self, radius: f64, d: Vec2) -> f64 {
        let Ellipse { bearing, .. } = self.ellipse();
        let own = self.turned(bearing.to_radians());
        let (forward, left) =
            (Vec2::from_angle(bearing.to_radians()), Vec2::from_angle(bearing.to_radians()).turn_90());
        let (middle, [wide, narrow]) =
            (Vec2::new(forward.dot(d), left.dot(d)), [own.xx.sqrt(), own.yy.max(0.0).sqrt()]);
        if wide <= radius * 1e-6 {
            return if d.hypot() <= radius { 1.0 } else { 0.0 };
        }
        if (d.hypot() - radius).abs() > SURELY * wide {
            return if d.hypot() <= radius { 1.0 } else { 0.0 };
        }
        let narrow = narrow.max(radius * 1e-6);
        let normal = Normal::standard();
        // Beyond eight standard deviations there is nothing left to add.
        let (low, high) = ((middle.x - 8.0 * wide).max(-radius), (middle.x + 8.0 * wide).min(radius));
        if low >= high {
            return 0.0;
        }
        // In the circle's own angle the integrand is smooth at the rim, where its chord grows like a root.
        let (start, end) = ((low / radius).asin(), (high / radius).asin());
        let steps = (STEPS_PER_SD * radius / narrow).clamp(FEWEST_STEPS, MOST_STEPS).round();
        let step = (end - start) / steps;
        let strip = |index: usize| {
            let (sin, cos) = (start + (index as f64 + 0.5) * step).sin_cos();
            let (x, reach) = (radius * sin, radius * cos);
            let across = normal.cdf((reach - middle.y) / narrow) - normal.cdf((-reach - middle.y) / narrow);
            normal.pdf((x - middle.x) / wide) / wide * across * reach
        };
        ((0..steps as usize).map(strip).sum::<f64>() * step).min(1.0)
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
    fn an_ellipse_has_its_axes_where_the_place_is_least_and_best_known() {
        let straight = Covariance { xx: 1.0, xy: 0.0, yy: 9.0 }.ellipse();
        // √(−2 ln 0.05) = 2.4477 (χ² with 2 degrees of freedom, tables).
        assert!((straight.major - 3.0 * 2.4477).abs() < 1e-3 && (straight.minor - 2.4477).abs() < 1e-3);
        assert!((straight.bearing.abs() - 90.0).abs() < 1e-9);
        let turned = Covariance { xx: 1.0, xy: 0.0, yy: 9.0 }.turned(-30.0_f64.to_radians()).ellipse();
        assert!((turned.major - straight.major).abs() < 1e-9);
        assert!((turned.bearing + 60.0).abs() < 1e-9, "{turned:?}");
    }

    #[test]
    fn the_probability_of_being_within_a_circle_is_that_of_the_normal_density_over_it() {
        // Circular normal about the middle: 1 − exp(−r²/2σ²) (Rayleigh distribution, closed form).
        let circle = Covariance { xx: 4.0, xy: 0.0, yy: 4.0 };
        for radius in [1.0, 4.0, 9.0_f64] {
            let expected = 1.0 - (-radius * radius / 8.0).exp();
            assert!((circle.within(radius, Vec2::ZERO) - expected).abs() < 1e-5);
        }
        // Far narrower than the circle, the edge is a straight line: one half on it, the normal distribution beside it.
        let fine = Covariance { xx: 1e-2, xy: 0.0, yy: 1e-2 };
        assert!((fine.within(100.0, Vec2::new(0.0, 100.0)) - 0.5).abs() < 1e-3);
        assert!((fine.within(100.0, Vec2::new(99.8, 0.0)) - 0.977_25).abs() < 1e-3);
        assert_eq!(Covariance::default().within(4.0, Vec2::new(3.0, 0.0)), 1.0);
        // A slanting one against a plain sum over a fine grid.
        let slanting = Covariance { xx: 3.0, xy: 1.5, yy: 2.0 };
        let (d, mut sum) = (Vec2::new(1.0, -2.0), 0.0);
        for i in -400..400 {
            for j in -400..400 {
                let at = Vec2::new(f64::from(i) + 0.5, f64::from(j) + 0.5) * 0.01;
                if at.hypot() <= 4.0 {
                    sum += (-slanting.squared_distance(at - d) / 2.0).exp() * 1e-4;
                }
            }
        }
        let expected = sum / (2.0 * PI * (3.0_f64 * 2.0 - 1.5 * 1.5).sqrt());
        assert!((slanting.within(4.0, d) - expected).abs() < 1e-3);
    }

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

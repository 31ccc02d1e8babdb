//! The uncertainty of a place on the floor.

use std::f64::consts::TAU;

use kurbo::Vec2;
use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use super::{Influence, Verdict, guard_factor};

/// Standard deviations that are stated after ± where a single quantity is given (JCGM 100:2008, 6.2 and 6.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Standard deviations on either side of the middle that hold a normal quantity with 95 %: the quantile at 97.5 %
/// (tables; computed with the error function).
pub const LINE_95: f64 = 1.959_963_984_540_054;

/// Parts of a quarter turn in the sum for [`Covariance::radius_95`]: twelve digits whatever the shape (tried against 4000).
const QUARTER_PARTS: u32 = 48;

/// Steps of Newton's method for [`Covariance::radius_95`] at most; five are enough for twelve digits.
const NEWTON_STEPS: usize = 20;

/// Directions in which the rim of a tolerance circle is looked at.
const RIM_STEPS: usize = 72;

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
    /// Of two variances with their covariance, mm².
    #[must_use]
    pub const fn new(xx: f64, xy: f64, yy: f64) -> Self {
        Self { xx, xy, yy }
    }

    /// What independent influences come to: the sum of their outer products (JCGM 100:2008, 5.1.2 for
    /// the variances; the covariance by the same sum, F.1.2.3).
    #[must_use]
    pub fn of(influences: &[Influence]) -> Self {
        influences
            .iter()
            .fold(Self::default(), |sum, Influence { effect, .. }| Self {
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
        let [major, minor] = self.principal();
        Ellipse {
            major: factor * major.sqrt(),
            minor: factor * minor.max(0.0).sqrt(),
            bearing: (2.0 * self.xy).atan2(self.xx - self.yy).to_degrees() / 2.0,
        }
    }

    /// The largest and the least variance in any direction, mm²: the eigenvalues.
    #[must_use]
    pub fn principal(&self) -> [f64; 2] {
        let middle = f64::midpoint(self.xx, self.yy);
        let reach = ((self.xx - self.yy) / 2.0).hypot(self.xy);
        [middle + reach, middle - reach]
    }

    /// Standard deviation in mm in the direction in which it is largest.
    #[must_use]
    pub fn largest_sd(&self) -> f64 {
        self.principal()[0].sqrt()
    }

    /// All variances and covariances times a factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            xx: self.xx * factor,
            xy: self.xy * factor,
            yy: self.yy * factor,
        }
    }

    /// Variance along a direction of length 1, mm².
    #[must_use]
    pub fn along(&self, direction: Vec2) -> f64 {
        direction.x * (self.xx * direction.x + 2.0 * self.xy * direction.y)
            + self.yy * direction.y * direction.y
    }

    /// The covariance in axes turned by `angle` radians counter-clockwise.
    #[must_use]
    pub fn turned(&self, angle: f64) -> Self {
        let (forward, left) = (Vec2::from_angle(angle), Vec2::from_angle(angle).turn_90());
        let towards = Vec2::new(
            self.xx * forward.x + self.xy * forward.y,
            self.xy * forward.x + self.yy * forward.y,
        );
        Self {
            xx: self.along(forward),
            xy: left.dot(towards),
            yy: self.along(left),
        }
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

    /// The decision on a place measured at `d` (mm) from where it should be and allowed to be off by `tolerance`. What is known too
    /// coarsely to hit the circle is not outside for that: no place within the circle may fit what was measured, each held against it by
    /// the guard band of a single value.
    #[must_use]
    pub fn verdict(&self, tolerance: f64, d: Vec2) -> Verdict {
        let least = guard_factor().powi(2);
        let at = |step: usize| Vec2::from_angle(TAU * step as f64 / RIM_STEPS as f64) * tolerance;
        match Verdict::of_probability(self.within(tolerance, d)) {
            Verdict::Outside
                if (0..RIM_STEPS).any(|step| self.squared_distance(d - at(step)) < least) =>
            {
                Verdict::Undecided
            }
            verdict => verdict,
        }
    }

    /// Probability that a place measured at `d` (mm) from where it should be is truly within `radius` mm
    /// of it: the normal density about `d` over the circle (conformance probability, JCGM 106:2012, clause 7). In the
    /// density's own axes one direction integrates in closed form, the other by the midpoint rule over the circle.
    #[must_use]
    pub fn within(&self, radius: f64, d: Vec2) -> f64 {
        /// An axis narrower than this part of the radius has no width.
        const NO_WIDTH: f64 = 1e-6;
        let Ellipse { bearing, .. } = self.ellipse();
        let own = self.turned(bearing.to_radians());
        let (forward, left) = (
            Vec2::from_angle(bearing.to_radians()),
            Vec2::from_angle(bearing.to_radians()).turn_90(),
        );
        let (middle, [wide, narrow]) = (
            Vec2::new(forward.dot(d), left.dot(d)),
            [own.xx.sqrt(), own.yy.max(0.0).sqrt()],
        );
        if wide <= radius * NO_WIDTH {
            return if d.hypot() <= radius { 1.0 } else { 0.0 };
        }
        if (d.hypot() - radius).abs() > SURELY * wide {
            return if d.hypot() <= radius { 1.0 } else { 0.0 };
        }
        let narrow = narrow.max(radius * NO_WIDTH);
        let normal = Normal::standard();
        // Beyond eight standard deviations there is nothing left to add.
        let (low, high) = (
            (middle.x - 8.0 * wide).max(-radius),
            (middle.x + 8.0 * wide).min(radius),
        );
        if low >= high {
            return 0.0;
        }
        // In the circle's own angle the integrand is smooth at the rim, where its chord grows like a root.
        let (start, end) = ((low / radius).asin(), (high / radius).asin());
        let steps = (STEPS_PER_SD * radius / narrow)
            .clamp(FEWEST_STEPS, MOST_STEPS)
            .round();
        let step = (end - start) / steps;
        let strip = |index: usize| {
            let (sin, cos) = (start + (index as f64 + 0.5) * step).sin_cos();
            let (x, reach) = (radius * sin, radius * cos);
            let across =
                normal.cdf((reach - middle.y) / narrow) - normal.cdf((-reach - middle.y) / narrow);
            normal.pdf((x - middle.x) / wide) / wide * across * reach
        };
        ((0..steps as usize).map(strip).sum::<f64>() * step).min(1.0)
    }

    /// Standard position error in mm: the root sum square of both, the same in any axes.
    #[must_use]
    pub fn position(&self) -> f64 {
        (self.xx + self.yy).sqrt()
    }

    /// Radius in mm of the circle about the designed place that holds the mark in exactly 95 % of all cases when the
    /// errors are normal and their mean is nothing: from [`LINE_95`] standard deviations where they all lie along one
    /// direction to √(−2 ln 0.05) = 2.4477 where they are alike in all (Rayleigh distribution).
    ///
    /// A place with standard deviations a ≥ b along its own axes is (a ρ cos φ, b ρ sin φ), ρ after Rayleigh and φ
    /// alike in all directions, independent of each other (polar form of the normal distribution, as Box and Muller
    /// 1958 draw it). So a circle of radius r is left with the probability
    /// (1/2π) ∫ exp(−r² / 2(a² cos² φ + b² sin² φ)) dφ over a turn, which for b = 0 is the integral of Craig (1991) for a
    /// tail of the normal distribution. Newton's method makes that 5 %; from the least possible radius on the
    /// function falls and is convex, so that no step goes too far.
    #[must_use]
    pub fn radius_95(&self) -> f64 {
        let wide = self.largest_sd();
        if wide <= 0.0 {
            return 0.0;
        }
        // The smaller variance as a part of the larger one; rounding must not make it negative.
        let shape = ((self.xx + self.yy) / (wide * wide) - 1.0).max(0.0);
        let mut radius = LINE_95;
        for _ in 0..NEWTON_STEPS {
            let [left, slope] = beyond(radius, shape);
            let step = (left - 0.05) / slope;
            radius += step;
            if step.abs() <= f64::EPSILON * radius {
                break;
            }
        }
        radius * wide
    }
}

/// Probability of lying further than `radius` from the middle, in units of the larger standard deviation, and how fast
/// it falls with the radius; `shape` is the smaller variance as a part of the larger one. By the rule of midpoints over
/// a quarter turn, which for a smooth periodic function gains digits with every part.
fn beyond(radius: f64, shape: f64) -> [f64; 2] {
    let quarter = std::f64::consts::FRAC_PI_2;
    let part = |index: u32| {
        let (sin, cos) = (quarter * (f64::from(index) + 0.5) / f64::from(QUARTER_PARTS)).sin_cos();
        let variance = cos * cos + shape * sin * sin;
        let density = (-radius * radius / (2.0 * variance)).exp();
        [density, density * radius / variance]
    };
    let sum = (0..QUARTER_PARTS)
        .map(part)
        .fold([0.0; 2], |sum, part| [sum[0] + part[0], sum[1] + part[1]]);
    sum.map(|sum| sum / f64::from(QUARTER_PARTS))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::survey::Cause;

    #[test]
    fn an_ellipse_has_its_axes_where_the_place_is_least_and_best_known() {
        let straight = Covariance::new(1.0, 0.0, 9.0).ellipse();
        // √(−2 ln 0.05) = 2.4477 (χ² with 2 degrees of freedom, tables).
        assert!(
            (straight.major - 3.0 * 2.4477).abs() < 1e-3 && (straight.minor - 2.4477).abs() < 1e-3
        );
        assert!((straight.bearing.abs() - 90.0).abs() < 1e-9);
        let turned = Covariance::new(1.0, 0.0, 9.0)
            .turned(-30.0_f64.to_radians())
            .ellipse();
        assert!((turned.major - straight.major).abs() < 1e-9);
        assert!((turned.bearing + 60.0).abs() < 1e-9, "{turned:?}");
    }

    #[test]
    fn the_probability_of_being_within_a_circle_is_that_of_the_normal_density_over_it() {
        // Circular normal about the middle: 1 − exp(−r²/2σ²) (Rayleigh distribution, closed form).
        let circle = Covariance::new(4.0, 0.0, 4.0);
        for radius in [1.0, 4.0, 9.0_f64] {
            let expected = 1.0 - (-radius * radius / 8.0).exp();
            assert!((circle.within(radius, Vec2::ZERO) - expected).abs() < 1e-5);
        }
        // Far narrower than the circle, the edge is a straight line: one half on it, the normal distribution beside it.
        let fine = Covariance::new(1e-2, 0.0, 1e-2);
        assert!((fine.within(100.0, Vec2::new(0.0, 100.0)) - 0.5).abs() < 1e-3);
        assert!((fine.within(100.0, Vec2::new(99.8, 0.0)) - 0.977_25).abs() < 1e-3);
        assert_eq!(Covariance::default().within(4.0, Vec2::new(3.0, 0.0)), 1.0);
        // A slanting one against a plain sum over a fine grid.
        let slanting = Covariance::new(3.0, 1.5, 2.0);
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
        let (a, b) = (
            Influence::new(Cause::Tape, 3.0, 0.0),
            Influence::new(Cause::Reading, 4.0, 1.0),
        );
        assert_eq!(Covariance::of(&[a, b]), Covariance::new(25.0, 4.0, 1.0));
        assert_eq!(Covariance::of(&[a.and(b)]), Covariance::new(49.0, 7.0, 1.0));
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
    fn the_circle_of_95_percent_holds_just_that_whatever_the_shape() {
        for part in 0..=20 {
            let shape = 0.01 + 0.99 * f64::from(part) / 20.0;
            let covariance = Covariance::new(9.0, 0.0, 9.0 * shape * shape).turned(0.7);
            let covered = within(covariance.radius_95(), (3.0, 3.0 * shape));
            assert!((covered - 0.95).abs() < 1e-9, "{shape}: {covered}");
            assert!(
                (covariance.within(covariance.radius_95(), Vec2::ZERO) - 0.95).abs() < 1e-6,
                "{shape}"
            );
        }
    }

    #[test]
    fn the_circle_of_95_percent_has_the_radii_of_tables() {
        // Circular: √(−2 ln 0.05) (Rayleigh distribution). One direction alone: the normal distribution's 1.959964. Between:
        // the density integrated over the circle in x and y by Simpson's rule in Python, solved by bisection.
        for (narrow, expected) in [
            (1.0, 2.447_746_831),
            (0.75, 2.185_801_922),
            (0.5, 2.035_858_720),
            (0.25, 1.976_505_064),
            (0.1, 1.962_529_597),
            (0.01, 1.959_989_497),
            (0.0, 1.959_963_985),
        ] {
            for turn in [0.0, 0.4, 1.2] {
                let covariance = Covariance::new(4.0, 0.0, 4.0 * narrow * narrow).turned(turn);
                let found = covariance.radius_95();
                assert!((found - 2.0 * expected).abs() < 1e-8, "{narrow}: {found}");
            }
        }
        assert_eq!(Covariance::default().radius_95(), 0.0);
    }

    #[test]
    fn what_is_known_too_coarsely_to_hit_the_circle_is_undecided_and_not_outside() {
        let coarse = Covariance::new(1.0, 0.0, 238.0 * 238.0);
        assert!(
            coarse.within(5.0, Vec2::ZERO) < 0.05,
            "seldom in the circle for all that"
        );
        assert_eq!(coarse.verdict(5.0, Vec2::ZERO), Verdict::Undecided);
        assert_eq!(
            coarse.verdict(5.0, Vec2::new(0.0, 300.0)),
            Verdict::Undecided
        );
        // Along the way in which it is known well, and far beyond.
        assert_eq!(coarse.verdict(5.0, Vec2::new(9.0, 0.0)), Verdict::Outside);
        assert_eq!(coarse.verdict(5.0, Vec2::new(0.0, 600.0)), Verdict::Outside);
        // With a fine measure the guard band of a single value, 1.645 standard deviations.
        let fine = Covariance::new(0.01, 0.0, 0.01);
        let expected = [
            (4.8, Verdict::Inside),
            (5.0, Verdict::Undecided),
            (5.2, Verdict::Outside),
        ];
        assert!(
            expected
                .into_iter()
                .all(|(off, verdict)| fine.verdict(5.0, Vec2::new(off, 0.0)) == verdict)
        );
    }
}

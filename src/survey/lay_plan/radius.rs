//! The circle that holds a place with 95 %.

use std::sync::OnceLock;

use kurbo::Vec2;
use nalgebra::Matrix2;

use crate::survey::{Covariance, halving::halved};

/// Probability within the circle.
const WITHIN: f64 = 0.95;

/// Steps of the table over the square of the axes' ratio; between them it is straight to a ten-thousandth.
const STEPS: usize = 128;

/// Halvings that leave nothing of an interval of one standard deviation.
const HALVINGS: usize = 40;

/// Eigenvalues of a symmetric matrix, the larger first.
pub(super) fn eigenvalues(matrix: &Matrix2<f64>) -> [f64; 2] {
    Covariance::new(matrix[(0, 0)], matrix[(0, 1)], matrix[(1, 1)]).principal()
}

/// Radius in mm of the circle about the mean that holds a normally distributed place with 95 %: the larger standard deviation
/// times a factor from 1.960 (along one line) to 2.448 (alike in all directions), which depends on the ratio of
/// the axes alone and comes from [`Covariance::within`].
pub(super) fn radius(covariance: &Matrix2<f64>) -> f64 {
    static FACTORS: OnceLock<Vec<f64>> = OnceLock::new();
    let factors = FACTORS.get_or_init(|| {
        (0..=STEPS)
            .map(|step| factor(step as f64 / STEPS as f64))
            .collect()
    });
    let [large, small] = eigenvalues(covariance);
    let at = STEPS as f64 * (small / large).clamp(0.0, 1.0);
    let step = (at as usize).min(STEPS - 1);
    let part = at - step as f64;
    large.max(0.0).sqrt() * (factors[step] * (1.0 - part) + factors[step + 1] * part)
}

/// Radius for variances of 1 and `ratio`.
fn factor(ratio: f64) -> f64 {
    let covariance = Covariance::new(1.0, 0.0, ratio);
    let within = |radius| covariance.within(radius, Vec2::ZERO);
    let [low, high] = halved([1.5, 2.5], HALVINGS, |radius| within(radius) < WITHIN);
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_circle_is_that_of_the_normal_distribution() {
        // Along one line 1.959964 (tables of the normal distribution), alike in all directions √(−2 ln 0.05).
        assert!((radius(&Matrix2::new(0.0, 0.0, 0.0, 9.0)) - 3.0 * 1.959_964).abs() < 1e-3);
        assert!(
            (radius(&Matrix2::new(4.0, 0.0, 0.0, 4.0)) - 2.0 * (-2.0 * 0.05_f64.ln()).sqrt()).abs()
                < 1e-4
        );
        // Turned, and between the steps of the table.
        let covariance = Matrix2::new(3.0, 1.1, 1.1, 1.7);
        let within = Covariance::new(3.0, 1.1, 1.7).within(radius(&covariance), Vec2::ZERO);
        assert!((within - 0.95).abs() < 1e-5, "{within}");
    }
}

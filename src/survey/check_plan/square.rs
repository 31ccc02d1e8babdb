//! What a difference of diagonals means for squareness.

/// Degrees off a right angle of a parallelogram with the given diagonals and sides, mm: d₁² − d₂² = 4ab sin γ (elementary
/// geometry). `None` where there is no such parallelogram.
#[must_use]
pub fn out_of_square(long: f64, short: f64, [a, b]: [f64; 2]) -> Option<f64> {
    let sine = (long * long - short * short) / (4.0 * a * b);
    (sine.abs() <= 1.0).then(|| sine.asin().to_degrees())
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

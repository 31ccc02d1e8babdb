//! What tests on single values can find: numbers of Baarda's method.
//!
//! Baarda, *A testing procedure for use in geodetic networks* (1968), gives the smallest error that a test
//! finds with a given power. Here α is [`SIGNIFICANCE`] and the power [`POWER`] throughout.

use statrs::distribution::{ContinuousCDF, Normal};

/// Probability of suspecting a value that is right.
pub const SIGNIFICANCE: f64 = 0.001;

/// Probability of finding an error of the smallest detectable size.
pub const POWER: f64 = 0.80;

/// A normalised residual above this is suspected: the two-sided quantile of the normal distribution at
/// [`SIGNIFICANCE`].
#[must_use]
pub fn critical_value() -> f64 {
    Normal::standard().inverse_cdf(1.0 - SIGNIFICANCE / 2.0)
}

/// Non-centrality in standard deviations of an error that is found with [`POWER`]: δ₀ = k(α) + z(power). The other tail
/// adds less than 1e-13 to the power.
#[must_use]
pub fn non_centrality() -> f64 {
    critical_value() + Normal::standard().inverse_cdf(POWER)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_those_of_baardas_method() {
        // k(0.001) = 3.290527, δ0(0.001, 0.80) = 4.132148, λ0 = 17.074647 (computed with scipy; 3.29 and 80 % are
        // the usual ones).
        assert!((critical_value() - 3.290_527).abs() < 1e-6);
        assert!((non_centrality() - 4.132_148).abs() < 1e-6);
        assert!((non_centrality().powi(2) - 17.074_647).abs() < 1e-5);
    }
}

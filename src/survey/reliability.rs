//! What tests on single values can find: numbers of Baarda's method.
//!
//! Baarda, *A testing procedure for use in geodetic networks* (1968), gives the smallest error that a test
//! finds with a given power. Here α is [`SIGNIFICANCE`] and the power [`POWER`] throughout.

use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

use super::halving::halved;

/// Probability of suspecting a value that is right.
pub const SIGNIFICANCE: f64 = 0.001;

/// Probability that any of many right values is suspected.
pub const FAMILY_SIGNIFICANCE: f64 = 0.2;

/// Probability of finding an error of the smallest detectable size.
pub const POWER: f64 = 0.80;

/// A normalised residual above this is suspected: the two-sided quantile of the normal distribution at
/// [`SIGNIFICANCE`].
#[must_use]
pub fn critical_value() -> f64 {
    Normal::standard().inverse_cdf(1.0 - SIGNIFICANCE / 2.0)
}

/// The same where so many values are tested at once: above 200 of them each is tested so much more strictly that with a probability
/// of no more than [`FAMILY_SIGNIFICANCE`] any right one is suspected (Bonferroni's inequality).
#[must_use]
pub fn critical_value_among(values: usize) -> f64 {
    let each = SIGNIFICANCE.min(FAMILY_SIGNIFICANCE / values.max(1) as f64);
    Normal::standard().inverse_cdf(1.0 - each / 2.0)
}

/// Non-centrality in standard deviations of an error that is found with [`POWER`]: δ₀ = k(α) + z(power). The other tail
/// adds less than 1e-13 to the power.
#[must_use]
pub fn non_centrality() -> f64 {
    critical_value() + Normal::standard().inverse_cdf(POWER)
}

/// A squared, normalised displacement in two directions above this is no chance: the quantile of χ² with 2
/// degrees of freedom at [`SIGNIFICANCE`], which is −2 ln α.
#[must_use]
pub fn critical_displacement() -> f64 {
    -2.0 * SIGNIFICANCE.ln()
}

/// Quantile of χ² with `dof` degrees of freedom, by halving on its distribution function (`statrs` gives none at small
/// probabilities for 1 degree of freedom). 0 without degrees of freedom.
#[must_use]
pub fn chi_squared_quantile(dof: usize, probability: f64) -> f64 {
    /// Halvings of an interval that doubles exhaust.
    const HALVINGS: usize = 200;
    let Ok(distribution) = ChiSquared::new(dof as f64) else {
        return 0.0;
    };
    let among = [0.0, 10.0 * dof as f64 + 100.0];
    let [low, high] = halved(among, HALVINGS, |value| {
        distribution.cdf(value) < probability
    });
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_those_of_baardas_method() {
        // k(0.001) = 3.290527, δ0(0.001, 0.80) = 4.132148, λ0 = 17.074647 (computed with scipy; 3.29 and 80 % are
        // the usual ones).
        assert!((critical_value() - 3.290_527).abs() < 1e-6);
        // Quantiles of the normal distribution (tables): many values at once are tested more strictly, few as always.
        assert_eq!(critical_value_among(200), critical_value());
        assert!(
            (critical_value_among(2000) - 3.890_592).abs() < 1e-6,
            "{}",
            critical_value_among(2000)
        );
        assert!((non_centrality() - 4.132_148).abs() < 1e-6);
        assert!((non_centrality().powi(2) - 17.074_647).abs() < 1e-5);
    }

    #[test]
    fn quantiles_of_chi_squared_are_those_of_the_tables() {
        // χ² at 2.5 % and 97.5 % (computed with scipy): f = 1, 4, 100, 1600.
        for (dof, low, high) in [
            (1, 0.000_982_07, 5.023_886),
            (4, 0.484_419, 11.143_287),
            (100, 74.221_927, 129.561_197),
            (1600, 1_491.033_986, 1_712.754_285),
        ] {
            assert!(
                (chi_squared_quantile(dof, 0.025) - low).abs() < 1e-5 * low.max(1e-1),
                "{dof}"
            );
            assert!(
                (chi_squared_quantile(dof, 0.975) - high).abs() < 1e-6 * high,
                "{dof}"
            );
        }
    }
}

//! Size of a displacement in the plane that a test finds.

use statrs::distribution::{ChiSquared, ContinuousCDF, Discrete, Poisson};

use crate::survey::{POWER, SIGNIFICANCE, halving::halved};

/// Largest non-centrality that is searched; no test of this kind comes near it.
const MOST: f64 = 200.0;

/// Halvings of the interval from 0 to [`MOST`]: below the last digit of a double.
const HALVINGS: usize = 80;

/// Terms of the Poisson mixture beyond its mean; what is left out is below 1e-16 up to [`MOST`].
const TERMS: u64 = 200;

/// Non-centrality λ₀ of a χ² test with `freedom` degrees of freedom that rejects at
/// [`SIGNIFICANCE`] and finds with [`POWER`].
///
/// A non-central χ² variable is a mixture of central ones, with freedom + 2j degrees and Poisson weights of mean
/// λ/2 (Johnson, Kotz and Balakrishnan, *Continuous Univariate Distributions* 2, ch. 29; from memory, held
/// by a test against scipy).
pub(super) fn non_centrality(freedom: f64) -> f64 {
    let central = |freedom: f64| ChiSquared::new(freedom).expect("degrees of freedom are above 0");
    let critical = central(freedom).inverse_cdf(1.0 - SIGNIFICANCE);
    let power = |lambda: f64| {
        let weights =
            Poisson::new(lambda / 2.0).expect("the middle of an interval above 0 is above 0");
        let terms = (lambda / 2.0) as u64 + TERMS;
        (0..terms)
            .map(|j| weights.pmf(j) * central(freedom + 2.0 * j as f64).sf(critical))
            .sum::<f64>()
    };
    let [low, high] = halved([0.0, MOST], HALVINGS, |lambda| power(lambda) < POWER);
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn non_centralities_are_those_of_the_non_central_chi_square_distribution() {
        // Computed with scipy.stats.ncx2 and brentq: 19.66238560933 for 2 degrees; Baarda's 17.074647 for 1.
        assert!(
            (non_centrality(2.0) - 19.662_385_609_33).abs() < 1e-6,
            "{}",
            non_centrality(2.0)
        );
        assert!(
            (non_centrality(1.0) - 17.074_647).abs() < 1e-5,
            "{}",
            non_centrality(1.0)
        );
    }
}

//! Inside, outside, or not to be told: decisions that allow for the uncertainty of what was measured.
//!
//! The rule is that of JCGM 106:2012, 8.3 (and ISO 14253-1): a quantity is inside its tolerance when it
//! is so with `CONFORMANCE`, outside when it is not with as much, and between the two the
//! measurement cannot tell. The probability that the quantity lies within its tolerance is the
//! conformance probability of JCGM 106, clause 7, with a normal distribution about what was measured.

use statrs::distribution::{ContinuousCDF, Normal};

/// Least probability of a decision for or against.
pub const CONFORMANCE: f64 = 0.95;

/// A decision on a tolerance. Ordered from the best to the worst, so that a whole is as its worst part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Within the tolerance, with `CONFORMANCE` or more.
    Inside,
    /// Neither can be told from what was measured.
    Undecided,
    /// Beyond the tolerance, with `CONFORMANCE` or more.
    Outside,
}

impl Verdict {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Undecided => "undecided",
            Self::Outside => "outside",
        }
    }

    /// The decision that belongs to a conformance probability, 0 to 1.
    #[must_use]
    pub fn of_probability(conformance: f64) -> Self {
        if conformance >= CONFORMANCE {
            Self::Inside
        } else if conformance <= 1.0 - CONFORMANCE {
            Self::Outside
        } else {
            Self::Undecided
        }
    }

    /// The decision on a value that should be 0, may be off by `tolerance` either way and was measured with
    /// the standard deviation `sd`, all in one unit.
    #[must_use]
    pub fn of(value: f64, tolerance: f64, sd: f64) -> Self {
        if sd <= 0.0 {
            return if value.abs() <= tolerance {
                Self::Inside
            } else {
                Self::Outside
            };
        }
        let normal = Normal::standard();
        Self::of_probability(
            normal.cdf((tolerance - value) / sd) - normal.cdf((-tolerance - value) / sd),
        )
    }
}

/// Width of the guard band on one side of a tolerance limit, in standard deviations: the quantile of the normal
/// distribution at `CONFORMANCE` (JCGM 106:2012, 8.3.2).
#[must_use]
pub fn guard_factor() -> f64 {
    Normal::standard().inverse_cdf(CONFORMANCE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_near_its_tolerance_is_undecided_and_the_band_is_1_645_standard_deviations_wide() {
        // Quantile of the normal distribution at 95 %: 1.6449 (tables; computed with scipy).
        assert!((guard_factor() - 1.644_853_627).abs() < 1e-6);
        let (tolerance, sd) = (4.0, 0.5);
        for (value, expected) in [
            (0.0, Verdict::Inside),
            (-3.17, Verdict::Inside),
            (3.19, Verdict::Undecided),
            (-4.81, Verdict::Undecided),
            (4.83, Verdict::Outside),
        ] {
            assert_eq!(Verdict::of(value, tolerance, sd), expected, "{value}");
        }
    }

    #[test]
    fn a_measurement_too_coarse_for_its_tolerance_never_says_inside() {
        assert_eq!(Verdict::of(0.0, 4.0, 2.1), Verdict::Undecided);
        assert_eq!(Verdict::of(0.0, 4.0, 0.0), Verdict::Inside);
        assert_eq!(Verdict::of(4.1, 4.0, 0.0), Verdict::Outside);
    }
}

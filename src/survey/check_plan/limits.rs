//! Limits that allow for what the tape itself may be off.

use crate::{
    units::ROUND_OFF,
    {plan::Limits, survey::guard_factor},
};

/// What printed limits are rounded to, mm: acceptance down and rejection up, so that rounding favours neither.
const STEP_MM: f64 = 0.1;

/// Limits of a distance that may be off by `tolerance`, taped with a standard deviation of `sd` and expected to
/// come out within `expected`, all in mm.
///
/// The guard band on both sides of the tolerance is 1.645 sd, so that a reading within the acceptance limit proves the
/// distance within its tolerance with 95 %, one beyond the rejection limit outside (JCGM 106:2012, 8.3.2;
/// decision rule of ISO 14253-1). Both are rounded to a tenth of a mm away from the tolerance.
pub fn limits(tolerance: f64, sd: f64, expected: f64) -> Limits {
    let guard = guard_factor() * sd;
    let accept = ((tolerance - guard) / STEP_MM + ROUND_OFF).floor() * STEP_MM;
    let reject = ((tolerance + guard) / STEP_MM - ROUND_OFF).ceil() * STEP_MM;
    let tenths = |mm: f64| (mm * 10.0).round() / 10.0;
    Limits {
        tolerance,
        accept: (accept > ROUND_OFF).then(|| tenths(accept)),
        reject: tenths(reject),
        expected,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_keep_a_guard_band_of_1_645_standard_deviations_on_both_sides() {
        // 4 ∓ 1.644854 · 1.2 = 2.0262 and 5.9738, away from the tolerance to a tenth.
        let found = limits(4.0, 1.2, 3.0);
        assert_eq!((found.accept, found.reject), (Some(2.0), 6.0));
        // 2 mm with a standard deviation of 1.3 mm: nothing is left.
        assert_eq!(limits(2.0, 1.3, 3.0).accept, None);
    }
}

//! Limits that reckon with what the tape itself may be off.

use kurbo::Point;

use crate::{
    plan::Limits,
    survey::{Cause, Covariance, Influence, LINE_95, Precision, guard_factor, setting_out::SettingOut},
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
    /// Arithmetic's last digits must not cost a tenth.
    const ROUNDING: f64 = 1e-9;
    let guard = guard_factor() * sd;
    let accept = ((tolerance - guard) / STEP_MM + ROUNDING).floor() * STEP_MM;
    let reject = ((tolerance + guard) / STEP_MM - ROUNDING).ceil() * STEP_MM;
    let tenths = |mm: f64| (mm * 10.0).round() / 10.0;
    Limits { tolerance, accept: (accept > ROUNDING).then(|| tenths(accept)), reject: tenths(reject), expected }
}

/// Difference in mm that a check reading between two marks stays within in 95 % when both were set out by
/// station and offset and made of tape strip: the marks' own errors, in which the common datum and the common tape
/// act on both (JCGM 100:2008, 5.2.2), and the reading's. The check is taken as made with another tape.
pub(super) fn expected(setting_out: SettingOut<'_>, [from, to]: [Point; 2], sd: f64) -> f64 {
    let along = (to - from).normalize();
    let mut influences = shared(setting_out, from, to);
    for mark in [from, to] {
        influences.extend(setting_out.anew(mark));
        influences.extend(strip(setting_out.precision));
    }
    let effects = influences.iter().map(|influence| influence.effect.dot(along).powi(2)).sum::<f64>();
    LINE_95 * (effects + sd * sd).sqrt()
}

/// As [`expected`], from a plumbed wheel mark: nothing is common to both but the vehicle itself.
pub(super) fn expected_from_wheel(setting_out: SettingOut<'_>, wheel: Point, mark: Point, sd: f64) -> f64 {
    let along = (mark - wheel).normalize();
    let covariance = Covariance::of(&setting_out.tape_only(mark));
    let variance =
        covariance.xx * along.x * along.x + 2.0 * covariance.xy * along.x * along.y + covariance.yy * along.y * along.y;
    LINE_95 * (variance + sd * sd).sqrt()
}

/// What one cause does to the difference of two marks.
fn shared(setting_out: SettingOut<'_>, from: Point, to: Point) -> Vec<Influence> {
    let pairs = setting_out.datum(from).into_iter().zip(setting_out.datum(to));
    let tape = (setting_out.tape(from), setting_out.tape(to));
    let difference = |(a, b): (Influence, Influence)| Influence { cause: a.cause, effect: b.effect - a.effect };
    pairs.chain([tape]).map(difference).collect()
}

/// Drawing the mark and laying the strip.
fn strip(precision: &Precision) -> [Influence; 4] {
    let (marking, strip) = (precision.marking(), precision.strip);
    [
        Influence::new(Cause::MarkWidth, marking, 0.0),
        Influence::new(Cause::MarkWidth, 0.0, marking),
        Influence::new(Cause::Strip, strip, 0.0),
        Influence::new(Cause::Strip, 0.0, strip),
    ]
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

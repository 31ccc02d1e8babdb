//! By how much displacements are drawn larger than they are on the floor.

use crate::units::ROUND_OFF;

/// The longest arrow is drawn no longer than this, mm.
const LONGEST_ARROW: f64 = 15.0;
/// The widest tolerance circle is drawn with no larger radius than this, mm.
const WIDEST_CIRCLE: f64 = 6.0;
/// Where marks crowd, a circle still gets this radius, mm, before its size is given up.
const LEAST_CIRCLE: f64 = 4.0;
/// Leading digits of round factors; none is more than half as large again as the one before, except from 1 to 2.
const ROUND: [f64; 7] = [8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0];

/// The largest round number of paper mm for a floor mm with which the longest displacement and the widest
/// tolerance, both in floor mm, keep their bounds. `apart` is the usual distance of a mark from its nearest
/// neighbour, paper mm: circles of neighbours are to run into each other as little as their least size allows.
#[must_use]
pub fn enlargement(longest: f64, widest: f64, apart: f64) -> f64 {
    let circle = (apart / 2.0).clamp(LEAST_CIRCLE, WIDEST_CIRCLE);
    let bound = |room: f64, length: f64| {
        if length > 0.0 {
            room / length
        } else {
            f64::INFINITY
        }
    };
    let most = bound(LONGEST_ARROW, longest).min(bound(circle, widest));
    if most.is_finite() && most > 0.0 {
        round_down(most)
    } else {
        1.0
    }
}

fn round_down(most: f64) -> f64 {
    let power = most.log10().floor() as i32;
    // A negative power of ten is no exact number; its reciprocal is.
    let tens = |digit: f64| {
        if power < 0 {
            digit / 10_f64.powi(-power)
        } else {
            digit * 10_f64.powi(power)
        }
    };
    ROUND
        .into_iter()
        .map(tens)
        .find(|&factor| factor <= most * (1.0 + ROUND_OFF))
        .unwrap_or_else(|| tens(1.0))
}

/// A displacement, floor mm, and how long it is drawn, paper mm: round, and long enough to be looked at.
#[must_use]
pub fn example(factor: f64) -> (f64, f64) {
    let mut off = 1.0;
    while off * factor < 1.0 {
        off *= 10.0;
    }
    (off, off * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_arrow_comes_out_readable_and_the_factor_round() {
        for (longest, expected) in [
            (3.0, 5.0),
            (7.0, 2.0),
            (15.0, 1.0),
            (110.0, 0.1),
            (2600.0, 0.005),
        ] {
            let factor = enlargement(longest, 0.0, 20.0);
            assert!((factor - expected).abs() < 1e-12, "{longest}: {factor}");
        }
    }

    #[test]
    fn a_layout_that_is_nearly_perfect_is_not_blown_up_beyond_its_tolerance() {
        assert_eq!(enlargement(0.1, 4.0, 20.0), 1.0);
        assert_eq!(enlargement(0.1, 1.0, 20.0), 6.0);
    }

    #[test]
    fn nothing_displaced_and_no_tolerance_is_drawn_as_it_is() {
        assert_eq!(enlargement(0.0, 0.0, 20.0), 1.0);
    }

    #[test]
    fn the_words_say_what_a_reader_can_measure_back() {
        assert_eq!(example(2.0), (1.0, 2.0));
        assert_eq!(example(0.8), (10.0, 8.0));
        assert_eq!(example(0.1), (10.0, 1.0));
    }
}

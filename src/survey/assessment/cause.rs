//! What usually makes an error of a certain size. All of it is common practice, no source: the mistakes that
//! happen with a tape on a workshop floor.

use crate::units::MM_PER_INCH;

/// An error is taken for a usual one when it comes within this many standard deviations of it.
const NEAR: f64 = 3.0;

/// Longest error that a worn or bent hook makes, mm.
const HOOK_MM: f64 = 4.0;

/// What a reading may be misread by, mm, the most usual first.
const SLIPS: [(f64, &str); 7] = [
    (100.0, "100 mm misread"),
    (10.0, "10 mm misread"),
    (MM_PER_INCH, "1 in misread"),
    (1000.0, "a metre miscounted"),
    (12.0 * MM_PER_INCH, "a foot miscounted"),
    (50.0, "50 mm misread"),
    (200.0, "200 mm misread"),
];

/// Factors between what was written and what was meant: written times factor is the length.
const UNITS: [(f64, &str); 5] = [
    (1000.0, "metres written for mm"),
    (10.0, "cm written for mm"),
    (0.1, "mm written for cm"),
    (MM_PER_INCH, "inches written for mm"),
    (MM_PER_INCH / 10.0, "inches read for cm"),
];

/// A wrong unit puts a reading off by more than half of its length; what is left over by another cause is small beside this
/// part of it.
const UNIT_REST: f64 = 0.01;

/// The usual cause of a reading of `value` mm that should be `value − error`, where the error is known to `sd` mm.
#[must_use]
pub(super) fn of_reading(value: f64, error: f64, sd: f64) -> Option<String> {
    let meant = value - error;
    let unit = UNITS.iter().find(|(factor, _)| (value * factor - meant).abs() < UNIT_REST * meant.abs());
    if let Some((_, words)) = unit {
        return Some((*words).to_owned());
    }
    if let Some((_, words)) = nearest_slip(error, sd) {
        return Some(words.to_owned());
    }
    if let Some(other) = digits_exchanged(value, meant, NEAR * sd) {
        return Some(format!("two digits exchanged, {} for {other}", value.round()));
    }
    (error.abs() <= HOOK_MM + NEAR * sd)
        .then(|| "small: a tape hooked from a worn end, a string or tape pushed off its line".to_owned())
}

/// The usual cause of a mark that was set `along` mm off in one direction, known to `sd` mm.
#[must_use]
pub(super) fn of_setting(along: f64, sd: f64) -> Option<&'static str> {
    nearest_slip(along, sd).map(|(_, words)| words)
}

fn nearest_slip(error: f64, sd: f64) -> Option<(f64, &'static str)> {
    let away = |slip: f64| (error.abs() - slip).abs();
    // Where errors are known too coarsely to tell 10 mm from nothing, no slip is named.
    let near = SLIPS.iter().filter(|(slip, _)| away(*slip) < NEAR * sd && NEAR * sd < slip / 2.0);
    near.copied().reduce(|best, one| if away(one.0) < away(best.0) { one } else { best })
}

/// The reading in whole mm with two neighbouring digits exchanged, where that is within `near` of what was meant.
fn digits_exchanged(value: f64, meant: f64, near: f64) -> Option<u64> {
    let mut digits: Vec<u8> = format!("{}", value.round().max(0.0) as u64).into_bytes();
    for index in 1..digits.len() {
        digits.swap(index - 1, index);
        let other = digits.iter().fold(0, |number, digit| number * 10 + u64::from(digit - b'0'));
        if digits[index - 1] != digits[index] && (other as f64 - meant).abs() < near {
            return Some(other);
        }
        digits.swap(index - 1, index);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_errors_are_named_by_their_size() {
        for (value, meant, expected) in [
            (5310.0, 5211.0, "100 mm misread"),
            (5111.0, 5210.0, "100 mm misread"),
            (5221.0, 5210.0, "10 mm misread"),
            (5236.0, 5210.0, "1 in misread"),
            (521.0, 5210.0, "cm written for mm"),
            (205.1, 5210.0, "inches written for mm"),
            (2051.2, 5210.0, "inches read for cm"),
            (5120.0, 5210.5, "two digits exchanged, 5120 for 5210"),
            (5213.5, 5210.0, "worn end"),
            (6210.0, 5210.0, "a metre miscounted"),
        ] {
            let cause = of_reading(value, value - meant, 1.2).unwrap_or_default();
            assert!(cause.contains(expected), "{value} for {meant}: {cause}");
        }
        assert_eq!(of_reading(5277.0, 67.0, 1.2), None);
    }

    #[test]
    fn an_error_that_is_known_coarsely_gets_no_name() {
        assert_eq!(nearest_slip(11.0, 4.0), None);
        assert_eq!(of_setting(-101.0, 1.0), Some("100 mm misread"));
    }
}

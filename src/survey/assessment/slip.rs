//! What usually makes an error of a certain size. All of it is common practice, no source: the mistakes that
//! happen with a tape on a workshop floor.

use crate::units::MM_PER_INCH;

/// An error is taken for a usual one when it comes within this many standard deviations of it.
const NEAR: f64 = 3.0;

/// Longest error that a worn or bent hook makes, mm.
const HOOK_MM: f64 = 4.0;

/// A usual mistake with a tape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// A whole length misread or miscounted.
    Misread(Misread),
    /// Written in one unit and meant in another.
    Unit(UnitSlip),
    /// Two neighbouring digits exchanged, in whole mm.
    Digits {
        /// What was written.
        written: u64,
        /// What was meant.
        meant: u64,
    },
    /// Taped to or from the mark on the other side. Points by the network's indices.
    OtherSide {
        /// One end of what was taped.
        from: usize,
        /// The other.
        to: usize,
    },
    /// Too small for a slip of the eye: a worn hook, a string pushed off its line.
    Small,
}

/// Lengths that are misread or miscounted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misread {
    /// 100 mm.
    HundredMm,
    /// 10 mm.
    TenMm,
    /// 1 in.
    Inch,
    /// 1000 mm.
    Metre,
    /// 12 in.
    Foot,
    /// 50 mm.
    FiftyMm,
    /// 200 mm.
    TwoHundredMm,
}

/// What was written for what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSlip {
    /// Metres for mm.
    MetresForMm,
    /// cm for mm.
    CmForMm,
    /// mm for cm.
    MmForCm,
    /// Inches for mm.
    InchesForMm,
    /// Inches for cm.
    InchesForCm,
}

/// What a reading may be misread by, mm, the most usual first.
const MISREAD: [(f64, Misread); 7] = [
    (100.0, Misread::HundredMm),
    (10.0, Misread::TenMm),
    (MM_PER_INCH, Misread::Inch),
    (1000.0, Misread::Metre),
    (12.0 * MM_PER_INCH, Misread::Foot),
    (50.0, Misread::FiftyMm),
    (200.0, Misread::TwoHundredMm),
];

/// Factors between what was written and what was meant: written times factor is the length.
const UNITS: [(f64, UnitSlip); 5] = [
    (1000.0, UnitSlip::MetresForMm),
    (10.0, UnitSlip::CmForMm),
    (0.1, UnitSlip::MmForCm),
    (MM_PER_INCH, UnitSlip::InchesForMm),
    (MM_PER_INCH / 10.0, UnitSlip::InchesForCm),
];

/// A wrong unit puts a reading off by more than half of its length; what is left over by another cause is small beside this
/// part of it.
const UNIT_REST: f64 = 0.01;

impl Slip {
    /// The usual cause of a reading of `value` mm that should be `value − error`, where the error is known to `sd` mm.
    #[must_use]
    pub fn of_reading(value: f64, error: f64, sd: f64) -> Option<Self> {
        let meant = value - error;
        let unit = UNITS
            .iter()
            .find(|(factor, _)| (value * factor - meant).abs() < UNIT_REST * meant.abs());
        if let Some((_, unit)) = unit {
            return Some(Self::Unit(*unit));
        }
        Misread::of(error, sd)
            .map(Self::Misread)
            .or_else(|| digits_exchanged(value, meant, NEAR * sd))
            .or_else(|| (error.abs() <= HOOK_MM + NEAR * sd).then_some(Self::Small))
    }
}

impl Misread {
    /// The length that an error of a reading or of a mark's setting, mm, known to `sd` mm, usually is.
    #[must_use]
    pub fn of(error: f64, sd: f64) -> Option<Self> {
        let away = |length: f64| (error.abs() - length).abs();
        // Where errors are known too coarsely to tell 10 mm from nothing, no slip is named.
        let near = MISREAD
            .iter()
            .filter(|(length, _)| away(*length) < NEAR * sd && NEAR * sd < length / 2.0);
        near.copied()
            .reduce(|best, one| {
                if away(one.0) < away(best.0) {
                    one
                } else {
                    best
                }
            })
            .map(|(_, which)| which)
    }
}

/// The reading in whole mm with two neighbouring digits exchanged, where that is within `near` of what was meant.
fn digits_exchanged(value: f64, meant: f64, near: f64) -> Option<Slip> {
    let written = value.round().max(0.0) as u64;
    let mut digits: Vec<u8> = written.to_string().into_bytes();
    for index in 1..digits.len() {
        digits.swap(index - 1, index);
        let other = digits
            .iter()
            .fold(0, |number, digit| number * 10 + u64::from(digit - b'0'));
        if digits[index - 1] != digits[index] && (other as f64 - meant).abs() < near {
            return Some(Slip::Digits {
                written,
                meant: other,
            });
        }
        digits.swap(index - 1, index);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_errors_are_known_by_their_size() {
        for (value, meant, expected) in [
            (5310.0, 5211.0, Slip::Misread(Misread::HundredMm)),
            (5111.0, 5210.0, Slip::Misread(Misread::HundredMm)),
            (5221.0, 5210.0, Slip::Misread(Misread::TenMm)),
            (5236.0, 5210.0, Slip::Misread(Misread::Inch)),
            (521.0, 5210.0, Slip::Unit(UnitSlip::CmForMm)),
            (205.1, 5210.0, Slip::Unit(UnitSlip::InchesForMm)),
            (2051.2, 5210.0, Slip::Unit(UnitSlip::InchesForCm)),
            (
                5120.0,
                5210.5,
                Slip::Digits {
                    written: 5120,
                    meant: 5210,
                },
            ),
            (5213.5, 5210.0, Slip::Small),
            (6210.0, 5210.0, Slip::Misread(Misread::Metre)),
        ] {
            assert_eq!(
                Slip::of_reading(value, value - meant, 1.2),
                Some(expected),
                "{value} for {meant}"
            );
        }
        assert_eq!(Slip::of_reading(5277.0, 67.0, 1.2), None);
    }

    #[test]
    fn an_error_that_is_known_coarsely_gets_no_name() {
        assert_eq!(Misread::of(11.0, 4.0), None);
        assert_eq!(Misread::of(-101.0, 1.0), Some(Misread::HundredMm));
    }
}

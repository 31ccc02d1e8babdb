//! Measuring tapes and what they may be off.

use crate::units::ROUND_OFF_MM;

/// Accuracy class of a measuring tape after Directive 2014/32/EU, Annex X (MI-008).
// Roman numbers, as the classes are written.
#[expect(clippy::upper_case_acronyms)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapeClass {
    /// Class I: ±(0.1 + 0.1 L) mm.
    I,
    /// Class II: ±(0.3 + 0.2 L) mm.
    II,
    /// Class III: ±(0.6 + 0.4 L) mm.
    III,
}

/// Standard deviations of the errors that all readings with one tape share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TapeModel {
    /// Of its zero point, mm.
    pub zero: f64,
    /// Of its scale, mm per metre.
    pub scale: f64,
}

impl TapeClass {
    /// The class as tapes show it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::I => "I",
            Self::II => "II",
            Self::III => "III",
        }
    }

    /// Largest permissible error in mm, either way, between two graduation marks `length` mm apart:
    /// a + bL with L in metres, rounded up to a whole metre (MI-008). A length of nothing is not
    /// measured and has none. Holds at 20 °C and the tape's rated pull; the addition for a hook or a
    /// ring is not in it, because long tapes are laid with a graduation mark on the zero point.
    #[must_use]
    pub fn permissible_error(self, length: f64) -> f64 {
        let (a, b) = self.bounds();
        let length = length.abs();
        if length <= ROUND_OFF_MM {
            0.0
        } else {
            a + b * ((length - ROUND_OFF_MM) / 1000.0).ceil()
        }
    }

    /// The permissible error as two errors of the whole tape, rectangular each (JCGM 100:2008, 4.3.7): `a` as an error of its zero
    /// point, `b` as one of its scale. A tape is long or short everywhere, so all readings taken with it share both.
    #[must_use]
    pub fn model(self) -> TapeModel {
        let (a, b) = self.bounds();
        TapeModel {
            zero: a / 3.0_f64.sqrt(),
            scale: b / 3.0_f64.sqrt(),
        }
    }

    /// a in mm and b in mm per metre.
    const fn bounds(self) -> (f64, f64) {
        match self {
            Self::I => (0.1, 0.1),
            Self::II => (0.3, 0.2),
            Self::III => (0.6, 0.4),
        }
    }

    /// Standard deviation in mm of a taped length of `length` mm: the permissible error taken as the
    /// half-width of a rectangular distribution, hence over √3 (JCGM 100:2008, 4.3.7).
    #[must_use]
    pub fn standard_deviation(self, length: f64) -> f64 {
        self.permissible_error(length) / 3.0_f64.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn permissible_errors_are_those_of_mi_008() {
        // Directive 2014/32/EU, Annex X, MI-008 (as transposed in the UK): classes I, II, III.
        for (metres, expected) in [
            (3.0, [0.4, 0.9, 1.8]),
            (5.0, [0.6, 1.3, 2.6]),
            (8.0, [0.9, 1.9, 3.8]),
            (10.0, [1.1, 2.3, 4.6]),
        ] {
            for (class, expected) in [TapeClass::I, TapeClass::II, TapeClass::III]
                .into_iter()
                .zip(expected)
            {
                let found = class.permissible_error(metres * 1000.0);
                assert!(
                    (found - expected).abs() < 1e-12,
                    "class {} at {metres} m: {found}",
                    class.word()
                );
            }
        }
    }

    #[test]
    fn a_length_counts_as_the_next_whole_metre() {
        // MI-008: 4.2 m of class II counts as 5 m.
        assert!((TapeClass::II.permissible_error(4200.0) - 1.3).abs() < 1e-12);
        assert!((TapeClass::II.permissible_error(-4200.0) - 1.3).abs() < 1e-12);
        assert!((TapeClass::II.permissible_error(5000.0 + 1e-9) - 1.3).abs() < 1e-12);
        assert!((TapeClass::II.permissible_error(5001.0) - 1.5).abs() < 1e-12);
        assert_eq!(TapeClass::II.permissible_error(0.0), 0.0);
    }
}

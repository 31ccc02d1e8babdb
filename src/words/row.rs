//! What is said of a single reading beside its row of a form.

use super::{Lengths, slip};
use crate::survey::Slip;

/// A difference that is smaller than this, mm, is none: nobody reads less.
const SAME_MM: f64 = 0.5;

impl Lengths {
    /// How a reading differs from what it should be, mm: "3 mm longer"; of a mark on a string "3 mm to the left", "on the string".
    #[must_use]
    pub fn differs(self, by: f64, on_string: bool) -> String {
        let words = match (by > 0.0, on_string) {
            _ if by.abs() < SAME_MM && on_string => return "on the string".to_owned(),
            _ if by.abs() < SAME_MM => return "as it should be".to_owned(),
            (true, false) => "longer",
            (false, false) => "shorter",
            (true, true) => "to the left",
            (false, true) => "to the right",
        };
        let length = if self.inches {
            self.inches_first(by)
        } else {
            self.whole(by)
        };
        format!("{length} {words}")
    }
}

/// The usual mistake by which a reading of `value` mm is off, where it should be `should_be` and is known to `sd` mm: "100 mm misread".
#[must_use]
pub fn usual_mistake(value: f64, should_be: f64, sd: f64) -> Option<String> {
    match Slip::of_reading(value, value - should_be, sd)? {
        // The row says by how much it is off, and nobody mistypes by so little.
        Slip::Small => None,
        known => Some(slip::slip(known, |_| "")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_has_a_word_and_no_sign() {
        let mm = Lengths { inches: false };
        assert_eq!(mm.differs(3.2, false), "3 mm longer");
        assert_eq!(mm.differs(-3.2, false), "3 mm shorter");
        assert_eq!(mm.differs(-0.4, false), "as it should be");
        assert_eq!(mm.differs(4.0, true), "4 mm to the left");
        assert_eq!(mm.differs(-4.0, true), "4 mm to the right");
        assert_eq!(mm.differs(0.0, true), "on the string");
        let inches = Lengths { inches: true };
        assert_eq!(inches.differs(-12.7, false), "1/2 in (12.7 mm) shorter");
    }

    #[test]
    fn usual_mistakes_are_named_and_small_differences_are_not() {
        let said = |value, should_be| usual_mistake(value, should_be, 1.2);
        assert_eq!(said(1470.0, 1370.0).as_deref(), Some("100 mm misread"));
        assert_eq!(said(1360.0, 1370.5).as_deref(), Some("10 mm misread"));
        assert_eq!(
            said(1730.0, 1370.0).as_deref(),
            Some("two digits exchanged, 1730 for 1370")
        );
        assert_eq!(said(1373.0, 1370.0), None);
    }
}

//! Paper from a roll.

use std::ops::RangeInclusive;

use super::{Margins, Paper};
use crate::units::{MM_PER_INCH, mm_exact, parse_length};

/// Sensible widths, mm: from label printers to the widest fabric printers.
const WIDTH_MM: RangeInclusive<f64> = 100.0..=3300.0;

/// How far a width may lie from a known one and still go by its name, mm: less than rolls are cut to.
const SAME_WIDTH_MM: f64 = 0.05;

/// Paper of one width, cut to length by the printer.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// Name as people say it: "36 in roll", "610 mm roll".
    pub name: String,
    /// Width, mm.
    pub width: f64,
}

impl Roll {
    /// Unprintable edges of a roll printer, mm: 5 mm at the sides, 15 mm where the printer feeds and cuts
    /// (common practice, no source). Left and right lie across the roll; the top is the trailing edge, the
    /// bottom the leading one.
    pub const MARGINS: Margins = Margins {
        left: 5.0,
        right: 5.0,
        top: 15.0,
        bottom: 15.0,
    };

    /// The widths in trade. 12, 24 and 36 in after a maker's list; 42, 44 and 60 in, and 594 and 841 mm
    /// (the short sides of A1 and A0, ISO 216), from memory.
    #[must_use]
    pub fn known() -> [Self; 8] {
        let inches = |width: f64| Self {
            name: format!("{width} in roll"),
            width: width * MM_PER_INCH,
        };
        let millimetres = |width: f64| Self {
            name: format!("{width} mm roll"),
            width,
        };
        [
            inches(12.0),
            inches(24.0),
            inches(36.0),
            inches(42.0),
            inches(44.0),
            inches(60.0),
            millimetres(594.0),
            millimetres(841.0),
        ]
    }

    /// The roll of a width such as `"36in"` or `"610 mm"`.
    ///
    /// # Errors
    /// A sentence that quotes the text and says what is expected.
    pub fn parse(text: &str) -> Result<Self, String> {
        let width = parse_length(text)
            .map_err(|error| format!("{error}; a roll goes by its width, as in \"36in\""))?;
        if !WIDTH_MM.contains(&width) {
            return Err(format!(
                "a roll {} mm wide is out of range; expected {} to {} mm",
                mm_exact(width, 1),
                WIDTH_MM.start(),
                WIDTH_MM.end()
            ));
        }
        let known = Self::known()
            .into_iter()
            .find(|roll| (roll.width - width).abs() <= SAME_WIDTH_MM);
        Ok(known.unwrap_or_else(|| Self {
            name: format!("{} mm roll", mm_exact(width, 1)),
            width,
        }))
    }

    /// A page cut from it, upright: the roll runs up the page.
    #[must_use]
    pub fn page(&self, length: f64) -> Paper {
        Paper {
            name: self.name.clone(),
            width: self.width,
            height: length,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_width_in_any_unit_is_a_roll_and_known_ones_go_by_their_name() {
        let name = |text: &str| Roll::parse(text).unwrap().name;
        assert_eq!(
            (name("36in"), name("914.4 mm")),
            ("36 in roll".to_owned(), "36 in roll".to_owned())
        );
        assert_eq!(
            (name("3 ft"), name("841")),
            ("36 in roll".to_owned(), "841 mm roll".to_owned())
        );
        // 24 in are 609.6 mm (1 in = 25.4 mm exactly): a roll of 610 mm is another one.
        assert_eq!(name("610mm"), "610 mm roll");
        assert!((Roll::parse("24 in").unwrap().width - 609.6).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_roll_is_quoted_back() {
        for bad in ["A4", "36 x 48", "50 mm", "4 m", "nan", "-36in", ""] {
            let message = Roll::parse(bad).unwrap_err();
            assert!(
                message.contains("expected") || message.contains(bad),
                "{bad}: {message}"
            );
        }
    }
}

//! Tyre size codes.

use std::fmt;

use crate::units::MM_PER_INCH;

/// A tyre's width and, where a size code tells it, its diameter. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tyre {
    /// Section width.
    pub width: f64,
    /// Outer diameter, if known.
    pub diameter: Option<f64>,
    /// The size code that both came from, if any.
    pub code: Option<TyreCode>,
}

/// A tyre size code with its rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreCode {
    /// Nominal section width S1, mm.
    pub nominal: u16,
    /// Height over width, percent.
    pub aspect: u16,
    /// Code of the rim's diameter, inches.
    pub rim: u16,
    /// Width of the rim in mm, where it is known.
    pub rim_width: Option<f64>,
}

impl TyreCode {
    /// Width of the theoretical rim over the nominal section width, as UN Regulation No. 30 has it by aspect ratio.
    #[must_use]
    pub const fn theoretical_rim_ratio(self) -> f64 {
        theoretical_rim_ratio(self.aspect)
    }
}

impl fmt::Display for TyreCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}R{}", self.nominal, self.aspect, self.rim)
    }
}

/// Why a text is no tyre size code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TyreError {
    text: String,
}

impl fmt::Display for TyreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "\"{}\" is not a tyre size code; expected width/aspect R rim, as in \"205/55R16\", with a width of 105 to 425, an aspect of 20 to 95 and a rim of 10 to 26",
            self.text
        )
    }
}

impl std::error::Error for TyreError {}

impl Tyre {
    /// The tyre of a size code such as `205/55R16`, on a rim of `rim_width` mm where it is known.
    ///
    /// UN Regulation No. 30, 6.1.1.1: section width S = S1 + 0.4 (A − A1) to the nearest mm, with A
    /// the rim width, A1 = x · S1 the width of the theoretical rim; 6.1.2: diameter D = d + 2 H with
    /// the section height H rounded. Without a rim width the tyre sits on its theoretical rim, S = S1.
    ///
    /// # Errors
    /// [`TyreError`] when the text is no such code or its numbers are out of range.
    pub fn from_code(code: &str, rim_width: Option<f64>) -> Result<Self, TyreError> {
        let fail = || TyreError {
            text: code.to_owned(),
        };
        let compact: String = code
            .to_ascii_uppercase()
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        let (width, rest) = compact.split_once('/').ok_or_else(fail)?;
        let (aspect, rim) = rest
            .split_once("ZR")
            .or_else(|| rest.split_once('R'))
            .ok_or_else(fail)?;
        // A load index, speed symbol or the C of a commercial tyre may follow the rim code.
        let rim = &rim[..rim.find(|c: char| !c.is_ascii_digit()).unwrap_or(rim.len())];
        let read = |text: &str| text.parse::<u16>().map_err(|_| fail());
        let (nominal, aspect, rim) = (read(width)?, read(aspect)?, read(rim)?);
        if !(105..=425).contains(&nominal)
            || !(20..=95).contains(&aspect)
            || !(10..=26).contains(&rim)
        {
            return Err(fail());
        }
        let code = TyreCode {
            nominal,
            aspect,
            rim,
            rim_width,
        };
        let nominal = f64::from(nominal);
        let theoretical_rim = theoretical_rim_ratio(aspect) * nominal;
        let width =
            (nominal + 0.4 * (rim_width.unwrap_or(theoretical_rim) - theoretical_rim)).round();
        let section_height = (nominal * f64::from(aspect) / 100.0).round();
        // Rim diameters are 25.4 × code to the nearest mm: 356, 381, 406, 432, 457, 483 for 14 to 19.
        let diameter = (MM_PER_INCH * f64::from(rim)).round() + 2.0 * section_height;
        Ok(Self {
            width,
            diameter: Some(diameter),
            code: Some(code),
        })
    }
}

/// Width of the theoretical rim over the nominal section width, by aspect ratio (from memory).
const fn theoretical_rim_ratio(aspect: u16) -> f64 {
    match aspect {
        50.. => 0.70,
        30..50 => 0.85,
        _ => 0.90,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn size_codes_give_section_width_and_diameter_by_un_r30() {
        // Worked out from UN R30 6.1.1.1 and 6.1.2 in the shared reference (computed there).
        for (code, rim_inches, width, diameter) in [
            ("205/55R16", 6.5, 214.0, 632.0),
            ("195/65R15", 6.0, 201.0, 635.0),
            ("225/45R17", 7.5, 225.0, 634.0),
        ] {
            let tyre = Tyre::from_code(code, Some(rim_inches * MM_PER_INCH)).unwrap();
            assert_eq!(
                (tyre.width, tyre.diameter),
                (width, Some(diameter)),
                "{code}"
            );
        }
        // Rim diameters of codes 14 to 19 as listed in UN R30 (from memory).
        for (code, d) in [
            (14, 356.0),
            (15, 381.0),
            (16, 406.0),
            (17, 432.0),
            (18, 457.0),
            (19, 483.0),
        ] {
            let tyre = Tyre::from_code(&format!("200/50R{code}"), None).unwrap();
            assert_eq!((tyre.width, tyre.diameter), (200.0, Some(d + 200.0)));
        }
    }

    #[test]
    fn commercial_and_loosely_written_codes_are_read() {
        assert_eq!(
            Tyre::from_code("225/65 r16C 112/110R", None)
                .unwrap()
                .diameter,
            Some(406.0 + 2.0 * 146.0)
        );
        assert_eq!(Tyre::from_code("225/45ZR17", None).unwrap().width, 225.0);
    }

    #[test]
    fn what_is_no_code_is_quoted_back() {
        for bad in [
            "",
            "205",
            "205/55",
            "205/55-16",
            "2055/5R16",
            "205/55R",
            "205/5R16",
            "nan/55R16",
            "205/55R99",
        ] {
            assert!(
                Tyre::from_code(bad, None)
                    .is_err_and(|e| e.to_string().contains(&format!("\"{bad}\""))),
                "{bad}"
            );
        }
    }
}

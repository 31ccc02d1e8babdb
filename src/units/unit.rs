//! Units of length, by the names and signs that people write.

use super::length::MM_PER_INCH;

const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;

/// A unit of length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Unit {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
}

impl Unit {
    /// Its size in mm.
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => MM_PER_INCH,
            Self::Foot => MM_PER_FOOT,
        }
    }

    /// The unit of a name in small letters; none is mm.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "" | "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                Self::Millimetre
            }
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            "in" | "inch" | "inches" | "\"" | "″" | "”" | "“" | "''" | "’’" | "′′" => {
                Self::Inch
            }
            "ft" | "foot" | "feet" | "'" | "′" | "’" | "‘" => Self::Foot,
            _ => return None,
        })
    }

    /// True for units whose parts are written as fractions.
    pub const fn takes_fractions(self) -> bool {
        matches!(self, Self::Inch | Self::Foot)
    }
}

//! An answer: a number with its unit, or a word.

use std::fmt;

use super::ruling::hair_off;
use crate::units::mm_exact;

/// What stands in the key.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// As it is printed, without its unit.
    text: String,
    /// The number that is printed and its unit, where it is one.
    number: Option<(f64, &'static str)>,
    /// True where the text has the unit already.
    unit_in_text: bool,
}

impl Value {
    /// A number as printed, in a unit: "mm", "in", "°"; empty for a count.
    pub(super) fn of(number: f64, unit: &'static str, text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            number: Some((number, unit)),
            unit_in_text: false,
        }
    }

    /// A number that is written with its unit in the text: `18 ft 3 7/8 in`.
    pub(super) fn written(number: f64, unit: &'static str, text: String) -> Self {
        Self {
            text,
            number: Some((number, unit)),
            unit_in_text: true,
        }
    }

    /// A number to so many decimals, with a true minus sign.
    pub(super) fn decimals(number: f64, decimals: usize, unit: &'static str) -> Self {
        let text = format!("{number:.decimals$}");
        let zero = text
            .trim_start_matches('-')
            .chars()
            .all(|c| "0.".contains(c));
        let text = if zero {
            text.trim_start_matches('-').to_owned()
        } else {
            text.replace('-', "\u{2212}")
        };
        let factor = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
        let printed = if zero {
            0.0
        } else {
            (number * factor).round() / factor
        };
        Self::of(printed, unit, text)
    }

    /// A length to the nearest half of its unit, a quarter away from zero.
    pub(super) fn half(number: f64, unit: &'static str) -> Self {
        let half = (hair_off(number * 2.0)).round() / 2.0;
        Self::of(half, unit, mm_exact(half, 1))
    }

    /// The same for a left and a right mark at once: `±1177`, of which the number is the left one's.
    pub(super) fn either_side(self) -> Self {
        Self {
            text: format!("±{}", self.text),
            ..self
        }
    }

    /// With a plus where it is above zero.
    pub(super) fn with_sign(self) -> Self {
        match self.number() {
            Some(number) if number > 0.0 => Self {
                text: format!("+{}", self.text),
                ..self
            },
            _ => self,
        }
    }

    /// A count.
    pub(super) fn count(number: usize) -> Self {
        Self::of(number as f64, "", number.to_string())
    }

    /// As it is printed, without its unit.
    #[must_use]
    pub fn bare(&self) -> &str {
        &self.text
    }

    /// The number that is printed; `None` for a word.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        self.number.map(|(number, _)| number)
    }

    /// The number's unit, empty for a count; `None` for a word.
    #[must_use]
    pub fn unit(&self) -> Option<&'static str> {
        self.number.map(|(_, unit)| unit)
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)?;
        match self.unit().filter(|_| !self.unit_in_text) {
            None | Some("") => Ok(()),
            Some("\u{b0}") => f.write_str("\u{b0}"),
            Some(unit) => write!(f, " {unit}"),
        }
    }
}

impl From<&str> for Value {
    fn from(word: &str) -> Self {
        Self::from(word.to_owned())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self {
            text,
            number: None,
            unit_in_text: false,
        }
    }
}

impl PartialEq<str> for Value {
    fn eq(&self, other: &str) -> bool {
        let written = self.to_string();
        written == other
    }
}

impl PartialEq<String> for Value {
    fn eq(&self, other: &String) -> bool {
        self == other.as_str()
    }
}

impl PartialEq<&str> for Value {
    fn eq(&self, other: &&str) -> bool {
        self == *other
    }
}

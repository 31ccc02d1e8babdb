//! A template's named values.

use super::amount::LENGTH_MM;
use crate::{
    source::{Entry, Place},
    units::{mm_exact, parse_angle, parse_length},
};

/// What a value measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ValueKind {
    /// A length, mm.
    Length,
    /// An angle, degrees.
    Angle,
}

impl ValueKind {
    /// Unit of the numbers: "mm" or "deg".
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Angle => "deg",
        }
    }

    /// Reads a text as this kind.
    ///
    /// # Errors
    /// The message of the `units` room.
    pub fn parse(self, text: &str) -> Result<f64, String> {
        match self {
            Self::Length => parse_length(text).map_err(|error| error.to_string()),
            Self::Angle => parse_angle(text),
        }
    }
}

/// A value that a job may set: in mm or degrees.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedValue {
    /// Name in the template.
    pub name: String,
    /// What it means, for people.
    pub meaning: String,
    /// Length or angle, by how the default is written.
    pub kind: ValueKind,
    /// Used until a job sets another; for demonstration where the template is a built-in one.
    pub default: f64,
    /// Smallest sane value.
    pub least: f64,
    /// Largest sane value.
    pub most: f64,
    /// Where it is declared.
    pub place: Place,
}

impl NamedValue {
    /// Reads `[values.NAME]`.
    pub(super) fn read(name: &str, entry: &Entry<'_>) -> Option<Self> {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        if !name.starts_with(|c: char| c.is_ascii_lowercase()) || !name.chars().all(plain) {
            entry.fault(format!(
                "\"{name}\" cannot name a value; use small letters, digits and _, as in front_gap"
            ));
            return None;
        }
        if !entry.is_table() {
            entry.fault(format!(
                "`{name}` is no value with a meaning, default, least and most of its own, as below [values.{name}]; a key of the file itself belongs above the first [heading]"
            ));
            return None;
        }
        let table = entry.table()?;
        let meaning = table
            .required("meaning", "a few words that say what it is")
            .and_then(|e| e.text());
        let default = table.required(
            "default",
            "the value where a job sets none, as in default = \"750 mm\"",
        );
        let least = table.required("least", "the smallest sane value, as in least = \"300 mm\"");
        let most = table.required("most", "the largest sane value, as in most = \"2 m\"");
        table.refuse_unknown();
        let (default, least, most) = (default?, least?, most?);
        let angle = default.as_text().is_some_and(|text| {
            text.trim_end().ends_with(['°']) || text.trim_end().ends_with("deg")
        });
        let kind = if angle {
            ValueKind::Angle
        } else {
            ValueKind::Length
        };
        let read = |entry: &Entry<'_>| {
            if angle {
                entry.angle()
            } else {
                entry.length_within(LENGTH_MM, "a floor layout")
            }
        };
        let value = Self {
            name: name.to_owned(),
            meaning: meaning?,
            kind,
            default: read(&default)?,
            least: read(&least)?,
            most: read(&most)?,
            place: entry.key_place(),
        };
        if let Err(message) = value.check(value.default) {
            default.fault(format!("the default contradicts the range: {message}"));
            return None;
        }
        Some(value)
    }

    /// Accepts a value in the sane range.
    ///
    /// # Errors
    /// A sentence with the range and the value's meaning.
    pub fn check(&self, value: f64) -> Result<f64, String> {
        if (self.least..=self.most).contains(&value) {
            return Ok(value);
        }
        let unit = self.kind.unit();
        Err(format!(
            "`{}` is {} {unit}; expected {} to {} {unit} ({})",
            self.name,
            mm_exact(value, 3),
            mm_exact(self.least, 1),
            mm_exact(self.most, 1),
            self.meaning
        ))
    }
}

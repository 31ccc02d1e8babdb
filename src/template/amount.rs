//! A length or angle in a relation: written out, or the name of a value.

use std::ops::RangeInclusive;

use crate::{
    source::{Entry, Placed},
    template::{NamedValue, ValueKind},
};

/// Lengths that a template may name, mm: a kilometre is no workshop's.
pub(super) const LENGTH_MM: RangeInclusive<f64> = -1e6..=1e6;

/// A number of a relation.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// Written in the template: mm or degrees.
    Fixed(f64),
    /// Index into the template's values.
    Value(usize),
}

impl Amount {
    /// Reads an amount of a kind: a length or angle as such, or the name of one of `values`.
    pub(super) fn read(
        entry: &Entry<'_>,
        kind: ValueKind,
        values: &[NamedValue],
    ) -> Option<Placed<Self>> {
        let name = entry.as_text().map(str::trim).filter(|text| is_name(text));
        let amount = match name {
            Some(name) => Self::Value(named(entry, name, kind, values)?),
            None => Self::Fixed(match kind {
                ValueKind::Length => entry.length_within(LENGTH_MM, "a floor layout")?,
                ValueKind::Angle => entry.angle()?,
            }),
        };
        Some(entry.placed(amount))
    }

    /// The number, mm or degrees, where `values` are the template's values as set.
    #[must_use]
    pub fn number(&self, values: &[f64]) -> f64 {
        match *self {
            Self::Fixed(number) => number,
            Self::Value(index) => values[index],
        }
    }
}

fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
}

fn named(entry: &Entry<'_>, name: &str, kind: ValueKind, values: &[NamedValue]) -> Option<usize> {
    let found = values.iter().position(|value| value.name == name);
    match found {
        Some(index) if values[index].kind == kind => Some(index),
        Some(_) => {
            entry.fault(format!(
                "`{name}` is measured in other units; expected a value in {}",
                kind.unit()
            ));
            None
        }
        None => {
            let known: Vec<&str> = values
                .iter()
                .filter(|v| v.kind == kind)
                .map(|v| v.name.as_str())
                .collect();
            entry.fault(format!(
                "there is no value `{name}`; expected a number with a unit, or one of: {}",
                known.join(", ")
            ));
            None
        }
    }
}

//! How a template points at marks and at the vehicle.

use std::fmt;

use crate::source::{Entry, Placed};

/// A side of the vehicle, or its centreline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Positive y.
    Left,
    /// On the centreline.
    Centre,
    /// Negative y.
    Right,
}

impl Side {
    /// Letter in a mark's name.
    #[must_use]
    pub const fn letter(self) -> char {
        match self {
            Self::Left => 'L',
            Self::Centre => 'C',
            Self::Right => 'R',
        }
    }

    /// Sign of y: 1 left, −1 right, 0 on the centreline.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Centre => 0.0,
            Self::Right => -1.0,
        }
    }

    pub(super) fn named(word: &str) -> Option<Self> {
        Some(match word {
            "left" => Self::Left,
            "right" => Self::Right,
            "centre" => Self::Centre,
            _ => return None,
        })
    }
}

/// A station of the vehicle itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// Foremost point of the body.
    FrontBumper,
    /// Front wheel centres.
    FrontAxle,
    /// Rear wheel centres; left and right may differ.
    RearAxle,
    /// Rearmost point of the body.
    RearBumper,
}

impl Datum {
    /// All datums with their words, from the front.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("front bumper", Self::FrontBumper),
        ("front axle", Self::FrontAxle),
        ("rear axle", Self::RearAxle),
        ("rear bumper", Self::RearBumper),
    ];
}

/// A mark by its template name: `station/rail`, `station/rail/side`, `point` or `point/side`;
/// without a side it means the side of whatever refers to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkRef {
    /// Station and rail, or point, in the template's own names.
    pub name: String,
    /// Side, where one is named.
    pub side: Option<Side>,
}

impl MarkRef {
    pub(super) fn parse(text: &str) -> Self {
        let words: Vec<&str> = text.split('/').map(str::trim).collect();
        let (side, name) = match words.split_last() {
            Some((last, name)) if !name.is_empty() && matches!(*last, "left" | "right") => {
                (Side::named(last), name)
            }
            _ => (None, words.as_slice()),
        };
        Self {
            name: name.join("/"),
            side,
        }
    }

    pub(super) fn read(entry: &Entry<'_>) -> Option<Placed<Self>> {
        entry.text().map(|text| entry.placed(Self::parse(&text)))
    }
}

impl fmt::Display for MarkRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.side {
            None => write!(f, "{}", self.name),
            Some(Side::Left) => write!(f, "{}/left", self.name),
            Some(Side::Right) => write!(f, "{}/right", self.name),
            Some(Side::Centre) => write!(f, "{}/centre", self.name),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_named_by_station_rail_and_side_or_by_a_point() {
        let parse = |text| {
            let mark = MarkRef::parse(text);
            (mark.name, mark.side)
        };
        assert_eq!(
            parse("front_end/side/left"),
            ("front_end/side".into(), Some(Side::Left))
        );
        assert_eq!(parse("front_end/centre"), ("front_end/centre".into(), None));
        assert_eq!(parse("P1/right"), ("P1".into(), Some(Side::Right)));
        assert_eq!(parse("P1"), ("P1".into(), None));
    }
}

//! What is known of a printer: the edges it cannot print.

use std::ops::RangeInclusive;

use crate::source::{Faults, Source, Table};

/// Version of the profile format that is read.
const FORMAT: &str = "printer/1";

/// Name of the profile that is used when a job names none.
const GENERIC: &str = "any printer";

/// Sensible unprintable edges, mm: some printers print to the very edge; with more than 60 mm little
/// of a page is left.
const MARGIN_MM: RangeInclusive<f64> = 0.0..=60.0;

/// Unprintable edges in mm, of an upright sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Left edge.
    pub left: f64,
    /// Right edge.
    pub right: f64,
    /// Top edge.
    pub top: f64,
    /// Bottom edge.
    pub bottom: f64,
}

impl Default for Margins {
    /// 10 mm all round and 15 mm at the bottom: what common office printers leave clear, with
    /// something to spare (common practice, no source).
    fn default() -> Self {
        Self { left: 10.0, right: 10.0, top: 10.0, bottom: 15.0 }
    }
}

/// A printer's profile.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// Name that sheets show.
    pub name: String,
    /// Unprintable edges.
    pub margins: Margins,
}

impl Default for Printer {
    fn default() -> Self {
        Self { name: GENERIC.to_owned(), margins: Margins::default() }
    }
}

impl Printer {
    /// Reads a profile file.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn read(source: &Source) -> Result<Self, Faults> {
        source.read(FORMAT, Self::from_table)
    }

    /// Reads a profile from a table; the caller refuses unknown keys.
    pub(crate) fn from_table(table: &Table<'_>) -> Option<Self> {
        let name = table.required("name", "a name, as in name = \"office, tray 2\"").and_then(|entry| entry.text());
        let standard = Margins::default();
        let margin = |key, standard| {
            table.entry(key).map_or(Some(standard), |entry| entry.length_within(MARGIN_MM, "an unprintable edge"))
        };
        let left = margin("margin_left", standard.left);
        let right = margin("margin_right", standard.right);
        let top = margin("margin_top", standard.top);
        let bottom = margin("margin_bottom", standard.bottom);
        Some(Self { name: name?, margins: Margins { left: left?, right: right?, top: top?, bottom: bottom? } })
    }
}

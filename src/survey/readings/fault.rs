//! What can be wrong with readings as a whole. Marks go by name, lengths in mm; `words/faults` says it.

use kurbo::Point;

/// Readings that cannot be of this layout, or marks that cannot be found.
#[derive(Debug)]
pub(crate) enum ReadingFault {
    /// The file is larger than can be.
    TooLarge,
    /// The file is no text.
    NotText,
    /// A name that several marks are like.
    Ambiguous { written: String, like: Vec<String> },
    /// A name that no mark has; the nearest, the first of those that are known, and whether there are more.
    NoMark {
        written: String,
        near: Option<String>,
        known: Vec<String>,
        more: bool,
    },
    /// The same of a given mark, which may have a place of its own.
    NoMarkNorPlace(Box<ReadingFault>),
    /// A given mark without a place.
    NoPlace(String),
    /// A given mark in another system of coordinates.
    FarAway(String),
    /// Every mark is fixed.
    AllFixed,
    /// Two marks fixed at one place.
    FixedTogether { marks: [String; 2], at: Point },
    /// A distance from a mark to itself.
    ToItself(String),
    /// A mark named twice for a line.
    TwiceOnLine(String),
    /// A row that was changed.
    RowChanged(FormRow),
    /// A form of another layout: how many of how many rows differ, and the first of them.
    AnotherLayout {
        first: FormRow,
        different: usize,
        all: usize,
    },
    /// Readings in another unit than they are read as: how many of how many, and the first of them.
    OtherUnit {
        count: usize,
        all: usize,
        unit: &'static str,
        read_as: &'static str,
        first: Absurd,
    },
    /// A reading that is absurd, and the unit that it may be in.
    Absurd(Absurd, Option<&'static str>),
}

/// What form and layout have for a reading.
#[derive(Debug)]
pub(crate) struct FormRow {
    /// The reading's marks.
    pub name: String,
    /// The form's length.
    pub form: f64,
    /// The layout's.
    pub layout: f64,
    /// True where the form is in inches.
    pub inches: bool,
}

/// A reading far from what it should be.
#[derive(Debug)]
pub(crate) struct Absurd {
    /// Its marks.
    pub name: String,
    /// What was read.
    pub value: f64,
    /// What it should be.
    pub should_be: f64,
}

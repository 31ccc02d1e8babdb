//! What can be wrong with a layout that a template, a vehicle and values make. Lengths in mm; marks, stations and rails go by
//! name. `words/faults` says it.

use std::ops::RangeInclusive;

/// A name that is not there, or a size that cannot be.
#[derive(Debug)]
pub(crate) enum PlanFault {
    /// A reference to a mark that is not there.
    NoMark(String),
    /// A station or rail of no such name.
    NotInTemplate {
        kind: &'static str,
        name: String,
        known: Vec<String>,
    },
    /// A station or rail measured from one that is not there.
    NotDeclared {
        kind: &'static str,
        name: String,
        known: Vec<String>,
        nearest: Option<String>,
    },
    /// A setting of a value that the template does not have.
    NoValue { name: String, known: Vec<String> },
    /// A length out of its range.
    Range {
        what: Length,
        value: f64,
        range: RangeInclusive<f64>,
    },
    /// More marks than one floor may hold.
    ManyMarks { count: usize, most: usize },
    /// Panels with more fields than one floor may hold.
    ManyFields { count: usize, most: usize },
    /// A floor of this length and width, larger than this.
    FloorTooLarge { size: (f64, f64), most: f64 },
    /// Two vehicles on a mat, letter and name, with marks neither shared nor apart.
    TooNear {
        vehicles: [(char, String); 2],
        /// Pairs of such marks, one of each vehicle, and how far they are apart.
        near: Vec<([String; 2], f64)>,
        shared: f64,
        least: f64,
    },
}

/// A station or rail out of order.
#[derive(Debug)]
pub(crate) enum OrderFault {
    /// The centreline is named as a station.
    CentreIsNoStation,
    /// Measured from itself, by way of others.
    Circle { kind: &'static str, name: String },
    /// A station that overtakes the one before it.
    StationAhead {
        station: String,
        by: f64,
        before: String,
    },
    /// A rail on the centreline or beyond.
    RailInward { rail: String, outward: f64 },
    /// A rail that lies inward of one declared before it.
    RailsCross {
        rail: (String, f64),
        inner: (String, f64),
    },
}

/// A mark, or what lies on marks, that cannot be.
#[derive(Debug)]
pub(crate) enum MarkFault {
    /// A point that lies across the centreline by so much.
    PointAcross { point: String, by: f64 },
    /// A point this far from where it is measured from: nothing.
    PointDistance(f64),
    /// Two marks of one name.
    SameId(String),
    /// Two marks at one place.
    SamePlace([String; 2]),
    /// Too few marks on the centreline to tape from.
    FewOnCentreline,
    /// A line from a mark to itself, or nearly.
    LineOfNoLength([String; 2]),
    /// A line that is there already.
    LineTwice([String; 2]),
    /// A panel that lies on this mark already.
    PanelTwice(String),
    /// A size of a panel that has to be less than another one.
    PanelSize {
        shape: &'static str,
        size: &'static str,
        than: &'static str,
    },
}

/// A length that a template gives.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Length {
    Tolerance,
    StripWidth,
    /// How far a strip is carried past a mark.
    StripPast,
    /// A size of a panel of some shape, by their words.
    Panel {
        shape: &'static str,
        size: &'static str,
    },
    ClearFloor,
    /// Fall in mm per metre.
    FloorSlope,
    Flatness,
}

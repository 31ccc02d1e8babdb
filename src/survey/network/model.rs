//! Points and what was measured between them.

use kurbo::Point;

/// Floor points and the observations between them. Lengths in mm, x forward and y left.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// The points.
    pub points: Vec<NetworkPoint>,
    /// What was measured; indices refer to `points`.
    pub observations: Vec<Observation>,
}

/// A point of a network.
#[derive(Clone, Debug, PartialEq)]
pub struct NetworkPoint {
    /// Its name.
    pub id: String,
    /// Where it is, or roughly is, mm.
    pub start: Point,
    /// True for a point whose place is given and not to be adjusted.
    pub fixed: bool,
}

impl NetworkPoint {
    /// A point to be adjusted, with its name and where it is, or roughly is.
    #[must_use]
    pub fn free(id: impl Into<String>, start: Point) -> Self {
        Self {
            id: id.into(),
            start,
            fixed: false,
        }
    }
}

/// One measured value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// What was measured.
    pub geometry: Geometry,
    /// The measured value, mm.
    pub value: f64,
    /// Its a-priori standard deviation, mm, above 0.
    pub sd: f64,
}

/// What is farther from a string than this, mm, is taped from it and not seen beside it.
const ON_STRING_MM: f64 = 50.0;

impl Observation {
    /// What was measured, its value and its standard deviation, mm.
    #[must_use]
    pub const fn new(geometry: Geometry, value: f64, sd: f64) -> Self {
        Self {
            geometry,
            value,
            sd,
        }
    }

    /// True where it was read on a tape, whose zero and scale are in it then: a distance, and an offset that is more
    /// than the eye sees beside a string.
    #[must_use]
    pub fn read_on_tape(&self) -> bool {
        match self.geometry {
            Geometry::Distance { .. } => true,
            Geometry::Offset { .. } => self.value.abs() > ON_STRING_MM,
            Geometry::X { .. } | Geometry::Y { .. } => false,
        }
    }
}

/// What an observation says of the points, by their indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Geometry {
    /// Distance between two points.
    Distance {
        /// One end.
        from: usize,
        /// The other end.
        to: usize,
    },
    /// Distance of a point from the straight line through two others, positive to the left of the line
    /// seen from its first point to its second. Three points on one string are an offset of 0.
    Offset {
        /// The point beside the line.
        mark: usize,
        /// The two points of the line.
        line: [usize; 2],
    },
    /// A point's own x, known beforehand, as of a vehicle's plumbed wheel centre.
    X {
        /// The point.
        point: usize,
    },
    /// A point's own y, known beforehand.
    Y {
        /// The point.
        point: usize,
    },
}

impl Geometry {
    /// Indices of the points that it ties together.
    #[must_use]
    pub fn points(self) -> Vec<usize> {
        match self {
            Self::Distance { from, to } => vec![from, to],
            Self::Offset {
                mark,
                line: [start, end],
            } => vec![mark, start, end],
            Self::X { point } | Self::Y { point } => vec![point],
        }
    }
}

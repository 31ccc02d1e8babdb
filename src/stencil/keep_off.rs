//! What slots keep off beside each other: where material is put together from pieces.

use kurbo::{Line, Point, Vec2};

use crate::plan::MarkShape;

/// Stretches of a line, as distances in mm from its start.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Stretches {
    /// Where no slot may be.
    pub taken: Vec<(f64, f64)>,
    /// Where no bridge may stand, apart from each other; what lies in `taken` is left out.
    pub open: Vec<(f64, f64)>,
}

/// Lines at which material is put together, as those see them who place slots.
pub(super) trait KeepOff {
    /// How a line is divided that is to be cut `width` mm wide: what is `taken` already, and what these lines ask for.
    /// `bridge` is the least width of a web.
    fn along(&self, line: Line, width: f64, bridge: f64, taken: Vec<(f64, f64)>) -> Stretches;

    /// How far a window `width` mm wide may reach from a mark along a unit vector, mm.
    fn window_end(&self, _mark: Point, _arm: Vec2, _width: f64) -> f64 {
        MarkShape::FULL.arm
    }

    /// True where no slot `width` mm wide may have its middle, which leaves a gap in it.
    fn is_near(&self, _point: Point, _width: f64, _bridge: f64) -> bool {
        false
    }

    /// True where a slot `width` mm wide has a bridge because of these lines.
    fn has_bridge(&self, _point: Point, _width: f64, _bridge: f64) -> bool {
        false
    }

    /// True where one of these lines would run through a bridge that reaches so far to all sides.
    fn crosses_bridge(&self, _point: Point, _reach: f64) -> bool {
        false
    }
}

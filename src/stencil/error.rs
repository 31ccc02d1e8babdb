//! Why a stencil cannot be cut, and what of it could not be cut as wanted. Their words are in `words/faults`.

use kurbo::Point;

use super::options::CutOption;
use crate::plan::PanelShape;

/// Why a stencil cannot be cut.
#[derive(Clone, Debug, PartialEq)]
pub enum CutError {
    /// An option lies outside of what makes sense.
    Range {
        /// Which one.
        option: CutOption,
        /// What was asked for, mm.
        value: f64,
        /// Least, mm.
        least: f64,
        /// Most, mm.
        most: f64,
    },
    /// Bridges leave no room for slots between them.
    Spacing {
        /// Width of a bridge, mm.
        bridge: f64,
        /// Spacing asked for, mm.
        every: f64,
        /// Least spacing for that bridge, mm.
        least: f64,
    },
    /// The tool is wider than the narrowest slot.
    Kerf {
        /// Kerf, mm.
        kerf: f64,
        /// Width of the narrowest slot, mm.
        slot: f64,
    },
    /// The corner radius is larger than half of the narrowest slot.
    Corner {
        /// Radius, mm.
        corner: f64,
        /// Width of the narrowest slot, mm.
        slot: f64,
    },
    /// The spot colour's name is not one of those that are offered.
    Spot {
        /// What was given.
        text: String,
    },
    /// The layout has neither line nor panel nor mark.
    Nothing,
    /// No straight joints keep off the marks and leave panels of the size asked for.
    Joint {
        /// Largest size of a panel, mm.
        size: (f64, f64),
    },
    /// A panel would fall apart.
    Loose {
        /// Name of the panel.
        label: String,
        /// Number of parts it would fall into.
        parts: usize,
        /// A corner of one of the parts, floor mm.
        near: Point,
    },
}

impl CutError {
    /// The option that this is about.
    #[must_use]
    pub const fn option(&self) -> Option<CutOption> {
        match self {
            Self::Range { option, .. } => Some(*option),
            Self::Spacing { .. } => Some(CutOption::Spacing),
            Self::Kerf { .. } => Some(CutOption::Kerf),
            Self::Corner { .. } => Some(CutOption::Corner),
            Self::Spot { .. } => Some(CutOption::Spot),
            Self::Joint { .. } => Some(CutOption::Panel),
            Self::Loose { .. } => Some(CutOption::Bridge),
            Self::Nothing => None,
        }
    }
}

impl std::error::Error for CutError {}

/// A way from a mark or along a cross.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arm {
    /// +x.
    Ahead,
    /// −x.
    Rearward,
    /// +y.
    Left,
    /// −y.
    Right,
}

/// Something that could not be cut as wanted. Marks and strips go by name.
#[derive(Clone, Debug, PartialEq)]
pub enum CutNote {
    /// A mark without its centre hole: another mark's is too near.
    NoHole(String),
    /// A mark without some windows: another mark is too near.
    NoWindow(String, Vec<Arm>),
    /// A strip whose slot stops short of another opening.
    SlotShortened(String),
    /// A strip too short for any slot.
    NoSlot(String),
    /// A panel whose edges have gaps, or are not all cut.
    Panel {
        /// Its shape.
        shape: PanelShape,
        /// The mark at its centre.
        mark: String,
        /// How many edges are not cut at all.
        missing: usize,
        /// How many it has.
        edges: usize,
    },
    /// An axle beyond the mat, which has no notch for it.
    AxleBeyond {
        /// True for the front axle, false for the rear.
        front: bool,
    },
    /// A section of a joint without any notch; its ends, floor mm.
    JointWithoutNotch(Point, Point),
}

//! Why a stencil cannot be cut, and what of it could not be cut as wanted. Their words are in `words/faults`.

use kurbo::Point;

use super::{ink::Colour, options::CutOption};
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
    /// A text that no spot colour can be named by.
    Spot {
        /// What was given.
        text: String,
        /// Most characters of a name.
        most: usize,
    },
    /// Cuts and scores have one spot colour.
    SameSpot {
        /// Its name.
        name: String,
    },
    /// A text that is no colour.
    Colour {
        /// What was given.
        text: String,
    },
    /// Cuts and scores have one colour.
    SameColour {
        /// Which.
        colour: Colour,
    },
    /// The layout has neither line nor panel nor mark.
    Nothing,
    /// The kerf takes a joint's tab.
    Tab {
        /// Kerf, mm.
        kerf: f64,
        /// Width of a tab, mm.
        tab: f64,
    },
    /// No straight joints keep off the marks and leave pieces of the size asked for.
    Joint {
        /// Largest size of a piece, mm.
        size: (f64, f64),
        /// Where a piece stays larger, floor mm.
        near: Point,
    },
    /// More joints than can be told apart by the places of their tabs.
    Joints,
    /// Strips and marks that cannot be cut whole.
    Partial(Vec<Loss>),
    /// Joined sheets would fall apart once they are cut by hand.
    LooseSheets {
        /// The first of the sheets that are joined.
        first: String,
        /// Number of parts they would fall into.
        parts: usize,
        /// A corner of the smallest part, floor mm.
        near: Point,
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
            Self::Spot { .. } | Self::SameSpot { .. } => Some(CutOption::Spot),
            Self::Colour { .. } | Self::SameColour { .. } => Some(CutOption::Colour),
            Self::Joint { .. } => Some(CutOption::Bed),
            Self::Tab { .. } | Self::Joints => Some(CutOption::Border),
            Self::Loose { .. } | Self::LooseSheets { .. } => Some(CutOption::Bridge),
            Self::Partial(_) => Some(CutOption::Partial),
            Self::Nothing => None,
        }
    }
}

impl std::error::Error for CutError {}

/// What of a layout cannot be cut whole. Marks and strips go by name.
#[derive(Clone, Debug, PartialEq)]
pub enum Loss {
    /// A strip of which too little becomes slot: the part that does, 0 to 1.
    Strip(String, f64),
    /// A mark without its hole, or without a window along one of its axes.
    Mark(String),
}

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
    /// A joint that has room for less than two pairs of register holes; its ends, floor mm.
    JointWithoutRegister(Point, Point),
    /// A piece too narrow for its name.
    NoName(String),
    /// A strip in whose slots a seam of the sheets runs along, so that it crosses their bridges.
    SeamAlong(String),
    /// A strip at which two sheets meet without one going on below the other.
    SeamWithoutLap(String),
    /// A joint without any tab or notch; its ends, floor mm.
    JointWithoutNotch(Point, Point),
}

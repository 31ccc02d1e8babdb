//! Why a stencil cannot be cut.

use std::fmt;

use kurbo::Point;

use super::options::{SPOT_NAMES, shown};

/// Why a stencil cannot be cut.
#[derive(Clone, Debug, PartialEq)]
pub enum CutError {
    /// An option lies outside of what makes sense.
    Range {
        /// What it is.
        what: &'static str,
        /// The flag that sets it.
        flag: &'static str,
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

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Range {
                what,
                flag,
                value,
                least,
                most,
            } => write!(
                f,
                "{flag}: {what} of {} mm is out of range; expected {} to {} mm",
                shown(*value),
                shown(*least),
                shown(*most)
            ),
            Self::Spacing {
                bridge,
                every,
                least,
            } => write!(
                f,
                "--bridge-every: bridges of {} mm (--bridge) every {} mm leave too little slot between them; expected at least {} mm, or narrower bridges",
                shown(*bridge),
                shown(*every),
                shown(*least)
            ),
            Self::Kerf { kerf, slot } => write!(
                f,
                "--kerf: a kerf of {} mm does not fit into the narrowest slot of {} mm; expected less than the slot: take a finer tool or wider strips",
                shown(*kerf),
                shown(*slot)
            ),
            Self::Corner { corner, slot } => write!(
                f,
                "--corner: a corner radius of {} mm is more than half of the narrowest slot of {} mm; expected at most {} mm",
                shown(*corner),
                shown(*slot),
                shown(slot / 2.0)
            ),
            Self::Spot { text } => write!(
                f,
                "--spot: \"{text}\" is not a name for the spot colour of cuts; expected one of {}",
                SPOT_NAMES.join(", ")
            ),
            Self::Nothing => write!(
                f,
                "the layout has nothing to cut: neither line nor panel nor mark"
            ),
            Self::Joint { size: (one, other) } => write!(
                f,
                "--panel: no straight joints that keep off the marks divide the stencil into panels of {} × {} mm; take larger panels or narrower bridges",
                shown(*one),
                shown(*other)
            ),
            Self::Loose { label, parts, near } => write!(
                f,
                "panel {label} of the stencil would fall into {parts} parts, one near x {} mm, y {} mm; take narrower bridges (--bridge) or move the lines apart",
                shown(near.x.round()),
                shown(near.y.round())
            ),
        }
    }
}

impl std::error::Error for CutError {}

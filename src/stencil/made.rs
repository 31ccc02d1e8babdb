//! A stencil, whoever cuts it.

use super::{CutError, CutNote, CutPlan, HandCut};

/// A stencil of a layout, cut by a machine or by hand.
#[derive(Clone, Debug)]
pub enum Stencil {
    /// Pieces with paths for a machine.
    Machine(CutPlan),
    /// Openings on printed sheets.
    Hand(HandCut),
    /// None, because a machine could not cut all of the layout.
    Refused(CutError),
}

impl Stencil {
    /// What could not be cut as wanted.
    #[must_use]
    pub fn notes(&self) -> &[CutNote] {
        match self {
            Self::Machine(cut) => &cut.notes,
            Self::Hand(cut) => &cut.notes,
            Self::Refused(_) => &[],
        }
    }

    /// Length of all cuts, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Machine(cut) => cut.cut_length(),
            Self::Hand(cut) => {
                let openings = cut.openings.iter();
                openings.map(|opening| opening.contour(0.0).length()).sum()
            }
            Self::Refused(_) => 0.0,
        }
    }
}

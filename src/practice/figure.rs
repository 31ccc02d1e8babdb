//! What an exercise shows as a picture.

use kurbo::{Point, Rect, Size};

use crate::plan::VehicleOnFloor;

/// A plan seen from above, front to the right, in mm on the floor.
#[derive(Clone, Debug, Default)]
pub struct Figure {
    /// The vehicle, where it is shown.
    pub vehicle: Option<VehicleOnFloor>,
    /// Marks.
    pub marks: Vec<FigureMark>,
    /// Straight lines between floor points, as tape strips or strings.
    pub lines: Vec<[Point; 2]>,
    /// Lines that belong to the answer alone.
    pub answer_lines: Vec<[Point; 2]>,
    /// Scale, and whether the paper is squared.
    pub scale: FigureScale,
    /// The floor that the figure shows; everything above lies in it.
    pub extent: Rect,
    /// Words below the figure.
    pub caption: String,
}

/// Largest figure on paper, mm, that every office paper has room for beside a few questions; a scale is chosen by it, so
/// that a sheet is the same on all of them.
pub const FIGURE_ROOM: Size = Size::new(170.0, 110.0);

/// How large a figure is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum FigureScale {
    /// As large as there is room, no measuring from it.
    #[default]
    Fitting,
    /// To scale 1:n on squared paper of 5 mm, to be measured from.
    Squared(u32),
}

/// A mark in a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureMark {
    /// Its name.
    pub id: String,
    /// Its place on the floor, mm.
    pub at: Point,
    /// True when it is shown in the answer alone.
    pub answer: bool,
    /// A number or word beside its name, such as a height; empty for none.
    pub note: String,
}

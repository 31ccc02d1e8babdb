//! What an exercise shows as a picture.

use kurbo::{Point, Rect, Size};

use super::{Block, Ruling};
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
    /// Outlines of panels.
    pub panels: Vec<Vec<Point>>,
    /// Outlines that belong to the answer alone.
    pub answer_panels: Vec<Vec<Point>>,
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
    /// To scale 1:n on squared paper of 5 mm or of 1/4 in, to be measured from.
    Squared {
        /// n of the scale.
        n: u32,
        /// What it is measured in.
        ruling: Ruling,
    },
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

impl FigureMark {
    /// A mark that is shown to the trainee, without a note.
    #[must_use]
    pub fn given(id: &str, at: Point) -> Self {
        Self {
            id: id.to_owned(),
            at,
            answer: false,
            note: String::new(),
        }
    }
}

impl Figure {
    /// Marks and lines on the floor that they take.
    pub(super) fn of(
        marks: impl IntoIterator<Item = FigureMark>,
        lines: impl IntoIterator<Item = [Point; 2]>,
        caption: impl Into<String>,
    ) -> Self {
        let marks: Vec<FigureMark> = marks.into_iter().collect();
        let first = marks.first().map_or(Point::ZERO, |mark| mark.at);
        let start = Rect::from_points(first, first);
        Self {
            extent: marks.iter().fold(start, |all, mark| all.union_pt(mark.at)),
            lines: lines.into_iter().collect(),
            marks,
            caption: caption.into(),
            ..Self::default()
        }
    }

    /// With so much floor about it, mm, and as much ahead and behind that it is `flat` times as long as wide or more: so it leaves
    /// the page to the questions.
    pub(super) fn with_floor(mut self, about: f64, flat: f64) -> Self {
        let (length, width) = (self.extent.width(), self.extent.height());
        let ahead = ((width + 2.0 * about) * flat / 2.0 - length / 2.0).max(about);
        self.extent = self.extent.inflate(ahead, about);
        self
    }

    /// It as a part of a page.
    pub(super) fn block(self) -> Block {
        Block::Figure(Box::new(self))
    }
}

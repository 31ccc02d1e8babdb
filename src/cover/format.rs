//! What one page offers to the floor.

use kurbo::{Affine, Point, Rect, Size};

use super::{Heading, PlacedSheet, lay::ChosenCell};
use crate::{
    paper::{Margins, Paper},
    plan::corners,
};

/// Paper, margins and overlap of a kit's sheets.
///
/// A sheet's *window* is all that its page can show. Its *cell* is the window less half an overlap
/// on every side: what is left of it when it is cut to fit its neighbours. Cells that cover the
/// layout therefore come from sheets that overlap wherever the layout goes on from one to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetFormat {
    /// Paper, upright.
    pub paper: Paper,
    /// Unprintable edges of the upright sheet.
    pub margins: Margins,
    /// Width in mm of the strip that neighbouring sheets share.
    pub overlap: f64,
}

impl SheetFormat {
    /// The printable part of a page, mm from the page's lower left corner.
    #[must_use]
    pub fn printable(&self) -> Rect {
        Rect::new(
            self.margins.left,
            self.margins.bottom,
            self.paper.width - self.margins.right,
            self.paper.height - self.margins.top,
        )
    }

    /// Width of the strip along a cut edge that is cut away, mm.
    #[must_use]
    pub fn cut_depth(&self) -> f64 {
        self.overlap / 2.0
    }

    /// Size of a cell along floor x and floor y, mm.
    #[must_use]
    pub fn cell(&self, heading: Heading) -> Size {
        let page = self.printable().inset(-self.cut_depth());
        heading.on_floor(page.size())
    }

    /// The sheet that shows a chosen cell, not joined to others yet.
    pub(super) fn sheet(&self, chosen: ChosenCell, page: usize) -> PlacedSheet {
        let ChosenCell { label, cell, heading, laid } = chosen;
        let floor_to_page = heading.onto(cell.inset(self.cut_depth()), self.printable().origin());
        let page_to_floor = floor_to_page.inverse();
        PlacedSheet {
            label,
            page,
            paper: Size::new(self.paper.width, self.paper.height),
            heading,
            floor_to_page,
            window: corners(self.printable()).map(|corner| page_to_floor * corner),
            cut: [false; 4],
            laid,
            registration: Vec::new(),
        }
    }
}

impl Heading {
    /// Both ways, the one that most sheets take first.
    pub const ALL: [Self; 2] = [Self::FrontUp, Self::FrontRight];

    /// A page's width and height as lengths along floor x and floor y.
    #[must_use]
    pub const fn on_floor(self, page: Size) -> Size {
        match self {
            Self::FrontUp => Size::new(page.height, page.width),
            Self::FrontRight => page,
        }
    }

    /// The rigid map that takes a floor rectangle's lower left corner, as the page shows it, to `corner`.
    #[must_use]
    pub fn onto(self, floor: Rect, corner: Point) -> Affine {
        match self {
            Self::FrontUp => Affine::new([0.0, 1.0, -1.0, 0.0, corner.x + floor.y1, corner.y - floor.x0]),
            Self::FrontRight => Affine::translate(corner - floor.origin()),
        }
    }
}

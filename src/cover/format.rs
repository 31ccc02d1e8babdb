//! What one page offers to the floor.
//!
//! A sheet's *cell* is its window less half an overlap on every side. Cells cover everything to
//! their edges, so sheets overlap wherever the layout goes on, and nothing is lost where one is cut
//! along its cell.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::{Heading, PlacedSheet, lay::ChosenCell};
use crate::{
    paper::{Correction, Margins, Paper},
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
    /// What undoes the printer's error.
    pub correction: Correction,
}

impl SheetFormat {
    /// The page's part within the margins, page mm from its lower left corner.
    #[must_use]
    pub fn within_margins(&self) -> Rect {
        Rect::new(
            self.margins.left,
            self.margins.bottom,
            self.paper.width - self.margins.right,
            self.paper.height - self.margins.top,
        )
    }

    /// What a page can show, in true mm as the printed sheet has them: the largest upright rectangle
    /// on the lower margin that [`to_page`](Self::to_page) keeps within the margins. Without a
    /// correction that is the part within the margins.
    #[must_use]
    pub fn printable(&self) -> Rect {
        let page = self.within_margins();
        let Vec2 { x: lean, y: height } = self.correction.lean(page.height());
        let right = page.x0 + self.correction.across(page.width());
        // Where upright lines lean to the right, the page's left edge does so as well.
        Rect::new(
            page.x0 + lean.max(0.0),
            page.y0,
            right + lean.min(0.0),
            page.y0 + height,
        )
    }

    /// True mm to page mm: what the printer's error is undone with. The lower left corner of the part
    /// within the margins stays in its place.
    #[must_use]
    pub fn to_page(&self) -> Affine {
        self.correction.to_page(self.within_margins().origin())
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
        let ChosenCell {
            label,
            cell,
            heading,
            laid,
        } = chosen;
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
            Self::FrontUp => Affine::new([
                0.0,
                1.0,
                -1.0,
                0.0,
                corner.x + floor.y1,
                corner.y - floor.x0,
            ]),
            Self::FrontRight => Affine::translate(corner - floor.origin()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_shown_fills_the_part_within_the_margins_and_stays_in_it() {
        let paper = Paper {
            name: "test".into(),
            width: 210.0,
            height: 297.0,
        };
        for (x, y, skew) in [
            (200.0, 200.0, 0.0),
            (199.2, 200.3, 0.0),
            (203.0, 198.0, 0.3),
            (197.0, 201.0, -0.3),
        ] {
            let correction = Correction::measured(x, y, 200.0, skew);
            let format = SheetFormat {
                paper: paper.clone(),
                margins: Margins::default(),
                overlap: 10.0,
                correction,
            };
            let shown = format.to_page().transform_rect_bbox(format.printable());
            let margins = format.within_margins();
            assert!(
                (shown.origin() - margins.origin()).hypot() < 1e-9,
                "{shown:?} in {margins:?}"
            );
            assert!(
                (shown.size() - margins.size()).to_vec2().hypot() < 1e-9,
                "{shown:?} in {margins:?}"
            );
            assert!((format.to_page() * margins.origin() - margins.origin()).hypot() < 1e-12);
        }
    }
}

//! The answer of the cover: sheets with their place on the floor.

use kurbo::{Affine, Point, Rect, Vec2};

use super::seam;
use crate::paper::{Correction, Margins, Paper};

/// What one page offers to the floor.
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
        Rect::new(page.x0 + lean.max(0.0), page.y0, right + lean.min(0.0), page.y0 + height)
    }

    /// True mm to page mm: what the printer's error is undone with. The lower left corner of the part
    /// within the margins stays in its place.
    #[must_use]
    pub fn to_page(&self) -> Affine {
        self.correction.to_page(self.within_margins().origin())
    }
}

/// Which way the vehicle's front lies when a page is held upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    /// Front towards the top of the page.
    FrontUp,
    /// Front towards the right edge of the page.
    FrontRight,
}

/// An edge of an upright page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    /// Left edge.
    Left,
    /// Right edge: trimmed where a neighbour lies.
    Right,
    /// Top edge.
    Top,
    /// Bottom edge: trimmed where a neighbour lies.
    Bottom,
}

impl Edge {
    /// All four, in the order of [`PlacedSheet::neighbours`].
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Bottom];
}

/// A floor point on a seam, printed on the sheets on both of its sides, to join them by.
#[derive(Clone, Debug, PartialEq)]
pub struct RegistrationMark {
    /// Short name, unique in the plan.
    pub id: String,
    /// Place on the floor, mm.
    pub at: Point,
}

/// One sheet and its place.
#[derive(Clone, Debug)]
pub struct PlacedSheet {
    /// Row letter and column number: `A1` is the foremost row, leftmost column.
    pub label: String,
    /// Row from the front, from 0.
    pub row: usize,
    /// Column from the left, from 0.
    pub column: usize,
    /// Floor mm to true mm on the sheet (origin at the page's lower left, y up): a turn and a shift.
    /// The printer's correction, [`SheetFormat::to_page`], comes on top of it.
    pub floor_to_page: Affine,
    /// The floor that the page shows, corners counter-clockwise on the page from the lower left.
    pub window: [Point; 4],
    /// Indices of the sheets that join this one at the page's left, right, top and bottom edge.
    pub neighbours: [Option<usize>; 4],
    /// Indices of the registration marks on this sheet.
    pub registration: Vec<usize>,
}

impl PlacedSheet {
    /// The sheet that joins at an edge of the page.
    #[must_use]
    pub fn neighbour(&self, edge: Edge) -> Option<usize> {
        self.neighbours[edge as usize]
    }
}

/// All sheets of a layout.
#[derive(Clone, Debug)]
pub struct SheetPlan {
    /// Paper, margins, overlap.
    pub format: SheetFormat,
    /// How pages lie to the vehicle.
    pub heading: Heading,
    /// Sheets by row, then column.
    pub sheets: Vec<PlacedSheet>,
    /// Registration marks. Those between two neighbours lie on the seam, the middle of the strip
    /// that both show, along which the upper sheet is trimmed.
    pub registration: Vec<RegistrationMark>,
    /// No placement of such sheets square to the vehicle, on this grid or off it, needs fewer.
    pub lower_bound: usize,
}

impl SheetPlan {
    /// The part of the page that a sheet's window takes, mm from the page's lower left corner.
    #[must_use]
    pub fn page_window(&self, index: usize) -> Rect {
        seam::page_window(&self.sheets[index], &self.format)
    }

    /// Where a sheet's seams lie on its page, in the order of [`Edge::ALL`]: x in mm at left and
    /// right, y at top and bottom; `None` where no neighbour joins. A seam is the middle of the strip
    /// that both sheets show.
    #[must_use]
    pub fn seams(&self, index: usize) -> [Option<f64>; 4] {
        seam::seams(&self.sheets, &self.format, index)
    }

    /// What of a sheet is neither trimmed away nor covered by a neighbour, mm on its page.
    #[must_use]
    pub fn kept(&self, index: usize) -> Rect {
        seam::kept(self.page_window(index), self.seams(index))
    }

    /// The same on the floor.
    #[must_use]
    pub fn kept_floor(&self, index: usize) -> Rect {
        self.sheets[index].floor_to_page.inverse().transform_rect_bbox(self.kept(index))
    }

    /// Indices of the sheets that hang together through common edges, group by group in the order of
    /// the plan.
    #[must_use]
    pub fn groups(&self) -> Vec<Vec<usize>> {
        let count = self.sheets.len();
        let mut joined: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (index, sheet) in self.sheets.iter().enumerate() {
            for &other in sheet.neighbours.iter().flatten() {
                // Both ways: a sheet may name a neighbour whose own nearest one is another.
                joined[index].push(other);
                joined[other].push(index);
            }
        }
        let mut seen = vec![false; count];
        let mut groups = Vec::new();
        for start in 0..count {
            let (mut open, mut group) = (vec![start], Vec::new());
            while let Some(index) = open.pop() {
                if !std::mem::replace(&mut seen[index], true) {
                    group.push(index);
                    open.extend(&joined[index]);
                }
            }
            if !group.is_empty() {
                group.sort_unstable();
                groups.push(group);
            }
        }
        groups
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_shown_fills_the_part_within_the_margins_and_stays_in_it() {
        let paper = Paper { name: "test".into(), width: 210.0, height: 297.0 };
        for (x, y, skew) in [(200.0, 200.0, 0.0), (199.2, 200.3, 0.0), (203.0, 198.0, 0.3), (197.0, 201.0, -0.3)] {
            let correction = Correction::measured(x, y, 200.0, skew);
            let format = SheetFormat { paper: paper.clone(), margins: Margins::default(), overlap: 10.0, correction };
            let shown = format.to_page().transform_rect_bbox(format.printable());
            let margins = format.within_margins();
            assert!((shown.origin() - margins.origin()).hypot() < 1e-9, "{shown:?} in {margins:?}");
            assert!((shown.size() - margins.size()).to_vec2().hypot() < 1e-9, "{shown:?} in {margins:?}");
            assert!((format.to_page() * margins.origin() - margins.origin()).hypot() < 1e-12);
        }
    }
}

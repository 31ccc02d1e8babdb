//! The answer of the cover: sheets with their place on the floor.

use kurbo::{Affine, Line, Point, Rect, Size};

use super::SheetFormat;
use crate::{plan::bounds, survey::Method};

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
    /// Right edge.
    Right,
    /// Top edge.
    Top,
    /// Bottom edge.
    Bottom,
}

impl Edge {
    /// All four.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Bottom];

    /// The side of a rectangle at this edge, y up.
    #[must_use]
    pub fn of(self, rect: Rect) -> Line {
        let Rect { x0, y0, x1, y1 } = rect;
        let (from, to) = match self {
            Self::Left => ((x0, y0), (x0, y1)),
            Self::Right => ((x1, y0), (x1, y1)),
            Self::Top => ((x0, y1), (x1, y1)),
            Self::Bottom => ((x0, y0), (x1, y0)),
        };
        Line::new(from, to)
    }

    /// A rectangle with this edge moved inwards by `depth`.
    #[must_use]
    pub const fn cut(self, rect: Rect, depth: f64) -> Rect {
        match self {
            Self::Left => Rect {
                x0: rect.x0 + depth,
                ..rect
            },
            Self::Right => Rect {
                x1: rect.x1 - depth,
                ..rect
            },
            Self::Top => Rect {
                y1: rect.y1 - depth,
                ..rect
            },
            Self::Bottom => Rect {
                y0: rect.y0 + depth,
                ..rect
            },
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }

    /// True for the edges at the sides of a page.
    #[must_use]
    pub const fn is_upright(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }
}

/// What the sheets are to show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mode {
    /// Lines, marks and panels with the fewest sheets, each placed freely.
    #[default]
    Lines,
    /// The same on a regular grid, with the offset that needs the fewest.
    Grid,
    /// A small stencil for each mark, several on a page.
    Keys,
    /// The regular grid with every sheet, blank ones included.
    Full,
}

impl Mode {
    /// Every mode with the word for it.
    pub const ALL: [(&'static str, Self); 4] = [
        ("lines", Self::Lines),
        ("grid", Self::Grid),
        ("keys", Self::Keys),
        ("full", Self::Full),
    ];

    /// The word that asks for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(_, mode)| *mode == self)
            .map_or("", |(word, _)| word)
    }
}

/// A floor point on a seam, printed on the sheets on both of its sides, to join them by.
#[derive(Clone, Debug, PartialEq)]
pub struct RegistrationMark {
    /// Short name, unique in the plan.
    pub id: String,
    /// Place on the floor, mm.
    pub at: Point,
}

/// Two sheets that are joined: the upper one is cut along the seam and laid on the lower one.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Index of the sheet that lies on top.
    pub over: usize,
    /// Index of the sheet under it.
    pub under: usize,
    /// The edge of the upper sheet's page that is cut.
    pub edge: Edge,
    /// The part of the cut edge that lies on the lower sheet, on the floor.
    pub seam: Line,
    /// Indices of the two registration marks on the seam.
    pub registration: [usize; 2],
}

/// One sheet and its place.
#[derive(Clone, Debug)]
pub struct PlacedSheet {
    /// Short name: its number in the order of laying, from 1; of a key that of its mark.
    pub label: String,
    /// Index of the page that carries it, among the pages with sheets.
    pub page: usize,
    /// Width and height of that page, mm.
    pub paper: Size,
    /// How the page lies to the vehicle.
    pub heading: Heading,
    /// Floor mm to true mm on the sheet (origin at the page's lower left, y up): a turn and a shift.
    /// The printer's correction, [`SheetFormat::to_page`], comes on top of it.
    pub floor_to_page: Affine,
    /// The floor that the page shows, corners counter-clockwise on the page from the lower left.
    pub window: [Point; 4],
    /// Which edges of the page are cut, in the order of [`Edge::ALL`].
    pub cut: [bool; 4],
    /// Indices of the registration marks on this sheet.
    pub registration: Vec<usize>,
}

/// A joint as one of its two sheets shows it.
#[derive(Clone, Copy, Debug)]
pub struct Seam {
    /// Index of the other sheet.
    pub other: usize,
    /// The edge of this page at which the other sheet lies.
    pub edge: Edge,
    /// True when this sheet is the upper one, and is cut.
    pub over: bool,
    /// The seam on this page, mm.
    pub line: Line,
}

/// All sheets of a layout.
#[derive(Clone, Debug)]
pub struct SheetPlan {
    /// Paper, margins, overlap.
    pub format: SheetFormat,
    /// What the sheets are to show.
    pub mode: Mode,
    /// Sheets in the order of laying: each lies on top of those before it.
    pub sheets: Vec<PlacedSheet>,
    /// Which of them are joined.
    pub joints: Vec<Joint>,
    /// Registration marks; each lies on a seam.
    pub registration: Vec<RegistrationMark>,
    /// Number of pages that carry sheets.
    pub pages: usize,
    /// No placement of such sheets square to the vehicle needs fewer pages.
    pub lower_bound: usize,
    /// What is taken off the roll, where the pages are strips of one. The format's paper is then as long
    /// as the longest of them.
    pub roll: Option<RollUse>,
}

/// Length of roll paper that a layout takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollUse {
    /// All pages together, blank ends included, mm.
    pub length: f64,
    /// No strips square to the vehicle take less, mm: the bare area of the layout, spread over the printable
    /// width, and the blank ends of the fewest pages.
    pub least: f64,
}

impl PlacedSheet {
    /// The part of the page that the window takes, mm from the page's lower left corner.
    #[must_use]
    pub fn page_window(&self) -> Rect {
        bounds(&self.window.map(|corner| self.floor_to_page * corner))
    }

    /// The floor that the page shows.
    #[must_use]
    pub fn floor_window(&self) -> Rect {
        bounds(&self.window)
    }

    /// The paper on its page once it is cut `depth` mm inside the window, where it is cut.
    #[must_use]
    pub fn cut_paper(&self, depth: f64) -> Rect {
        let (window, paper) = (self.page_window(), self.paper.to_rect());
        let at = |edge: Edge, cut: f64, whole: f64| if self.is_cut(edge) { cut } else { whole };
        Rect::new(
            at(Edge::Left, window.x0 + depth, paper.x0),
            at(Edge::Bottom, window.y0 + depth, paper.y0),
            at(Edge::Right, window.x1 - depth, paper.x1),
            at(Edge::Top, window.y1 - depth, paper.y1),
        )
    }

    /// True when an edge of the page is cut.
    #[must_use]
    pub const fn is_cut(&self, edge: Edge) -> bool {
        self.cut[edge as usize]
    }
}

impl SheetPlan {
    /// The way in which they are laid.
    #[must_use]
    pub fn method(&self) -> Method {
        match (self.mode, &self.roll) {
            (Mode::Keys, _) => Method::KeyStencils,
            (_, Some(_)) => Method::RollStrips,
            _ => Method::TapedSheets,
        }
    }

    /// What of a sheet is left once it is cut, mm on its page.
    #[must_use]
    pub fn kept(&self, index: usize) -> Rect {
        let sheet = &self.sheets[index];
        let cut = Edge::ALL.into_iter().filter(|edge| sheet.is_cut(*edge));
        cut.fold(sheet.page_window(), |rect, edge| {
            edge.cut(rect, self.format.cut_depth())
        })
    }

    /// What is left of it beside the parts that are hidden along a whole edge, mm on its page.
    #[must_use]
    pub fn visible(&self, index: usize) -> Rect {
        self.hidden(index)
            .into_iter()
            .fold(self.kept(index), beside)
    }

    /// What is left of a sheet once it is cut, on the floor.
    #[must_use]
    pub fn kept_floor(&self, index: usize) -> Rect {
        self.sheets[index]
            .floor_to_page
            .inverse()
            .transform_rect_bbox(self.kept(index))
    }

    /// The parts of a sheet's page that sheets on top of it hide.
    #[must_use]
    pub fn hidden(&self, index: usize) -> Vec<Rect> {
        let sheet = &self.sheets[index];
        let window = sheet.page_window();
        let above = self.sheets[index + 1..]
            .iter()
            .filter(|other| other.page != sheet.page);
        above
            .map(|other| {
                let paper = other.cut_paper(self.format.cut_depth());
                (sheet.floor_to_page * other.floor_to_page.inverse())
                    .transform_rect_bbox(paper)
                    .intersect(window)
            })
            .filter(|hidden| hidden.area() > 0.0)
            .collect()
    }

    /// Where other sheets join a sheet.
    #[must_use]
    pub fn seams(&self, index: usize) -> Vec<Seam> {
        let sheet = &self.sheets[index];
        let middle = sheet.page_window().center();
        let of = |joint: &Joint| {
            let over = joint.over == index;
            let line = sheet.floor_to_page * joint.seam;
            let edge = if over {
                joint.edge
            } else {
                facing(line, middle)
            };
            let other = if over { joint.under } else { joint.over };
            (over || joint.under == index).then_some(Seam {
                other,
                edge,
                over,
                line,
            })
        };
        self.joints.iter().filter_map(of).collect()
    }

    /// Indices of the sheets that hang together through joints, group by group in the order of the
    /// plan.
    #[must_use]
    pub fn groups(&self) -> Vec<Vec<usize>> {
        let count = self.sheets.len();
        let mut joined: Vec<Vec<usize>> = vec![Vec::new(); count];
        for joint in &self.joints {
            joined[joint.over].push(joint.under);
            joined[joint.under].push(joint.over);
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

/// The edge of a page on whose side of the middle an axis-parallel line lies.
fn facing(line: Line, middle: Point) -> Edge {
    let at = line.midpoint();
    if (line.p1.x - line.p0.x).abs() < (line.p1.y - line.p0.y).abs() {
        if at.x < middle.x {
            Edge::Left
        } else {
            Edge::Right
        }
    } else if at.y < middle.y {
        Edge::Bottom
    } else {
        Edge::Top
    }
}

/// What lies beside a hidden part, where that takes a whole edge; else all of it.
fn beside(kept: Rect, hidden: Rect) -> Rect {
    if hidden.y0 <= kept.y0 && kept.y1 <= hidden.y1 {
        if hidden.x0 <= kept.x0 {
            return Rect {
                x0: hidden.x1.max(kept.x0),
                ..kept
            };
        } else if kept.x1 <= hidden.x1 {
            return Rect {
                x1: hidden.x0.min(kept.x1),
                ..kept
            };
        }
    }
    if hidden.x0 <= kept.x0 && kept.x1 <= hidden.x1 {
        if hidden.y0 <= kept.y0 {
            return Rect {
                y0: hidden.y1.max(kept.y0),
                ..kept
            };
        } else if kept.y1 <= hidden.y1 {
            return Rect {
                y1: hidden.y0.min(kept.y1),
                ..kept
            };
        }
    }
    kept
}

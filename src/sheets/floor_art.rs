//! What a layout looks like on the floor, prepared once and then clipped sheet by sheet.

use kurbo::{Affine, BezPath, Circle, Line, Point, Rect, Shape, Vec2};

use super::clip::{Contour, areas, difference, edges, intersection, line_outside, line_within, merged, strokes, union};
use super::cut_sheet::CutArt;
use crate::{
    cover::PlacedSheet,
    drawing::{Drawing, Layer, Stroke, Tone, widths},
    plan::{FloorPlan, bounds},
    stencil::CutPlan,
};

/// Length in mm of each arm of a mark's cross.
pub const MARK_ARM_MM: f64 = 15.0;

/// Diameter in mm of a mark's centre hole.
pub const MARK_HOLE_MM: f64 = 6.0;

/// How far, in mm, a centre hole's Bézier outline may stray from the circle: far below what a
/// printer resolves.
const CIRCLE_ACCURACY_MM: f64 = 0.002;

/// Corners of the polygon that stands for a centre hole where a window's edge cuts it; at 3 mm
/// radius the chord strays 0.004 mm.
const CUT_CIRCLE_CORNERS: usize = 60;

/// The layout as plain shapes in floor mm, nothing drawn twice.
#[derive(Clone, Debug)]
pub struct FloorArt {
    /// Union of the tape-strip bands without what panels cover: a panel lies on the strips.
    pub bands: Vec<Contour>,
    /// True edges of that union, again only where no panel covers them.
    pub band_edges: Vec<Line>,
    /// Middles of the tape strips.
    pub centre_lines: Vec<Line>,
    /// Dark fields of the panels.
    pub dark_fields: Vec<Contour>,
    /// Outlines of all fields, dark and light, each stretch once.
    pub field_edges: Vec<Line>,
    /// Places of the marks, in the plan's order.
    pub marks: Vec<Point>,
    /// Paths of the stencil's openings, when the sheets are to carry them.
    pub cuts: Option<CutArt>,
}

/// The part of the layout that one sheet shows, in page mm.
#[derive(Clone, Debug)]
pub struct SheetArt {
    /// See [`FloorArt::bands`].
    pub bands: Vec<Contour>,
    /// See [`FloorArt::band_edges`].
    pub band_edges: Vec<Line>,
    /// See [`FloorArt::centre_lines`].
    pub centre_lines: Vec<Line>,
    /// See [`FloorArt::dark_fields`].
    pub dark_fields: Vec<Contour>,
    /// See [`FloorArt::field_edges`].
    pub field_edges: Vec<Line>,
    /// Crosses and centre holes of the marks that reach into the window.
    pub marks: Vec<MarkArt>,
    /// See [`FloorArt::cuts`].
    pub cuts: Option<CutArt>,
}

/// A mark on a page.
#[derive(Clone, Debug)]
pub struct MarkArt {
    /// Index of the mark in the plan.
    pub index: usize,
    /// Its place on the page, mm; may lie outside the window while an arm reaches in.
    pub at: Point,
    /// True when that place lies on the window.
    pub centred_here: bool,
    /// Arms along floor x and floor y, as far as the window shows them.
    pub arms: Vec<Line>,
    /// The centre hole, as far as the window shows it.
    pub hole: BezPath,
}

impl FloorArt {
    /// Prepares the shapes of a layout.
    #[must_use]
    pub fn of(plan: &FloorPlan) -> Self {
        let strips: Vec<Contour> = plan.lines.iter().map(|line| plan.band(line).to_vec()).collect();
        let fields: Vec<_> = plan.panels.iter().flat_map(|panel| plan.panel_fields(panel)).collect();
        let outlines: Vec<Contour> = fields.iter().map(|field| field.outline.clone()).collect();
        let covered = union(&outlines);
        let strips = union(&strips);
        let axes: Vec<Line> =
            plan.lines.iter().map(|line| Line::new(plan.marks[line.from].at, plan.marks[line.to].at)).collect();
        Self {
            band_edges: edges(&strips).into_iter().flat_map(|edge| line_outside(edge, &covered)).collect(),
            bands: difference(&strips, &covered),
            centre_lines: merged(&axes),
            dark_fields: fields.into_iter().filter(|field| field.dark).map(|field| field.outline).collect(),
            field_edges: merged(&edges(&outlines)),
            marks: plan.marks.iter().map(|mark| mark.at).collect(),
            cuts: None,
        }
    }

    /// The same with the openings of a stencil, for sheets that are printed and cut.
    #[must_use]
    pub fn with_cuts(mut self, stencil: &CutPlan) -> Self {
        self.cuts = Some(CutArt::of(stencil));
        self
    }

    /// The part of the layout that a sheet's window shows, on the sheet's page.
    #[must_use]
    pub fn on_sheet(&self, sheet: &PlacedSheet) -> SheetArt {
        self.within(sheet.window, sheet.floor_to_page)
    }

    /// The part of the layout within a floor polygon, corners in order, brought to a page.
    #[must_use]
    pub fn within(&self, window: [Point; 4], to_page: Affine) -> SheetArt {
        let window = Window::new(window, to_page);
        SheetArt {
            bands: window.areas(&self.bands),
            band_edges: window.lines(&self.band_edges),
            centre_lines: window.lines(&self.centre_lines),
            dark_fields: window.areas(&self.dark_fields),
            field_edges: window.lines(&self.field_edges),
            marks: self.marks.iter().enumerate().filter_map(|(index, &at)| window.mark(index, at)).collect(),
            cuts: self.cuts.as_ref().map(|cuts| cuts.within(&window)),
        }
    }
}

impl SheetArt {
    /// Draws panels, strips and marks.
    pub fn draw(&self, drawing: &mut Drawing) {
        let thin = Stroke::solid(widths::THIN);
        let mut draw = |layer, outline: BezPath, fill, stroke| {
            if !outline.elements().is_empty() {
                drawing.path(layer, outline, fill, stroke);
            }
        };
        draw(Layer::Panels, areas(&self.dark_fields), Some(Tone::PANEL), None);
        draw(Layer::Panels, strokes(&self.field_edges), None, Some(thin));
        draw(Layer::Lines, areas(&self.bands), Some(Tone::BAND), None);
        draw(Layer::Lines, strokes(&self.band_edges), None, Some(thin));
        for line in &self.centre_lines {
            draw(Layer::Lines, strokes(&[*line]), None, Some(Stroke::chain(widths::FINE)));
        }
        for MarkArt { arms, hole, .. } in &self.marks {
            draw(Layer::Marks, strokes(arms), None, Some(Stroke::solid(widths::FINE)));
            draw(Layer::Marks, hole.clone(), None, Some(thin));
        }
    }
}

/// The floor polygon that a page shows.
pub(super) struct Window {
    polygon: Contour,
    bounds: Rect,
    pub(super) to_page: Affine,
}

impl Window {
    fn new(window: [Point; 4], to_page: Affine) -> Self {
        let polygon = window.to_vec();
        Self { bounds: bounds(&polygon), polygon, to_page }
    }

    fn near(&self, rect: Rect) -> bool {
        // Not `Rect::overlaps`: lines along an axis have bounds without area.
        rect.x0 <= self.bounds.x1 && self.bounds.x0 <= rect.x1 && rect.y0 <= self.bounds.y1 && self.bounds.y0 <= rect.y1
    }

    /// True when a point lies on the window, its edge included.
    pub(super) fn shows(&self, point: Point) -> bool {
        let next = self.polygon.iter().skip(1).chain(self.polygon.first());
        let turns: Vec<f64> = self.polygon.iter().zip(next).map(|(&p, &q)| (q - p).cross(point - p)).collect();
        turns.iter().all(|&turn| turn >= 0.0) || turns.iter().all(|&turn| turn <= 0.0)
    }

    fn areas(&self, contours: &[Contour]) -> Vec<Contour> {
        // A contour away from the window, be it outline or hole, changes nothing within it.
        let near: Vec<Contour> = contours.iter().filter(|contour| self.near(bounds(contour))).cloned().collect();
        let mut shown = intersection(&near, std::slice::from_ref(&self.polygon));
        for point in shown.iter_mut().flatten() {
            *point = self.to_page * *point;
        }
        shown
    }

    pub(super) fn lines(&self, lines: &[Line]) -> Vec<Line> {
        lines.iter().flat_map(|&line| self.line(line)).map(|line| self.to_page * line).collect()
    }

    fn line(&self, line: Line) -> Vec<Line> {
        if !self.near(Rect::from_points(line.p0, line.p1)) {
            Vec::new()
        } else if self.shows(line.p0) && self.shows(line.p1) {
            vec![line]
        } else {
            line_within(line, std::slice::from_ref(&self.polygon))
        }
    }

    fn mark(&self, index: usize, at: Point) -> Option<MarkArt> {
        if !self.near(Rect::from_center_size(at, (2.0 * MARK_ARM_MM, 2.0 * MARK_ARM_MM))) {
            return None;
        }
        let arms = [Vec2::new(MARK_ARM_MM, 0.0), Vec2::new(0.0, MARK_ARM_MM)].map(|arm| Line::new(at - arm, at + arm));
        let arms = self.lines(&arms);
        let hole = self.hole(at);
        if arms.is_empty() && hole.elements().is_empty() {
            return None;
        }
        Some(MarkArt { index, at: self.to_page * at, centred_here: self.shows(at), arms, hole })
    }

    fn hole(&self, at: Point) -> BezPath {
        let radius = MARK_HOLE_MM / 2.0;
        let corner =
            |i: usize| at + Vec2::from_angle(std::f64::consts::TAU * i as f64 / CUT_CIRCLE_CORNERS as f64) * radius;
        let sides: Vec<Line> = (0..CUT_CIRCLE_CORNERS).map(|i| Line::new(corner(i), corner(i + 1))).collect();
        if sides.iter().all(|side| self.shows(side.p0)) {
            return self.to_page * Circle::new(at, radius).to_path(CIRCLE_ACCURACY_MM);
        }
        strokes(&self.lines(&sides))
    }
}

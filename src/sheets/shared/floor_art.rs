//! What a layout looks like on the floor, prepared once and then clipped sheet by sheet.

use kurbo::{Affine, BezPath, Circle, Line, Point, Rect, Shape, Vec2};

use super::{
    cut_art::CutArt,
    knife_art::{KnifeArt, SheetKnife},
    share_out, users_stroke, vehicle_stroke,
    window::Window,
};
use crate::{
    cover::PlacedSheet,
    drawing::{Drawing, Layer, Stroke, Tone, widths},
    page::clip::{Contour, areas, difference, edges, line_outside, merged, strokes, union},
    plan::{FloorPlan, MarkShape, Mat},
    stencil::{CutPlan, HandCut, Stencil},
};

/// Clear distance in mm between the ends of two crosses of a model, so that each is seen to be one.
const CROSS_GAP_MM: f64 = 2.0;

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
    /// What is cut out of the full-scale sheets by hand; the rest of what they show makes room for it.
    pub knife: Option<KnifeArt>,
    /// Length of the arms of the marks' crosses in the plan's order, mm.
    pub mark_arms: Vec<f64>,
    /// Strokes of the marks' crosses, in the plan's order.
    pub mark_strokes: Vec<Stroke>,
    /// For a mat of several vehicles, what each of them has alone; the lists of lines above then hold
    /// what they share. Else empty.
    pub own: Vec<OwnArt>,
}

/// Lines that one vehicle of a mat has alone.
#[derive(Clone, Debug, Default)]
pub struct OwnArt {
    /// The vehicle's place in the mat.
    pub vehicle: usize,
    /// See [`FloorArt::band_edges`]: of this vehicle's strips alone, wherever other strips lie.
    pub band_edges: Vec<Line>,
    /// See [`FloorArt::centre_lines`].
    pub centre_lines: Vec<Line>,
    /// See [`FloorArt::field_edges`].
    pub field_edges: Vec<Line>,
}

impl OwnArt {
    /// All lines, whatever they are.
    pub fn lines(&self) -> impl Iterator<Item = Line> {
        self.band_edges
            .iter()
            .chain(&self.centre_lines)
            .chain(&self.field_edges)
            .copied()
    }
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
    /// See [`FloorArt::knife`].
    pub knife: Option<SheetKnife>,
    /// See [`FloorArt::own`].
    pub own: Vec<OwnArt>,
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
    /// How the arms are drawn.
    pub stroke: Stroke,
    /// Length of an arm that nothing cuts off, mm.
    pub reach: f64,
    /// Radius of the centre hole, mm.
    pub hole_radius: f64,
    /// The centre hole, as far as the window shows it.
    pub hole: BezPath,
}

impl FloorArt {
    /// Prepares the shapes of a layout.
    #[must_use]
    pub fn of(plan: &FloorPlan) -> Self {
        let strips: Vec<Contour> = plan
            .lines
            .iter()
            .map(|line| plan.band(line).to_vec())
            .collect();
        let fields: Vec<_> = plan
            .panels
            .iter()
            .flat_map(|panel| plan.panel_fields(panel))
            .collect();
        let outlines: Vec<Contour> = fields.iter().map(|field| field.outline.clone()).collect();
        let covered = union(&outlines);
        let strips = union(&strips);
        let axes: Vec<Line> = plan
            .lines
            .iter()
            .map(|line| plan.middle_line(line))
            .collect();
        let art = Self {
            band_edges: edges(&strips)
                .into_iter()
                .flat_map(|edge| line_outside(edge, &covered))
                .collect(),
            bands: difference(&strips, &covered),
            centre_lines: merged(&axes),
            dark_fields: fields
                .into_iter()
                .filter(|field| field.dark)
                .map(|field| field.outline)
                .collect(),
            field_edges: merged(&edges(&outlines)),
            marks: plan.marks.iter().map(|mark| mark.at).collect(),
            cuts: None,
            knife: None,
            mark_arms: vec![MarkShape::FULL.arm; plan.marks.len()],
            mark_strokes: vec![Stroke::solid(widths::FINE); plan.marks.len()],
            own: Vec::new(),
        };
        match &plan.mat {
            Some(mat) => art.told_apart(plan, mat, &covered),
            None => art,
        }
    }

    /// The same shapes with each line given to the vehicle that has it alone.
    fn told_apart(self, plan: &FloorPlan, mat: &Mat, covered: &[Contour]) -> Self {
        let mut lines = [(); 3].map(|()| Vec::new());
        for v in 0..mat.vehicles.len() {
            let own = |users: &[Vec<usize>], index: usize| users[index].contains(&v);
            let strips = (0..plan.lines.len())
                .filter(|&line| own(&mat.lines, line))
                .map(|line| &plan.lines[line]);
            let panels = (0..plan.panels.len())
                .filter(|&panel| own(&mat.panels, panel))
                .map(|panel| &plan.panels[panel]);
            let bands: Vec<Contour> = strips
                .clone()
                .map(|line| plan.band(line).to_vec())
                .collect();
            let outlines: Vec<Contour> = panels
                .flat_map(|panel| plan.panel_fields(panel))
                .map(|field| field.outline)
                .collect();
            let axes: Vec<Line> = strips.map(|line| plan.middle_line(line)).collect();
            let outside = |edge| line_outside(edge, covered);
            lines[0].push(
                edges(&union(&bands))
                    .into_iter()
                    .flat_map(outside)
                    .collect(),
            );
            lines[1].push(merged(&axes));
            lines[2].push(merged(&edges(&outlines)));
        }
        let [band_edges, centre_lines, field_edges] =
            lines.map(|lines: Vec<Vec<Line>>| share_out(&lines));
        let own = band_edges
            .own
            .into_iter()
            .zip(centre_lines.own)
            .zip(field_edges.own)
            .enumerate();
        Self {
            own: own
                .map(
                    |(vehicle, ((band_edges, centre_lines), field_edges))| OwnArt {
                        vehicle,
                        band_edges,
                        centre_lines,
                        field_edges,
                    },
                )
                .collect(),
            band_edges: band_edges.shared,
            centre_lines: centre_lines.shared,
            field_edges: field_edges.shared,
            mark_strokes: mat
                .marks
                .iter()
                .map(|users| users_stroke(users, widths::MEDIUM))
                .collect(),
            ..self
        }
    }

    /// The same with the openings of a stencil, for sheets that are printed and cut.
    #[must_use]
    pub fn with_cuts(mut self, stencil: &CutPlan) -> Self {
        self.cuts = Some(CutArt::of(stencil));
        self
    }

    /// The same with a stencil, whoever cuts it.
    #[must_use]
    pub fn cut_as(self, stencil: &Stencil) -> Self {
        match stencil {
            Stencil::Machine(cut) => self.with_cuts(cut),
            Stencil::Hand(cut) => self.with_knife(cut),
            Stencil::Refused(_) => self,
        }
    }

    /// The same with what is cut out by hand.
    #[must_use]
    pub fn with_knife(mut self, cut: &HandCut) -> Self {
        self.knife = Some(KnifeArt::of(cut));
        self
    }

    /// The same with crosses that end before they touch their nearest neighbour's: marks of a model lie as near as its scale
    /// brings them. Full-scale sheets keep crosses of one size.
    ///
    /// With arms shorter than half the distance d of two marks, no arm meets another: along one line they end before its
    /// middle, and to cross square to each other they would have to reach d / √2.
    #[must_use]
    pub fn crosses_apart(mut self) -> Self {
        for (index, arm) in self.mark_arms.iter_mut().enumerate() {
            let others = self
                .marks
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != index);
            let nearest = others
                .map(|(_, at)| at.distance(self.marks[index]))
                .fold(f64::INFINITY, f64::min);
            *arm = arm.min((nearest - CROSS_GAP_MM) / 2.0);
        }
        self
    }

    /// The part of the layout that a sheet's window shows, on the sheet's page.
    #[must_use]
    pub fn on_sheet(&self, sheet: &PlacedSheet) -> SheetArt {
        let art = self.within(sheet.window, sheet.floor_to_page);
        let window = Window::new(sheet.window, sheet.floor_to_page);
        match &self.knife {
            // Knife lines are the edges of strips; between two of them an edge would look like one.
            Some(knife) => SheetArt {
                bands: Vec::new(),
                band_edges: Vec::new(),
                ..art.cut_by_hand(knife.within(&window))
            },
            None => art,
        }
    }

    /// The same on a key, of which nothing is cut that runs on beyond it.
    #[must_use]
    pub fn on_key(&self, sheet: &PlacedSheet) -> SheetArt {
        let art = self.within(sheet.window, sheet.floor_to_page);
        let window = Window::new(sheet.window, sheet.floor_to_page);
        match &self.knife {
            Some(knife) => art.cut_by_hand(knife.wholly_within(&window, sheet.floor_window())),
            None => art,
        }
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
            cuts: self.cuts.as_ref().map(|cuts| cuts.within(&window)),
            marks: self
                .marks
                .iter()
                .enumerate()
                .filter_map(|(index, &at)| {
                    MarkArt::within(
                        &window,
                        index,
                        at,
                        self.mark_arms[index],
                        self.mark_strokes[index],
                    )
                })
                .collect(),
            knife: None,
            own: self
                .own
                .iter()
                .map(|own| OwnArt {
                    vehicle: own.vehicle,
                    band_edges: window.lines(&own.band_edges),
                    centre_lines: window.lines(&own.centre_lines),
                    field_edges: window.lines(&own.field_edges),
                })
                .collect(),
        }
    }
}

impl SheetArt {
    /// The same without lines that knife lines stand for or that fall away with what is cut out.
    fn cut_by_hand(mut self, knife: SheetKnife) -> Self {
        self.field_edges = knife.left_of(&self.field_edges);
        for own in &mut self.own {
            own.field_edges = knife.left_of(&own.field_edges);
            own.band_edges.clear();
        }
        for mark in &mut self.marks {
            mark.arms = knife.left_of(&mark.arms);
            mark.hole = BezPath::new();
        }
        self.knife = Some(knife);
        self
    }

    /// Draws panels, strips and marks.
    pub fn draw(&self, drawing: &mut Drawing) {
        let thin = Stroke::solid(widths::THIN);
        // What the vehicles of a mat share is drawn as a chain line, so that it is no vehicle's own.
        let edge = if self.own.is_empty() {
            thin
        } else {
            Stroke::chain(widths::THIN)
        };
        let mut draw = |layer, outline: BezPath, fill, stroke| {
            if !outline.elements().is_empty() {
                drawing.path(layer, outline, fill, stroke);
            }
        };
        draw(
            Layer::Panels,
            areas(&self.dark_fields),
            Some(Tone::PANEL),
            None,
        );
        draw(Layer::Panels, strokes(&self.field_edges), None, Some(edge));
        draw(Layer::Lines, areas(&self.bands), Some(Tone::BAND), None);
        draw(Layer::Lines, strokes(&self.band_edges), None, Some(edge));
        for line in &self.centre_lines {
            draw(
                Layer::Lines,
                strokes(&[*line]),
                None,
                Some(Stroke::chain(widths::FINE)),
            );
        }
        for own in &self.own {
            let stroke = |width| Some(vehicle_stroke(own.vehicle, width));
            draw(
                Layer::Panels,
                strokes(&own.field_edges),
                None,
                stroke(widths::THIN),
            );
            draw(
                Layer::Lines,
                strokes(&own.band_edges),
                None,
                stroke(widths::THIN),
            );
            for line in &own.centre_lines {
                draw(Layer::Lines, strokes(&[*line]), None, stroke(widths::FINE));
            }
        }
        for MarkArt {
            arms, stroke, hole, ..
        } in &self.marks
        {
            draw(Layer::Marks, strokes(arms), None, Some(*stroke));
            draw(Layer::Marks, hole.clone(), None, Some(thin));
        }
    }
}

impl MarkArt {
    fn within(
        window: &Window,
        index: usize,
        at: Point,
        reach: f64,
        stroke: Stroke,
    ) -> Option<Self> {
        if !window.near(Rect::from_center_size(at, (2.0 * reach, 2.0 * reach))) {
            return None;
        }
        let arms =
            [Vec2::new(reach, 0.0), Vec2::new(0.0, reach)].map(|arm| Line::new(at - arm, at + arm));
        let arms = window.lines(&arms);
        let hole_radius = MarkShape::with_arm(reach).hole / 2.0;
        let hole = Self::hole(window, at, hole_radius);
        if arms.is_empty() && hole.elements().is_empty() {
            return None;
        }
        let centred_here = window.shows(at);
        Some(Self {
            index,
            at: window.to_page * at,
            centred_here,
            arms,
            stroke,
            reach,
            hole_radius,
            hole,
        })
    }

    fn hole(window: &Window, at: Point, radius: f64) -> BezPath {
        let corner = |i: usize| {
            at + Vec2::from_angle(std::f64::consts::TAU * i as f64 / CUT_CIRCLE_CORNERS as f64)
                * radius
        };
        let sides: Vec<Line> = (0..CUT_CIRCLE_CORNERS)
            .map(|i| Line::new(corner(i), corner(i + 1)))
            .collect();
        if sides.iter().all(|side| window.shows(side.p0)) {
            return window.to_page * Circle::new(at, radius).to_path(CIRCLE_ACCURACY_MM);
        }
        strokes(&window.lines(&sides))
    }
}

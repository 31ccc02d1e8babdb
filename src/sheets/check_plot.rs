//! The layout with what the check distances find of every mark.

use kurbo::{Affine, Ellipse, Point, Rect, Shape, Vec2};

use crate::{
    drawing::{Drawing, Layer, LineType, Stroke, Text, Tone, Weight, heights, text_width, widths},
    plan::{FloorPlan, bounds},
    survey::{CheckPlan, Detectable},
};

/// How far, in mm, a drawn ellipse may stray from the true one.
const ACCURACY: f64 = 0.01;
/// Largest radius of a tolerance's circle, mm.
const LARGEST_CIRCLE: f64 = 5.0;
/// A tolerance's circle takes at most this part of the way to the nearest mark.
const PART_OF_WAY: f64 = 0.42;
/// An ellipse longer than this many tolerances is drawn as a straight line instead.
const LONGEST: f64 = 2.5;
/// Half length of the straight line, in tolerances.
const OPEN: f64 = 2.0;
/// Room about the outermost marks for ellipses and names, mm.
const ROUND: f64 = 13.0;
/// Clear distance between a name and what it stands beside, mm.
const NAME_GAP: f64 = 0.8;
/// Radius of the dot at a mark, mm.
const DOT: f64 = 0.5;

/// A drawn layout.
pub struct CheckPlot {
    /// The drawing, its lower left corner at the origin.
    pub drawing: Drawing,
    /// What it takes up, mm.
    pub size: (f64, f64),
    /// Floor mm in one mm of paper.
    pub ratio: f64,
    /// Paper mm for one mm of displacement.
    pub enlargement: f64,
}

/// Where things of the floor lie on paper: the vehicle looks up.
#[derive(Clone, Copy)]
struct View {
    map: Affine,
    enlargement: f64,
}

impl View {
    fn point(&self, floor: Point) -> Point {
        self.map * floor
    }

    /// A direction of the floor on paper.
    const fn way(floor: Vec2) -> Vec2 {
        Vec2::new(-floor.y, floor.x)
    }
}

/// Draws the layout into at most `width` × `height` mm: pulls as thin lines, at each mark its tolerance as a dashed circle
/// and the smallest displacements that are found as an ellipse, both enlarged alike. Where an ellipse would be
/// very long a straight line shows its direction.
pub fn check_plot(plan: &FloorPlan, checks: &CheckPlan, width: f64, height: f64) -> CheckPlot {
    let points: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
    let extent = bounds(&points).union(plan.vehicle.body());
    let ratio = ratio(extent, width - 2.0 * ROUND, height - 2.0 * ROUND);
    let map = Affine::new([0.0, 1.0 / ratio, -1.0 / ratio, 0.0, 0.0, 0.0]);
    let size = (extent.height() / ratio + 2.0 * ROUND, extent.width() / ratio + 2.0 * ROUND);
    let map = Affine::translate((extent.y1 / ratio + ROUND, ROUND - extent.x0 / ratio)) * map;
    let view = View { map, enlargement: enlargement(plan, ratio) };
    let mut drawing = Drawing::new("", size.0, size.1);
    draw_vehicle(&mut drawing, plan, &view);
    for pull in checks.reachable() {
        let ends = [pull.check.from, pull.check.to].map(|mark| view.point(plan.marks[mark].at));
        drawing.line(Layer::Lines, ends[0], ends[1], Stroke::solid(widths::FINE).toned(Tone::QUIET));
    }
    for (mark, found) in plan.marks.iter().zip(&checks.marks) {
        draw_mark(&mut drawing, view.point(mark.at), found, view.enlargement);
    }
    draw_names(&mut drawing, plan, checks, &view);
    CheckPlot { drawing, size, ratio, enlargement: view.enlargement }
}

/// A scale of whole tens that fits.
fn ratio(extent: Rect, width: f64, height: f64) -> f64 {
    let least = (extent.height() / width).max(extent.width() / height);
    (least / 10.0).ceil().max(1.0) * 10.0
}

/// Paper mm for one mm of displacement, one figure of 1, 1.5, 2, 3, 5 and their tenths.
fn enlargement(plan: &FloorPlan, ratio: f64) -> f64 {
    const STEPS: [f64; 12] = [5.0, 3.0, 2.0, 1.5, 1.0, 0.75, 0.5, 0.3, 0.2, 0.15, 0.1, 0.05];
    let near = |index: usize| {
        let at = plan.marks[index].at;
        let others = plan.marks.iter().enumerate().filter(|(other, _)| *other != index);
        others.map(|(_, other)| other.at.distance(at)).fold(f64::MAX, f64::min) / ratio
    };
    let room = |index: usize| LARGEST_CIRCLE.min(PART_OF_WAY * near(index)) / plan.marks[index].tolerance;
    let most = (0..plan.marks.len()).map(room).fold(f64::MAX, f64::min);
    STEPS.into_iter().find(|step| *step <= most).unwrap_or(STEPS[STEPS.len() - 1])
}

fn draw_vehicle(drawing: &mut Drawing, plan: &FloorPlan, view: &View) {
    let quiet = Stroke::solid(widths::FINE).toned(Tone::QUIET);
    let outline = |rect: Rect| (view.map * rect.to_path(ACCURACY)).bounding_box();
    drawing.rect(Layer::Vehicle, outline(plan.vehicle.body()), None, Some(quiet));
    for wheel in &plan.vehicle.wheels {
        drawing.rect(Layer::Vehicle, outline(wheel.footprint()), Some(Tone::BAND), Some(quiet));
    }
}

fn draw_mark(drawing: &mut Drawing, at: Point, found: &Detectable, enlargement: f64) {
    let dashed = Stroke { line_type: LineType::Dashed, ..Stroke::solid(widths::FINE) };
    drawing.circle(Layer::Marks, at, found.tolerance * enlargement, None, Some(dashed));
    drawing.circle(Layer::Marks, at, DOT, Some(Tone::BLACK), None);
    let way = View::way(found.worst_direction());
    if is_open(found) {
        let reach = way * (OPEN * found.tolerance * enlargement);
        drawing.line(Layer::Marks, at - reach, at + reach, Stroke::solid(widths::WIDE));
        return;
    }
    let radii = (found.worst * enlargement, found.least * enlargement);
    let ellipse = Ellipse::new(at, radii, way.atan2());
    drawing.path(Layer::Marks, ellipse.to_path(ACCURACY), None, Some(Stroke::solid(widths::MEDIUM)));
}

fn is_open(found: &Detectable) -> bool {
    found.worst > LONGEST * found.tolerance
}

/// Half the size of what is drawn at a mark, mm.
fn reach(found: &Detectable, enlargement: f64) -> f64 {
    let longest = if is_open(found) { OPEN * found.tolerance } else { found.worst.max(found.tolerance) };
    longest * enlargement
}

/// Names beside their marks, on white, away from what is drawn at any mark and from each other.
fn draw_names(drawing: &mut Drawing, plan: &FloorPlan, checks: &CheckPlan, view: &View) {
    let discs: Vec<(Point, f64)> = plan
        .marks
        .iter()
        .zip(&checks.marks)
        .map(|(mark, found)| (view.point(mark.at), reach(found, view.enlargement)))
        .collect();
    let page = Rect::new(0.0, 0.0, drawing.width, drawing.height);
    let mut taken: Vec<Rect> = Vec::new();
    for (mark, &(at, own)) in plan.marks.iter().zip(&discs) {
        let size = (text_width(&mark.id, heights::TEXT, Weight::Bold) + 2.0 * NAME_GAP, heights::TEXT + 2.0 * NAME_GAP);
        let places = [0.0, 180.0, 90.0, -90.0, 45.0, 135.0, -45.0, -135.0].into_iter().flat_map(|turn: f64| {
            [0.0, 2.0, 5.0].map(|more| {
                let way = Vec2::from_angle(turn.to_radians());
                let half = (size.0 / 2.0 * way.x.abs()).max(size.1 / 2.0 * way.y.abs());
                (Rect::from_center_size(at + way * (own + half + more), size), turn, more)
            })
        });
        let crowded = |rect: &Rect| {
            let discs = discs.iter().filter(|(centre, radius)| distance(*rect, *centre) < *radius).count();
            discs + taken.iter().filter(|other| other.overlaps(*rect)).count() + usize::from(!page.contains_rect(*rect))
        };
        let best = places.min_by(|a, b| crowded(&a.0).cmp(&crowded(&b.0)).then(a.2.total_cmp(&b.2)));
        let Some((rect, ..)) = best else { continue };
        drawing.rect(Layer::Labels, rect.inset(-NAME_GAP / 2.0), Some(Tone::WHITE), None);
        let baseline = Point::new(rect.center().x, rect.y0 + NAME_GAP);
        drawing.text(Text::new(baseline, heights::TEXT, mark.id.clone()).bold().centred());
        taken.push(rect);
    }
}

fn distance(rect: Rect, point: Point) -> f64 {
    let nearest = Point::new(point.x.clamp(rect.x0, rect.x1), point.y.clamp(rect.y0, rect.y1));
    nearest.distance(point)
}

//! The layout in small, each mark with the step that sets it.

use kurbo::{Affine, Point, Rect, Size};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, text_width, widths},
    page::Fragment,
    plan::{FloorPlan, Wheel},
    survey::{Spot, Step},
};

/// Clear space left and right of the layout for names, mm.
const EDGE: f64 = 7.5;
/// Clear space before and behind it, mm: the line runs on, and the front is named.
const ENDS: f64 = 20.0;
/// Radius of a mark and of the ring about a step's number, mm.
const DOT: f64 = 0.7;
const RING: f64 = 2.3;
/// Distances at which a name is tried about its mark, mm.
const REACHES: [f64; 3] = [0.8, 2.4, 4.2];
/// Height of names and numbers, mm: 9 pt.
const NAME: f64 = heights::CROWDED;
/// How far the line runs on past the layout, mm on paper.
const OVERRUN: f64 = 4.0;

/// Draws the layout, front to the right, on `width` × `height` mm. Names that find no room are left out.
#[must_use]
pub fn picture(
    plan: &FloorPlan,
    steps: &[Step],
    help: &[Spot],
    width: f64,
    height: f64,
) -> Fragment {
    let start = plan.extent_with(plan.vehicle.body());
    // Points that this way has no use for are left out.
    let used = |spot: &&Spot| {
        let pulls = steps
            .iter()
            .flat_map(|step| step.tape.iter().chain(&step.check));
        pulls
            .flat_map(|pull| [&pull.from, &pull.to])
            .any(|end| end.name == spot.name)
    };
    let help: Vec<&Spot> = help.iter().filter(used).collect();
    let extent = help
        .iter()
        .fold(start, |extent, spot| extent.union_pt(spot.at));
    let scale =
        ((width - 2.0 * ENDS) / extent.width()).min((height - 2.0 * EDGE) / extent.height());
    let to_paper = Affine::translate((width / 2.0, -height / 2.0))
        * Affine::scale(scale)
        * Affine::translate(-extent.center().to_vec2());
    let mut piece = Fragment::new(width);
    piece.height = height;
    let mut view = View {
        to_paper,
        space: Rect::new(0.0, -height, width, 0.0),
        taken: Vec::new(),
    };
    let canvas = piece.canvas();
    view.floor(canvas, plan, extent);
    view.taken
        .extend(plan.marks.iter().map(|mark| dot(to_paper * mark.at)));
    view.taken
        .extend(help.iter().map(|spot| dot(to_paper * spot.at)));
    view.taken.extend(
        plan.vehicle
            .wheels
            .iter()
            .map(|wheel| to_paper.transform_rect_bbox(wheel.footprint())),
    );
    for (index, mark) in plan.marks.iter().enumerate() {
        let at = to_paper * mark.at;
        canvas.circle(Layer::Marks, at, DOT, Some(Tone::BLACK), None);
        let step = steps
            .iter()
            .find(|step| step.marks.contains(&index))
            .map(|step| step.number);
        view.name(canvas, at, &mark.id, step);
    }
    for spot in help {
        let at = to_paper * spot.at;
        canvas.circle(
            Layer::Marks,
            at,
            DOT,
            Some(Tone::WHITE),
            Some(Stroke::solid(widths::THIN)),
        );
        view.name(canvas, at, &spot.name, None);
    }
    piece
}

fn dot(at: Point) -> Rect {
    Rect::from_center_size(at, (2.2 * DOT, 2.2 * DOT))
}

struct View {
    to_paper: Affine,
    space: Rect,
    taken: Vec<Rect>,
}

impl View {
    fn floor(&mut self, canvas: &mut Drawing, plan: &FloorPlan, extent: Rect) {
        let quiet = Stroke::solid(widths::FINE).toned(Tone::QUIET);
        for line in &plan.lines {
            let corners = plan.band(line).map(|point| self.to_paper * point);
            canvas.polygon(Layer::Lines, &corners, Some(Tone::BAND), None);
        }
        for panel in &plan.panels {
            for part in plan.panel_parts(panel) {
                let corners: Vec<Point> = part
                    .into_iter()
                    .map(|point| self.to_paper * point)
                    .collect();
                canvas.polygon(Layer::Panels, &corners, Some(Tone::BAND), None);
            }
        }
        let body = self.to_paper.transform_rect_bbox(plan.vehicle.body());
        canvas.rect(Layer::Vehicle, body, None, Some(quiet));
        // Names keep off its sides, not off what they enclose.
        let side = |x0, y0, x1, y1| Rect::new(x0, y0, x1, y1).inset(widths::WIDE);
        self.taken.extend([
            side(body.x0, body.y0, body.x1, body.y0),
            side(body.x0, body.y1, body.x1, body.y1),
            side(body.x0, body.y0, body.x0, body.y1),
            side(body.x1, body.y0, body.x1, body.y1),
        ]);
        for wheel in plan.vehicle.wheels.iter().map(Wheel::footprint) {
            let wheel = self.to_paper.transform_rect_bbox(wheel);
            canvas.rect(Layer::Vehicle, wheel, Some(Tone::QUIET), None);
        }
        let [rear, front] = [extent.x0, extent.x1].map(|x| self.to_paper * Point::new(x, 0.0));
        let line = Stroke::chain(widths::FINE);
        let end = Point::new(front.x + OVERRUN, front.y);
        canvas.line(Layer::Vehicle, (rear.x - OVERRUN, rear.y), end, line);
        self.taken.push(Rect::new(
            rear.x - OVERRUN,
            rear.y - widths::WIDE,
            end.x,
            end.y + widths::WIDE,
        ));
        let words = Text::new(
            (end.x + 1.0, end.y - heights::TEXT / 2.0),
            heights::TEXT,
            "FRONT",
        )
        .bold();
        self.taken.push(Rect::from_origin_size(
            words.at,
            (words.width(), heights::TEXT),
        ));
        canvas.text(words);
    }

    /// Writes a name near its point, with the number of its step in a ring, where both find room.
    fn name(&mut self, canvas: &mut Drawing, at: Point, name: &str, step: Option<usize>) {
        let weight = if step.is_some() {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let letters = NAME;
        let text = text_width(name, letters, weight);
        let ring = if step.is_some() {
            2.0 * RING + 0.8
        } else {
            0.0
        };
        let size = Size::new(
            text + ring,
            if step.is_some() {
                2.0 * RING + 0.2
            } else {
                letters * 1.45
            },
        );
        let Some(place) = self.place(at, size) else {
            return;
        };
        self.taken.push(place);
        let baseline = place.center().y - letters / 2.0;
        let label = Text {
            weight,
            ..Text::new((place.x0, baseline), letters, name)
        };
        canvas.text(label);
        if let Some(step) = step {
            let centre = Point::new(place.x1 - RING, place.center().y);
            canvas.circle(
                Layer::Labels,
                centre,
                RING,
                Some(Tone::WHITE),
                Some(Stroke::solid(widths::THIN)),
            );
            let words = Text::new((centre.x, centre.y - NAME / 2.0), NAME, step.to_string());
            canvas.text(words.centred());
        }
    }

    /// The nearest free rectangle about a point: above and below first, then corners, then beside.
    fn place(&self, at: Point, size: Size) -> Option<Rect> {
        let (w, h) = (size.width / 2.0 + DOT, size.height / 2.0 + DOT);
        let away = [
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 1.0),
            (-1.0, 1.0),
            (1.0, -1.0),
            (-1.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
        ];
        // A point left of the line is named on its left, so that names keep off the line.
        let side = if at.y < self.space.center().y {
            -1.0
        } else {
            1.0
        };
        let places = REACHES.into_iter().flat_map(|reach| {
            away.map(|(x, y)| Point::new(at.x + x * (w + reach), at.y + side * y * (h + reach)))
        });
        let free = |rect: &Rect| {
            self.space.contains_rect(*rect)
                && self
                    .taken
                    .iter()
                    .all(|taken| taken.intersect(*rect).is_zero_area())
        };
        places
            .map(|centre| Rect::from_center_size(centre, size))
            .find(free)
    }
}

//! The pages of a layout on a desk: its sheets, and the vehicle's outline to cut out.

use kurbo::{Affine, Line, Point, Rect, Vec2};

use super::{
    Context, FloorArt,
    clip::{edges, line_within},
    tile::{PageNumber, tile},
};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, heights, widths},
    job::Record,
    paper::Paper,
    plan::{VehicleOnFloor, Wheel, corners},
    practice::Model,
};

/// Blank edge of an outline page, mm: what hardly any printer leaves unprinted.
const EDGE_MM: f64 = 15.0;

/// Depth of the lettering below an outline, mm.
const FOOT_MM: f64 = 14.0;

/// The layout's sheets in the order of their pages, then the vehicle's outline.
#[must_use]
pub fn desk_pages(model: &Model, paper: &Paper) -> Vec<Drawing> {
    let record = Record::default();
    let context = Context { plan: &model.plan, record: &record, inches: false, printer: "no correction" };
    let art = FloorArt::of(&model.plan);
    let outline = Outline::of(model, paper);
    let of = model.sheets.sheets.len() + outline.parts.len();
    let sheets = (0..model.sheets.sheets.len())
        .map(|index| tile(&context, &art, &model.sheets, index, PageNumber { page: index + 1, of }));
    sheets.chain((0..outline.parts.len()).map(|part| outline.page(part))).collect()
}

/// The vehicle's outline with its front up, in equal parts that each fit a page.
struct Outline<'a> {
    model: &'a Model,
    paper: &'a Paper,
    /// Parts of the body, mm with the front up, from the front, left before right.
    parts: Vec<Rect>,
}

/// From floor mm to mm with the front up.
fn front_up(point: Point) -> Point {
    Point::new(-point.y, point.x)
}

fn front_up_rect(rect: Rect) -> Rect {
    Rect::from_points(front_up(Point::new(rect.x0, rect.y0)), front_up(Point::new(rect.x1, rect.y1)))
}

impl<'a> Outline<'a> {
    fn of(model: &'a Model, paper: &'a Paper) -> Self {
        let body = front_up_rect(model.plan.vehicle.body());
        let room = (paper.width - 2.0 * EDGE_MM, paper.height - 2.0 * EDGE_MM - FOOT_MM);
        let count = |length: f64, room: f64| (length / room).ceil().max(1.0) as usize;
        let (columns, rows) = (count(body.width(), room.0), count(body.height(), room.1));
        let size = Vec2::new(body.width() / columns as f64, body.height() / rows as f64);
        let part = |index: usize| {
            let (row, column) = (index / columns, index % columns);
            let corner = Point::new(body.x0 + column as f64 * size.x, body.y1 - (row + 1) as f64 * size.y);
            Rect::from_origin_size(corner, size.to_size())
        };
        Self { model, paper, parts: (0..columns * rows).map(part).collect() }
    }

    /// One part on its page, as far left and up as the edge allows.
    fn page(&self, index: usize) -> Drawing {
        let (part, n) = (self.parts[index], self.model.denominator);
        let name = format!("V{}", index + 1);
        let mut page = Drawing::new(format!("vehicle outline {name}"), self.paper.width, self.paper.height);
        let to_page = Affine::translate(Vec2::new(EDGE_MM - part.x0, self.paper.height - EDGE_MM - part.y1));
        let within = [corners(part).to_vec()];
        for (line, stroke) in self.lines() {
            for piece in line_within(line, &within) {
                page.line(Layer::Vehicle, to_page * piece.p0, to_page * piece.p1, stroke);
            }
        }
        for edge in edges(&within) {
            page.line(Layer::Registration, to_page * edge.p0, to_page * edge.p1, self.edge(edge));
        }
        self.lettering(&mut page, to_page, part);
        let foot = self.paper.height - EDGE_MM - part.height() - 8.0;
        let joins = if self.parts.len() > 1 {
            format!("; part {name} of {}: dashed edges meet those of the next parts", self.parts.len())
        } else {
            String::new()
        };
        page.text(Text::new((EDGE_MM, foot), heights::HEADING, format!("Vehicle outline 1:{n}{joins}")).bold());
        page.text(Text::new(
            (EDGE_MM, foot - 5.0),
            heights::TEXT,
            format!(
                "Print at 100 %. Cut along the solid edge. A model for a desk, not for a floor: {}",
                self.model.plan.vehicle.name
            ),
        ));
        page
    }

    /// Wheels, centreline and axles.
    fn lines(&self) -> Vec<(Line, Stroke)> {
        let vehicle: &VehicleOnFloor = &self.model.plan.vehicle;
        let outlines: Vec<Vec<Point>> =
            vehicle.wheels.iter().map(Wheel::footprint).map(|rect| corners(front_up_rect(rect)).to_vec()).collect();
        let mut all: Vec<(Line, Stroke)> =
            edges(&outlines).into_iter().map(|line| (line, Stroke::solid(widths::MEDIUM))).collect();
        let chain = Stroke::chain(widths::FINE);
        let line = |a: (f64, f64), b: (f64, f64)| Line::new(front_up(a.into()), front_up(b.into()));
        all.push((line((vehicle.rear_x, 0.0), (vehicle.front_x, 0.0)), chain));
        for pair in vehicle.wheels.chunks(2) {
            if let [left, right] = pair {
                all.push((Line::new(front_up(left.centre), front_up(right.centre)), chain));
            }
        }
        all
    }

    /// Solid where the edge is the body's own, dashed where a part meets the next.
    fn edge(&self, edge: Line) -> Stroke {
        let body = front_up_rect(self.model.plan.vehicle.body());
        let (middle, near) = (edge.p0.midpoint(edge.p1), 1e-6);
        let own = [middle.x - body.x0, middle.x - body.x1, middle.y - body.y0, middle.y - body.y1];
        if own.iter().any(|off| off.abs() < near) { Stroke::solid(widths::WIDE) } else { Stroke::dashed(widths::THIN) }
    }

    /// FRONT on the parts at the front.
    fn lettering(&self, page: &mut Drawing, to_page: Affine, part: Rect) {
        let body = front_up_rect(self.model.plan.vehicle.body());
        if (part.y1 - body.y1).abs() < 1e-6 {
            let at = to_page * Point::new(part.center().x + 12.0, part.y1 - 10.0);
            page.text(Text::new(at, heights::HEADING, "▲ FRONT").bold());
        }
    }
}

//! The vehicle's outline of a model, in parts to cut out and join edge to edge.

use kurbo::{Affine, Line, Point, Rect, Size, Vec2};

use super::front_up;
use crate::{
    cover::Edge,
    drawing::{Drawing, Layer, Stroke, Text, heights, widths},
    page::{
        Block,
        clip::{edges, line_within},
        labels::{Footprint, Ground, Room, Wish},
    },
    paper::Paper,
    plan::{Wheel, corners},
    practice::Model,
    sheets::shared::arrow,
    units::ROUND_OFF_MM,
};

/// Blank edges of an outline page, mm: what hardly any printer leaves unprinted, and what full-scale sheets keep.
const EDGE_MM: f64 = 10.0;
const LOWER_EDGE_MM: f64 = 15.0;

/// Depth of the lettering below a part, mm.
const FOOT_MM: f64 = 13.0;

/// Length of the ticks across a joint on either part, mm, and where along the joint they stand.
const TICK_MM: f64 = 4.0;
const TICKS_AT: [f64; 2] = [0.25, 0.75];

/// Length of a cross's arms at a mark that the vehicle hides, mm.
const HIDDEN_ARM_MM: f64 = 5.0;

/// Gap between the parts on the map, mm, so that each shows its own outline.
const PART_GAP_MM: f64 = 0.6;

/// Price of a square millimetre of a line below lettering, see `tile`.
const LINE_PRICE: u32 = 60;

/// The outline in equal parts that each fit a page.
pub(super) struct Outline<'a> {
    model: &'a Model,
    paper: &'a Paper,
    /// True when parts lie on their pages with the front to the right.
    turned: bool,
    /// Parts of the body that have an edge or a wheel on them, from the front, left before right.
    pub parts: Vec<Part>,
}

/// A part of the outline.
pub(super) struct Part {
    /// Short name: `V1`.
    name: String,
    /// Place in mm with the front up.
    rect: Rect,
}

fn front_up_rect(rect: Rect) -> Rect {
    Rect::from_points(
        front_up(Point::new(rect.x0, rect.y0)),
        front_up(Point::new(rect.x1, rect.y1)),
    )
}

impl<'a> Outline<'a> {
    /// Divides the outline with the fewest parts, upright on their pages or turned.
    pub fn of(model: &'a Model, paper: &'a Paper) -> Self {
        let room = Size::new(
            paper.width - 2.0 * EDGE_MM,
            paper.height - EDGE_MM - LOWER_EDGE_MM - FOOT_MM,
        );
        let upright = divided(model, room);
        let across = divided(model, Size::new(room.height, room.width));
        let turned = across.len() < upright.len();
        let rects = if turned { across } else { upright };
        let part = |(index, rect)| Part {
            name: format!("V{}", index + 1),
            rect,
        };
        Self {
            model,
            paper,
            turned,
            parts: rects.into_iter().enumerate().map(part).collect(),
        }
    }

    /// True when parts without an edge of the body were left out.
    pub fn is_open(&self) -> bool {
        let parts: f64 = self.parts.iter().map(|part| part.rect.area()).sum();
        parts < 0.999 * self.body().area()
    }

    fn body(&self) -> Rect {
        front_up_rect(self.model.plan.vehicle.body())
    }

    /// One part on its page, as far left and up as the edge allows.
    pub fn page(&self, index: usize) -> Drawing {
        let part = &self.parts[index];
        let mut page = Drawing::new(
            format!("vehicle outline {}", part.name),
            self.paper.width,
            self.paper.height,
        );
        let turn = if self.turned {
            Affine::rotate(-std::f64::consts::FRAC_PI_2)
        } else {
            Affine::IDENTITY
        };
        let lying = turn.transform_rect_bbox(part.rect);
        let to_page =
            Affine::translate((EDGE_MM - lying.x0, self.paper.height - EDGE_MM - lying.y1)) * turn;
        let shown = to_page.transform_rect_bbox(part.rect);
        let mut ground = Ground::new(shown);
        for (line, layer, stroke) in self.lines() {
            for piece in line_within(line, &[corners(part.rect).to_vec()]) {
                let piece = to_page * piece;
                page.line(layer, piece.p0, piece.p1, stroke);
                ground.line(piece, LINE_PRICE);
            }
        }
        let mut room = Room::over(&ground);
        self.edges(&mut page, &mut room, index, to_page);
        self.hidden_marks(&mut page, &mut room, part.rect, to_page);
        self.lettering(&mut page, &mut room, part, shown, to_page);
        self.foot(&mut page, part, shown.y0);
        page
    }

    /// Wheels, centreline and axles.
    fn lines(&self) -> Vec<(Line, Layer, Stroke)> {
        let vehicle = &self.model.plan.vehicle;
        let outlines: Vec<Vec<Point>> = vehicle
            .wheels
            .iter()
            .map(Wheel::footprint)
            .map(|rect| corners(front_up_rect(rect)).to_vec())
            .collect();
        let wheel = |line| (line, Layer::Vehicle, Stroke::solid(widths::MEDIUM));
        let mut all: Vec<_> = edges(&outlines).into_iter().map(wheel).collect();
        let mut axis = |a: Point, b: Point| {
            all.push((
                Line::new(front_up(a), front_up(b)),
                Layer::Vehicle,
                Stroke::chain(widths::FINE),
            ));
        };
        axis((vehicle.rear_x, 0.0).into(), (vehicle.front_x, 0.0).into());
        for pair in vehicle.wheels.chunks(2) {
            if let [left, right] = pair {
                axis(left.centre, right.centre);
            }
        }
        all
    }

    /// Solid where the edge is the body's own; dashed, ticked and named where a part meets the next.
    fn edges(&self, page: &mut Drawing, room: &mut Room, index: usize, to_page: Affine) {
        let part = &self.parts[index];
        let own = edges(&[corners(self.body()).to_vec()]);
        for edge in edges(&[corners(part.rect).to_vec()]) {
            let on_page = to_page * edge;
            if own.iter().any(|line| lies_on(edge, *line)) {
                page.line(
                    Layer::Vehicle,
                    on_page.p0,
                    on_page.p1,
                    Stroke::solid(widths::WIDE),
                );
                continue;
            }
            page.line(
                Layer::Registration,
                on_page.p0,
                on_page.p1,
                Stroke::dashed(widths::THIN),
            );
            let next = self.parts.iter().find(|other| {
                other.name != part.name
                    && edges(&[corners(other.rect).to_vec()])
                        .iter()
                        .any(|line| lies_on(edge, *line))
            });
            if let Some(next) = next {
                let shown = to_page.transform_rect_bbox(part.rect);
                join(page, room, on_page, shown, &next.name);
            }
        }
    }

    /// Crosses at marks that the vehicle hides, to prick through.
    fn hidden_marks(&self, page: &mut Drawing, room: &mut Room, part: Rect, to_page: Affine) {
        let inside = self.body().inset(-HIDDEN_ARM_MM).intersect(part);
        for mark in &self.model.plan.marks {
            let at = front_up(mark.at);
            if !inside.contains(at) {
                continue;
            }
            let at = to_page * at;
            let extent = to_page.transform_rect_bbox(part);
            for arm in [Vec2::new(HIDDEN_ARM_MM, 0.0), Vec2::new(0.0, HIDDEN_ARM_MM)] {
                for piece in line_within(Line::new(at - arm, at + arm), &[corners(extent).to_vec()])
                {
                    page.line(
                        Layer::Marks,
                        piece.p0,
                        piece.p1,
                        Stroke::solid(widths::FINE),
                    );
                }
            }
            room.block(Rect::from_center_size(
                at,
                (2.0 * HIDDEN_ARM_MM, 2.0 * HIDDEN_ARM_MM),
            ));
            put(
                page,
                room,
                &Block::bold(mark.id.clone(), heights::HEADING),
                extent,
                at,
            );
        }
    }

    /// The part's name, and which way the front is.
    fn lettering(
        &self,
        page: &mut Drawing,
        room: &mut Room,
        part: &Part,
        shown: Rect,
        to_page: Affine,
    ) {
        let ahead = (to_page * Point::new(0.0, 1.0) - to_page * Point::ZERO).normalize();
        let word = Block::bold("FRONT", heights::HEADING);
        let length = 18.0;
        let shaft = Size::new(
            (length * ahead.x.abs()).max(6.0),
            (length * ahead.y.abs()).max(6.0),
        );
        let size = Size::new(
            shaft.width.max(word.size.width),
            shaft.height + 1.0 + word.size.height,
        );
        let footprint = Footprint::solid(size + Size::new(4.0, 4.0), 0);
        let near =
            shown.center() + (shown.origin() + shown.size().to_vec2() - shown.center()) * 0.5;
        let within = shown.inset(-2.0);
        if let Some(place) = room.place(
            &[footprint],
            Wish {
                within,
                near,
                pull: 2.0,
            },
        ) {
            let origin = place.origin + Vec2::new(2.0, 2.0);
            let word_at = origin + Vec2::new((size.width - word.size.width) / 2.0, 0.0);
            word.draw(page, Layer::Labels, word_at, false);
            let low = word.size.height + 1.0;
            let middle = origin + Vec2::new(size.width / 2.0, low + shaft.height / 2.0);
            arrow(page, middle, ahead, length);
        }
        let near = Point::new(shown.x0 + 0.3 * shown.width(), shown.center().y);
        put(
            page,
            room,
            &Block::bold(part.name.as_str(), heights::LABEL),
            within,
            near,
        );
    }

    fn foot(&self, page: &mut Drawing, part: &Part, low: f64) {
        let (n, number) = (self.model.denominator, self.model.number);
        let mut y = low - 6.0;
        let title = format!(
            "Vehicle outline 1:{n}, part {} of {}, exercise {number}",
            part.name,
            self.parts.len()
        );
        page.text(Text::new((EDGE_MM, y), heights::HEADING, title).bold());
        y -= 5.0;
        let joins = if self.parts.len() > 1 {
            "; dashed edges meet the parts named beside them"
        } else {
            ""
        };
        let how = format!("Print at 100 %. Cut along all edges{joins}. A model, not for a floor.");
        page.text(Text::new((EDGE_MM, y), heights::TEXT, how));
    }

    /// A small picture of how the parts lie, front up, hanging from the top of an area.
    pub fn map(&self, page: &mut Drawing, area: Rect) {
        let body = self.body();
        let room = Rect {
            y0: area.y0 + 8.0,
            y1: area.y1 - 11.0,
            ..area
        };
        let scale = (room.width() / body.width())
            .min(room.height() / body.height())
            .min(1.0);
        let top = Point::new(body.center().x, body.y1);
        let to_page = Affine::translate((room.center().x, room.y1))
            * Affine::scale(scale)
            * Affine::translate(-top.to_vec2());
        let mut ground = Ground::new(area);
        for (line, layer, stroke) in self.lines() {
            for part in &self.parts {
                for piece in line_within(line, &[corners(part.rect).to_vec()]) {
                    let piece = to_page * piece;
                    page.line(
                        layer,
                        piece.p0,
                        piece.p1,
                        Stroke {
                            width: widths::FINE,
                            ..stroke
                        },
                    );
                    ground.line(piece, LINE_PRICE);
                }
            }
        }
        let mut names = Room::over(&ground).finely();
        for part in &self.parts {
            let cell = to_page
                .transform_rect_bbox(part.rect)
                .inset(-PART_GAP_MM / 2.0);
            page.rect(
                Layer::Vehicle,
                cell,
                None,
                Some(Stroke::solid(widths::MEDIUM)),
            );
            let name = |height| Block::bold(part.name.as_str(), height);
            let fitting = [heights::HEADING, heights::TEXT]
                .map(name)
                .into_iter()
                .find(|name| name.size.width + 3.0 < cell.width());
            put(
                page,
                &mut names,
                &fitting.unwrap_or_else(|| name(heights::SMALL)),
                cell,
                cell.center(),
            );
        }
        let word = Block::bold("FRONT", heights::TEXT);
        let (x, y) = (area.center().x, area.y1 - 5.5);
        arrow(
            page,
            Point::new(x - word.size.width / 2.0 - 4.0, y),
            Vec2::new(0.0, 1.0),
            10.0,
        );
        word.draw(
            page,
            Layer::Labels,
            Point::new(x - word.size.width / 2.0, y - word.size.height / 2.0),
            false,
        );
        let low = (to_page * Point::new(body.x0, body.y0)).y - 6.0;
        let caption = format!("Outline, 1:{}", self.model.denominator);
        page.text(Text::new((x, low), heights::TEXT, caption).centred());
    }
}

/// The body in equal parts no larger than `room` (front up), without those that no edge of it touches.
///
/// Wheels stand at its sides, so a part without an edge has no wheel either; the others are a ring and hold together.
fn divided(model: &Model, room: Size) -> Vec<Rect> {
    let body = front_up_rect(model.plan.vehicle.body());
    let count = |length: f64, room: f64| (length / room).ceil().max(1.0) as usize;
    let (columns, rows) = (
        count(body.width(), room.width),
        count(body.height(), room.height),
    );
    let size = Size::new(body.width() / columns as f64, body.height() / rows as f64);
    let part = |(row, column): (usize, usize)| {
        let corner = Point::new(
            body.x0 + column as f64 * size.width,
            body.y1 - (row + 1) as f64 * size.height,
        );
        Rect::from_origin_size(corner, size)
    };
    let at_edge = |&(row, column): &(usize, usize)| {
        row == 0 || row + 1 == rows || column == 0 || column + 1 == columns
    };
    (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (row, column)))
        .filter(at_edge)
        .map(part)
        .collect()
}

/// True when an edge lies on a line, both along an axis.
fn lies_on(edge: Line, line: Line) -> bool {
    let extent = Rect::from_points(line.p0, line.p1).inflate(ROUND_OFF_MM, ROUND_OFF_MM);
    extent.contains(edge.p0) && extent.contains(edge.p1)
}

/// Ticks across a joint, and the name of the part beyond it.
fn join(page: &mut Drawing, room: &mut Room, edge: Line, shown: Rect, next: &str) {
    let inward = {
        let to_middle = shown.center() - edge.midpoint();
        let along = (edge.p1 - edge.p0).normalize();
        (to_middle - along * to_middle.dot(along)).normalize()
    };
    for at in TICKS_AT {
        let foot = edge.p0.lerp(edge.p1, at);
        page.line(
            Layer::Registration,
            foot,
            foot + inward * TICK_MM,
            Stroke::solid(widths::THIN),
        );
        room.block(Rect::from_points(foot, foot + inward * TICK_MM).inflate(1.0, 1.0));
    }
    let at = edge.midpoint();
    let side = Edge::ALL
        .into_iter()
        .find(|side| lies_on(edge, side.of(shown)));
    let words = match side {
        Some(Edge::Left) => format!("◂ {next}"),
        Some(Edge::Right) => format!("{next} ▸"),
        Some(Edge::Top) => format!("▴ {next}"),
        _ => format!("▾ {next}"),
    };
    put(
        page,
        room,
        &Block::bold(words, heights::HEADING),
        shown.inset(-1.5),
        at,
    );
}

/// Draws a block as near to a point as there is room for it.
fn put(page: &mut Drawing, room: &mut Room, block: &Block, within: Rect, near: Point) {
    let padding = Vec2::new(1.0, 1.0);
    let footprint = Footprint::solid(block.size + (2.0 * padding).to_size(), 0);
    if let Some(place) = room.place(
        &[footprint],
        Wish {
            within,
            near,
            pull: 6.0,
        },
    ) {
        block.draw(page, Layer::Labels, place.origin + padding, false);
    }
}

//! Half of the vehicle's outline, in parts to cut out and join edge to edge.

use kurbo::{Affine, Line, Point, Rect, Size, Vec2};

use crate::{
    cover::Edge,
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, widths},
    page::{
        Block,
        clip::{edges, line_within},
        labels::{Footprint, Ground, Room, Wish},
    },
    paper::Paper,
    plan::{Wheel, corners},
    practice::{Model, OutlinePart},
    sheets::shared::{PageNumber, arrow},
    units::ROUND_OFF_MM,
};

/// Blank edge at the left of an outline's page, and where its lettering stands above the lower edge, mm.
const EDGE_MM: f64 = 10.0;
const FOOT_MM: f64 = 24.0;

/// Length of the ticks across a joint on either part, mm, and where along the joint they stand.
const TICK_MM: f64 = 4.0;
const TICKS_AT: [f64; 2] = [0.25, 0.75];

/// Length of a cross's arms at a mark that the vehicle hides, mm.
const HIDDEN_ARM_MM: f64 = 5.0;

/// Gap between the parts on the map, mm, so that each shows its own outline.
const PART_GAP_MM: f64 = 0.6;

/// Price of a square millimetre of a line below lettering, see `tile`.
const LINE_PRICE: u32 = 60;

/// Length of the arrow to the front, mm.
const ARROW_MM: f64 = 14.0;

/// The half outline on its pages.
pub(super) struct Outline<'a> {
    pub model: &'a Model,
}

impl Outline<'_> {
    /// The half body, mm on the mat.
    fn body(&self) -> Rect {
        let vehicle = &self.model.plan.vehicle;
        let far = if self.model.half.left { 1.0 } else { -1.0 } * vehicle.half_width;
        Rect::from_points((vehicle.rear_x, 0.0), (vehicle.front_x, far))
    }

    /// The parts of a page, as far left and up as the edge allows.
    pub fn page(&self, index: usize, paper: &Paper, page: PageNumber) -> Drawing {
        let half = &self.model.half;
        let parts = (0..half.parts.len()).filter(|part| half.parts[*part].page == index);
        let parts: Vec<usize> = parts.collect();
        let names: Vec<&str> = parts
            .iter()
            .map(|part| half.parts[*part].name.as_str())
            .collect();
        let names = names.join(", ");
        let mut drawing = Drawing::new(
            format!("vehicle outline {names}"),
            paper.width,
            paper.height,
        );
        for part in parts {
            self.part(&mut drawing, part);
        }
        self.foot(&mut drawing, &names, page);
        drawing
    }

    fn part(&self, page: &mut Drawing, index: usize) {
        let part = &self.model.half.parts[index];
        let shown = part.to_page.transform_rect_bbox(part.place);
        let mut ground = Ground::new(shown);
        for (line, layer, stroke) in self.lines() {
            for piece in line_within(line, &[corners(part.place).to_vec()]) {
                let piece = part.to_page * piece;
                page.line(layer, piece.p0, piece.p1, stroke);
                ground.line(piece, LINE_PRICE);
            }
        }
        let mut room = Room::over(&ground);
        self.edges(page, &mut room, index);
        self.hidden_marks(page, &mut room, part.place, part.to_page);
        self.inner_edge(page, &mut room, part.place, part.to_page);
        self.lettering(page, &mut room, &part.name, shown, part.to_page);
    }

    /// Wheels and axles.
    fn lines(&self) -> Vec<(Line, Layer, Stroke)> {
        let body = self.body();
        let own = self.model.plan.vehicle.wheels.iter();
        let own = own.filter(|wheel| body.contains(wheel.centre));
        let outlines: Vec<Vec<Point>> = own
            .clone()
            .map(Wheel::footprint)
            .map(|rect| corners(rect).to_vec())
            .collect();
        let wheel = |line| (line, Layer::Vehicle, Stroke::solid(widths::MEDIUM));
        let mut all: Vec<_> = edges(&outlines).into_iter().map(wheel).collect();
        all.extend(own.map(|wheel| {
            let axle = Line::new((wheel.centre.x, 0.0), wheel.centre);
            (axle, Layer::Vehicle, Stroke::chain(widths::FINE))
        }));
        all
    }

    /// Solid where the edge is the half body's own; dashed, ticked and named where a part meets the next.
    fn edges(&self, page: &mut Drawing, room: &mut Room, index: usize) {
        let parts = &self.model.half.parts;
        let part = &parts[index];
        let own = edges(&[corners(self.body()).to_vec()]);
        for edge in edges(&[corners(part.place).to_vec()]) {
            let on_page = part.to_page * edge;
            if own.iter().any(|line| lies_on(edge, *line)) {
                let stroke = Stroke::solid(widths::WIDE);
                page.line(Layer::Vehicle, on_page.p0, on_page.p1, stroke);
                continue;
            }
            let stroke = Stroke::dashed(widths::THIN);
            page.line(Layer::Registration, on_page.p0, on_page.p1, stroke);
            let meets = |other: &&OutlinePart| {
                other.name != part.name
                    && edges(&[corners(other.place).to_vec()])
                        .iter()
                        .any(|line| lies_on(edge, *line))
            };
            if let Some(next) = parts.iter().find(meets) {
                let shown = part.to_page.transform_rect_bbox(part.place);
                join(page, room, on_page, shown, &next.name);
            }
        }
    }

    /// Crosses at marks that the vehicle hides, to prick through.
    fn hidden_marks(&self, page: &mut Drawing, room: &mut Room, part: Rect, to_page: Affine) {
        let inside = self.body().inset(-HIDDEN_ARM_MM).intersect(part);
        for mark in &self.model.plan.marks {
            if !inside.contains(mark.at) {
                continue;
            }
            let at = to_page * mark.at;
            let extent = to_page.transform_rect_bbox(part);
            for arm in [Vec2::new(HIDDEN_ARM_MM, 0.0), Vec2::new(0.0, HIDDEN_ARM_MM)] {
                for piece in line_within(Line::new(at - arm, at + arm), &[corners(extent).to_vec()])
                {
                    let stroke = Stroke::solid(widths::FINE);
                    page.line(Layer::Marks, piece.p0, piece.p1, stroke);
                }
            }
            let size = (2.0 * HIDDEN_ARM_MM, 2.0 * HIDDEN_ARM_MM);
            room.block(Rect::from_center_size(at, size));
            put(
                page,
                room,
                &Block::bold(mark.id.clone(), heights::HEADING),
                extent,
                at,
                false,
            );
        }
    }

    /// What the inner edge is.
    fn inner_edge(&self, page: &mut Drawing, room: &mut Room, part: Rect, to_page: Affine) {
        let middle = to_page * Point::new(part.center().x, 0.0);
        let along = to_page * Point::new(part.x1, 0.0) - middle;
        let turned = along.x.abs() < along.y.abs();
        let words = Block::line("centreline: lay this edge on the line", heights::TEXT);
        let shown = to_page.transform_rect_bbox(part).inset(-1.5);
        put(page, room, &words, shown, middle, turned);
    }

    /// The part's name, and which way the front is.
    fn lettering(
        &self,
        page: &mut Drawing,
        room: &mut Room,
        name: &str,
        shown: Rect,
        to_page: Affine,
    ) {
        let ahead = (to_page * Point::new(1.0, 0.0) - to_page * Point::ZERO).normalize();
        let within = shown.inset(-2.0);
        let side = format!("{} half", self.model.half.side());
        let lines = [
            (name.to_owned(), heights::LABEL, Weight::Bold),
            (side, heights::TEXT, Weight::Regular),
        ];
        put(
            page,
            room,
            &Block::new(&lines),
            within,
            shown.center(),
            false,
        );
        let word = Block::bold("FRONT", heights::HEADING);
        let shaft = Size::new(
            (ARROW_MM * ahead.x.abs()).max(6.0),
            (ARROW_MM * ahead.y.abs()).max(6.0),
        );
        let size = Size::new(
            shaft.width.max(word.size.width),
            shaft.height + 1.0 + word.size.height,
        );
        let near = shown.center() + (ahead * (shown.size().to_vec2().dot(ahead)).abs()) * 0.3;
        let wish = Wish {
            within,
            near,
            pull: 2.0,
        };
        let footprint = Footprint::solid(size + Size::new(4.0, 4.0), 0);
        if let Some(place) = room.place(&[footprint], wish) {
            let origin = place.origin + Vec2::new(2.0, 2.0);
            let word_at = origin + Vec2::new((size.width - word.size.width) / 2.0, 0.0);
            word.draw(page, Layer::Labels, word_at, false);
            let low = word.size.height + 1.0;
            let middle = origin + Vec2::new(size.width / 2.0, low + shaft.height / 2.0);
            arrow(page, middle, ahead, ARROW_MM);
        }
    }

    fn foot(&self, drawing: &mut Drawing, names: &str, page: PageNumber) {
        let (n, number, half) = (self.model.denominator, self.model.number, &self.model.half);
        let mut y = FOOT_MM;
        let what = if half.parts.len() > 1 {
            format!("parts {names} of {}", half.parts.len())
        } else {
            format!("part {names}, the only one")
        };
        let title = format!(
            "Vehicle outline 1:{n}, {} half, {what}: exercise {number}",
            half.side()
        );
        drawing.text(Text::new((EDGE_MM, y), heights::HEADING, title).bold());
        let joins = if half.parts.len() > 1 {
            " Dashed edges meet the parts named beside them."
        } else {
            ""
        };
        let lines = [
            format!("Print at 100 %. Cut along every edge.{joins}"),
            format!(
                "A model, not for a floor. Page {} of {}.",
                page.page, page.of
            ),
        ];
        for line in lines {
            y -= 4.2;
            drawing.text(Text::new((EDGE_MM, y), heights::TEXT, line));
        }
    }

    /// A small picture of how the parts lie, front up, hanging from the top of an area.
    pub fn map(&self, page: &mut Drawing, area: Rect) {
        let turn = Affine::rotate(std::f64::consts::FRAC_PI_2);
        let body = turn.transform_rect_bbox(self.body());
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
            * Affine::translate(-top.to_vec2())
            * turn;
        let mut ground = Ground::new(area);
        for (line, layer, stroke) in self.lines() {
            for part in &self.model.half.parts {
                for piece in line_within(line, &[corners(part.place).to_vec()]) {
                    let piece = to_page * piece;
                    let stroke = Stroke {
                        width: widths::FINE,
                        ..stroke
                    };
                    page.line(layer, piece.p0, piece.p1, stroke);
                    ground.line(piece, LINE_PRICE);
                }
            }
        }
        let mut names = Room::over(&ground).finely();
        for part in &self.model.half.parts {
            let cell = to_page
                .transform_rect_bbox(part.place)
                .inset(-PART_GAP_MM / 2.0);
            let stroke = Stroke::solid(widths::MEDIUM);
            page.rect(Layer::Vehicle, cell, None, Some(stroke));
            let name = |height| Block::bold(part.name.as_str(), height);
            let fitting = [heights::HEADING, heights::TEXT]
                .map(name)
                .into_iter()
                .find(|name| name.size.width + 3.0 < cell.width());
            let block = fitting.unwrap_or_else(|| name(heights::SMALL));
            put(page, &mut names, &block, cell, cell.center(), false);
        }
        let word = Block::bold("FRONT", heights::TEXT);
        let (x, y) = (area.center().x, area.y1 - 5.5);
        let left = x - word.size.width / 2.0;
        arrow(page, Point::new(left - 4.0, y), Vec2::new(0.0, 1.0), 10.0);
        let word_at = Point::new(left, y - word.size.height / 2.0);
        word.draw(page, Layer::Labels, word_at, false);
        let low = to_page.transform_rect_bbox(self.body()).y0 - 6.0;
        for (line, caption) in [
            format!("{} half of the vehicle", self.model.half.side()),
            format!("1:{}", self.model.denominator),
        ]
        .into_iter()
        .enumerate()
        {
            let at = (x, low - 4.0 * line as f64);
            page.text(Text::new(at, heights::TEXT, caption).centred());
        }
    }
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
        let tick = Line::new(foot, foot + inward * TICK_MM);
        page.line(
            Layer::Registration,
            tick.p0,
            tick.p1,
            Stroke::solid(widths::THIN),
        );
        room.block(Rect::from_points(tick.p0, tick.p1).inflate(1.0, 1.0));
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
        false,
    );
}

/// Draws a block as near to a point as there is room for it, turned to be read from the right or not.
fn put(
    page: &mut Drawing,
    room: &mut Room,
    block: &Block,
    within: Rect,
    near: Point,
    turned: bool,
) {
    let padding = Vec2::new(1.0, 1.0);
    let footprint = Footprint::solid(block.turned_size(turned) + (2.0 * padding).to_size(), 0);
    let wish = Wish {
        within,
        near,
        pull: 6.0,
    };
    if let Some(place) = room.place(&[footprint], wish) {
        block.draw(page, Layer::Labels, place.origin + padding, turned);
    }
}

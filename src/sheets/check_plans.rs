//! Both check plans as pictures, the full one beside the quick one: which lays of tape and string there are, and where they
//! are read.
//!
//! Lays that share a line are drawn side by side, so that each can be followed from its ring to its last dot.

use kurbo::{Line, Point, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Tone, heights, widths},
    page::{
        Block, Fragment, Scale,
        labels::{Ground, NameWish, Room},
        paragraph,
    },
    paper::Paper,
    plan::{FloorPlan, Lay, LayEnd, LayKind, corners},
    sheets::shared::{draw_bands, draw_vehicle},
    survey::wheel_marks,
    words::printed::lays::{CHECK_PICTURE, effort},
};

/// Blank edge of the page and clear distance between two pictures, mm.
const EDGE_MM: f64 = 8.0;

/// Free edge about a plan, for the names and numbers at its rim, mm.
const RIM_MM: f64 = 9.0;

/// Depth of a picture's heading, mm.
const HEAD_MM: f64 = 12.0;

/// Clear distance between lays that share a line, mm.
const SIDE_BY_SIDE_MM: f64 = 0.9;

/// Lays whose lines are nearer to each other than this all along share a line, floor mm; and as a sine, how far two
/// directions may differ: the tapes along one side run within a strip's width.
const ONE_LINE_MM: f64 = 120.0;
const ONE_DIRECTION: f64 = 0.02;

/// Radius of the ring at a tape's zero, and of the dot where something is read, mm.
const RING_MM: f64 = 1.1;
const DOT_MM: f64 = 0.55;

/// What it costs to set a number over a lay's line, over a tyre or over the body's outline.
const LAY_PRICE: u64 = 400;
const TYRE_PRICE: u64 = 200;

/// The full and the quick check plan of each vehicle's layout by itself, one row of two pictures for each; the page is of the
/// paper's width, across, and as deep as it takes.
#[must_use]
pub fn check_plans(layouts: &[[FloorPlan; 2]], paper: &Paper) -> Drawing {
    let (width, depth) = (paper.height, paper.width);
    let column = (width - 3.0 * EDGE_MM) / 2.0;
    let note = paragraph(CHECK_PICTURE, width - 2.0 * EDGE_MM, heights::TEXT);
    let height = EDGE_MM + note.height + layouts.len() as f64 * depth;
    let mut page = Drawing::new("Check plans, full and quick", width, height);
    let mut top = height - EDGE_MM;
    for pair in layouts {
        let room = (column, depth - EDGE_MM);
        for (index, (plan, what)) in pair.iter().zip(["Full check", "Quick check"]).enumerate() {
            let left = EDGE_MM + index as f64 * (column + EDGE_MM);
            picture(plan, what, room).place(&mut page, left, top);
        }
        top -= depth;
    }
    note.place(&mut page, EDGE_MM, EDGE_MM + note.height);
    page
}

/// One plan with its heading in `width` × `height` mm.
fn picture(plan: &FloorPlan, what: &str, (width, height): (f64, f64)) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = format!("{what}: {}", plan.vehicle.name);
    Block::bold(title, heights::HEADING).draw(
        piece.canvas(),
        Layer::Labels,
        Point::new(0.0, -heights::HEADING),
        false,
    );
    let said: Vec<String> = plan.proofs.iter().map(effort).collect();
    let below = Point::new(0.0, -heights::HEADING - 2.0 * heights::TEXT);
    Block::line(said.join("; "), heights::TEXT).draw(piece.canvas(), Layer::Labels, below, false);
    piece.height = HEAD_MM;
    let drawn = drawn(
        plan,
        (width - 2.0 * RIM_MM, height - HEAD_MM - 2.0 * RIM_MM),
    );
    let mut middle = Fragment::new(width);
    middle.height = drawn.height;
    drawn.place(middle.canvas(), (width - drawn.width) / 2.0, 0.0);
    piece.stack(&middle, 0.0);
    piece
}

/// The plan with its lays, front up, at the largest 1 : whole number that fits.
fn drawn(plan: &FloorPlan, (width, height): (f64, f64)) -> Fragment {
    let floor = plan.extent_with(plan.vehicle.body());
    let ratio = (floor.height() / width).max(floor.width() / height);
    let scale = Scale {
        ratio: ratio.ceil().max(1.0) as u32,
        standard: false,
    };
    let [low, high] = [(floor.x0, floor.y0), (floor.x1, floor.y1)];
    let bounds =
        Rect::from_points(scale.front_up(low.into()), scale.front_up(high.into())).inset(RIM_MM);
    let mut canvas = Drawing::new("", 0.0, 0.0);
    draw_bands(&mut canvas, plan, scale);
    let vehicle = draw_vehicle(&mut canvas, &plan.vehicle, scale);
    let mut room = Room::over(&Ground::new(bounds));
    for tyre in vehicle.tyres {
        room.polygon(&corners(tyre), TYRE_PRICE);
    }
    room.outline(vehicle.body, TYRE_PRICE);
    let lines = lay_lines(plan, scale);
    for (lay, line) in plan.lays.iter().zip(&lines) {
        room.line(*line, LAY_PRICE);
        draw_lay(&mut canvas, plan, lay, *line, scale);
    }
    for mark in &plan.marks {
        let at = scale.front_up(mark.at);
        room.block(Rect::from_center_size(at, (2.0 * RING_MM, 2.0 * RING_MM)));
    }
    for mark in &plan.marks {
        let block = Block::line(mark.id.as_str(), heights::TEXT);
        letter(
            &mut canvas,
            &mut room,
            scale.front_up(mark.at),
            &block,
            Layer::Marks,
        );
    }
    for (lay, line) in plan.lays.iter().zip(&lines) {
        let block = Block::bold(lay.number.to_string(), heights::TEXT);
        letter(
            &mut canvas,
            &mut room,
            line.midpoint(),
            &block,
            Layer::Labels,
        );
    }
    Fragment::around(&canvas, bounds)
}

/// Sets lettering beside a point, with a thin line to it where it stands farther off.
fn letter(canvas: &mut Drawing, room: &mut Room, at: Point, block: &Block, layer: Layer) {
    let wish = NameWish {
        anyway: true,
        ..NameWish::new(at, block.size)
    };
    if let Some(named) = room.name(wish) {
        block.draw(canvas, layer, named.space.origin(), false);
        if let Some(leader) = named.leader {
            let fine = Stroke::solid(widths::FINE).toned(Tone::QUIET);
            canvas.line(layer, leader.p0, leader.p1, fine);
        }
    }
}

/// The line of each lay on paper, those that share one moved apart.
fn lay_lines(plan: &FloorPlan, scale: Scale) -> Vec<Line> {
    let on_floor: Vec<Line> = plan.lays.iter().map(|lay| on_floor(plan, lay)).collect();
    let moved = on_floor.iter().enumerate().map(|(index, line)| {
        let shared = on_floor[..index].iter();
        let before = shared.filter(|other| share_a_line(**other, *line)).count();
        // To the right of the lay and to its left by turns, farther out each time.
        let side = if before.is_multiple_of(2) { 1.0 } else { -1.0 };
        let steps = before.div_ceil(2) as f64;
        let [p0, p1] = [line.p0, line.p1].map(|at| scale.front_up(at));
        let along = upward((p1 - p0).normalize());
        let aside = Vec2::new(along.y, -along.x) * (side * steps * SIDE_BY_SIDE_MM);
        Line::new(p0 + aside, p1 + aside)
    });
    moved.collect()
}

/// A direction turned so that two of one line agree, whichever way they run.
fn upward(along: Vec2) -> Vec2 {
    if (along.y, along.x) < (0.0, 0.0) {
        -along
    } else {
        along
    }
}

/// Where a lay runs on the floor, mm: a string along the tyres as far as what is read beside it.
fn on_floor(plan: &FloorPlan, lay: &Lay) -> Line {
    let wheels = wheel_marks(&plan.vehicle);
    let at = |end: LayEnd| match end {
        LayEnd::Mark(mark) => plan.marks[mark].at,
        LayEnd::Wheel(wheel) => wheels[wheel].1,
    };
    let (from, to) = (at(lay.from), at(lay.to));
    if lay.kind == LayKind::Tape {
        return Line::new(from, to);
    }
    let along = (to - from).normalize();
    let read = lay.readings.iter();
    let reached = read.map(|reading| (plan.marks[reading.mark].at - from).dot(along));
    let (first, last) = reached.fold((0.0_f64, from.distance(to)), |(first, last), at| {
        (first.min(at), last.max(at))
    });
    Line::new(from + along * first, from + along * last)
}

/// True where two lays would be drawn over each other for some of their length.
fn share_a_line(one: Line, other: Line) -> bool {
    let along = (one.p1 - one.p0).normalize();
    let direction = (other.p1 - other.p0).normalize();
    let place = |at: Point| (at - one.p0).dot(along);
    let (near, far) = (place(other.p0), place(other.p1));
    let overlap = near.max(far).min((one.p1 - one.p0).hypot()) - near.min(far).max(0.0);
    along.cross(direction).abs() < ONE_DIRECTION
        && (other.midpoint() - one.p0).cross(along).abs() < ONE_LINE_MM
        && overlap > 0.0
}

/// A tape as a solid line with a ring at its zero, a string dashed; a dot where it is read.
fn draw_lay(canvas: &mut Drawing, plan: &FloorPlan, lay: &Lay, line: Line, scale: Scale) {
    let stroke = match lay.kind {
        LayKind::Tape => Stroke::solid(widths::MEDIUM),
        LayKind::String => Stroke::dashed(widths::MEDIUM),
    };
    canvas.line(Layer::Registration, line.p0, line.p1, stroke);
    if lay.kind == LayKind::Tape {
        let thin = Some(Stroke::solid(widths::THIN));
        canvas.circle(Layer::Registration, line.p0, RING_MM, None, thin);
    }
    let along = (line.p1 - line.p0).normalize();
    for reading in &lay.readings {
        let mark = scale.front_up(plan.marks[reading.mark].at);
        let dot = line.p0 + along * (mark - line.p0).dot(along);
        if lay.along_tyres() {
            let fine = Stroke::solid(widths::FINE).toned(Tone::QUIET);
            canvas.line(Layer::Registration, dot, mark, fine);
        }
        canvas.circle(Layer::Registration, dot, DOT_MM, Some(Tone::BLACK), None);
    }
}

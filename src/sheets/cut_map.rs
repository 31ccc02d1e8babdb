//! The map of a stencil: which piece lies where, and on which load it is cut.

use kurbo::{Point, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths},
    page::{
        Block, Fragment, Scale, drawing_space, frame,
        labels::{Ground, NameWish, Room},
        paragraph, shorten,
    },
    paper::Paper,
    plan::{bounds, corners},
    sheets::shared::{Context, arrow, draw_vehicle},
    stencil::{CutPlan, Opening, Piece},
    words::printed::cut_map::{FRONT, TITLE, how_to_lay, loads},
};

/// Clear distance within the frame, and between what stands below each other, mm.
const GAP_MM: f64 = 3.0;

/// Free edge about the stencil, for the names of pieces at its rim, mm.
const RIM_MM: f64 = 7.0;

/// Most loads that are listed below the map, and on a page of their own.
const MOST_BELOW: usize = 12;
const MOST_ON_A_PAGE: usize = 32;

/// Length of the arrow to the front, mm.
const ARROW_MM: f64 = 12.0;

/// White about a name inside its piece, mm.
const NAME_EDGE_MM: f64 = 0.15;

/// Heights that a name may have inside its piece, mm, the first that fits.
const NAME_HEIGHTS_MM: [f64; 3] = [heights::TEXT, heights::CROWDED, heights::SMALL];

/// What it costs to set a name over an edge of a piece.
const EDGE_PRICE: u64 = 100;

/// The whole stencil seen from above, front up, each piece with its name; the loads below, or on pages of their own where
/// they are many.
#[must_use]
pub fn cut_map(context: &Context<'_>, stencil: &CutPlan, paper: &Paper) -> Vec<Drawing> {
    let loads = loads(stencil);
    let (below, apart) = match loads.len() {
        0..=MOST_BELOW => (loads.as_slice(), &[][..]),
        _ => (&[][..], loads.as_slice()),
    };
    let mut pages = vec![map_page(context, stencil, paper, below)];
    pages.extend(apart.chunks(MOST_ON_A_PAGE).map(|loads| {
        let (mut page, space) = page(context, paper);
        let mut list = Fragment::new(space.width());
        list.height = heights::HEADING;
        stack(&mut list, loads);
        list.place(&mut page, space.x0, space.y1);
        page
    }));
    pages
}

/// A page with frame and title, and the space within.
fn page(context: &Context<'_>, paper: &Paper) -> (Drawing, Rect) {
    let mut page = Drawing::new(TITLE, paper.width, paper.height);
    frame(&mut page, paper);
    let space = drawing_space(paper).inset(-GAP_MM);
    let title = format!("{TITLE}: {}", context.plan.vehicle.name);
    let title = shorten(&title, space.width(), heights::HEADING, Weight::Bold);
    let at = Point::new(space.x0, space.y1 - heights::HEADING);
    page.text(Text::new(at, heights::HEADING, title).bold());
    (page, space)
}

fn stack(column: &mut Fragment, texts: &[String]) {
    for text in texts {
        let text = paragraph(text, column.width, heights::TEXT);
        column.stack(&text, GAP_MM / 2.0);
    }
}

fn map_page(context: &Context<'_>, stencil: &CutPlan, paper: &Paper, loads: &[String]) -> Drawing {
    let (mut page, space) = page(context, paper);
    let mut above = Fragment::new(space.width());
    above.height = heights::HEADING;
    stack(&mut above, &how_to_lay(context.plan, stencil));
    let mut below = Fragment::new(space.width());
    stack(&mut below, loads);
    above.place(&mut page, space.x0, space.y1);
    below.place(&mut page, space.x0, space.y0 + below.height);
    let room = Rect::new(
        space.x0,
        space.y0 + below.height + GAP_MM,
        space.x1,
        space.y1 - above.height - GAP_MM,
    );
    let map = map(context, stencil, (room.width(), room.height()));
    let left = room.center().x - map.width / 2.0;
    map.place(&mut page, left, room.center().y + map.height / 2.0);
    let at = Point::new(room.x0 + ARROW_MM / 2.0, room.y1 - ARROW_MM / 2.0);
    arrow(&mut page, at, Vec2::new(0.0, 1.0), ARROW_MM);
    let word = Point::new(room.x0, room.y1 - ARROW_MM - 1.6 * heights::TEXT);
    page.text(Text::new(word, heights::TEXT, FRONT).bold());
    page
}

/// The pieces in their places, at the largest 1 : whole number that fits.
fn map(context: &Context<'_>, stencil: &CutPlan, (width, height): (f64, f64)) -> Fragment {
    let areas = stencil.pieces.iter().map(|piece| piece.shape.bounds());
    let body = context.plan.vehicle.body();
    let floor = areas.fold(body, |a, b| a.union(b));
    let (width, height) = (width - 2.0 * RIM_MM, height - 2.0 * RIM_MM);
    let ratio = (floor.height() / width).max(floor.width() / height);
    let scale = Scale {
        ratio: ratio.ceil().max(1.0) as u32,
        standard: false,
    };
    let [low, high] = [(floor.x0, floor.y0), (floor.x1, floor.y1)];
    let edges =
        Rect::from_points(scale.front_up(low.into()), scale.front_up(high.into())).inset(RIM_MM);
    let mut canvas = Drawing::new("", 0.0, 0.0);
    draw_vehicle(&mut canvas, &context.plan.vehicle, scale);
    let mut room = Room::over(&Ground::new(edges));
    for piece in &stencil.pieces {
        draw_piece(&mut canvas, piece, scale);
        for side in piece.shape.contours() {
            let side: Vec<Point> = side.iter().map(|at| scale.front_up(*at)).collect();
            room.polygon(&side, EDGE_PRICE);
        }
    }
    for piece in &stencil.pieces {
        let of_height = |height: f64| Block::bold(piece.label.as_str(), height);
        let fitting = NAME_HEIGHTS_MM.into_iter().find_map(|height| {
            let block = of_height(height);
            inside(piece, &block, scale).map(|space| (block, space))
        });
        if let Some((block, space)) = fitting {
            let around = space.inflate(NAME_EDGE_MM, NAME_EDGE_MM);
            canvas.rect(Layer::Labels, around, Some(Tone::WHITE), None);
            block.draw(&mut canvas, Layer::Labels, space.origin(), false);
            continue;
        }
        let block = of_height(heights::TEXT);
        let wish = NameWish {
            anyway: true,
            ..NameWish::new(scale.front_up(middle(piece)), block.size)
        };
        if let Some(named) = room.name(wish) {
            block.draw(&mut canvas, Layer::Labels, named.space.origin(), false);
            if let Some(leader) = named.leader {
                let fine = Stroke::solid(widths::FINE);
                canvas.line(Layer::Labels, leader.p0, leader.p1, fine);
            }
        }
    }
    Fragment::around(&canvas, edges)
}

fn draw_piece(canvas: &mut Drawing, piece: &Piece, scale: Scale) {
    let on_paper = |contour: &[Point]| -> Vec<Point> {
        contour.iter().map(|at| scale.front_up(*at)).collect()
    };
    for opening in &piece.openings {
        if matches!(opening, Opening::Slot { .. } | Opening::Arc { .. }) {
            let outline = on_paper(&opening.polygon());
            canvas.polygon(Layer::Lines, &outline, Some(Tone::BAND), None);
        }
    }
    for contour in piece.shape.contours() {
        let thin = Some(Stroke::solid(widths::THIN));
        canvas.polygon(Layer::Marks, &on_paper(contour), None, thin);
    }
}

/// Where a piece's name stands in the middle of its material; `None` where it is wider than that.
fn inside(piece: &Piece, block: &Block, scale: Scale) -> Option<Rect> {
    let space = Rect::from_center_size(scale.front_up(middle(piece)), block.size);
    let around = space.inflate(NAME_EDGE_MM, NAME_EDGE_MM);
    let ratio = f64::from(scale.ratio);
    let on_floor = |at: Point| Point::new(at.y * ratio, -at.x * ratio);
    let lies_in = |at: Point| piece.shape.holds(on_floor(at));
    corners(around).into_iter().all(lies_in).then_some(space)
}

/// A floor point in the material of a piece: the middle of what a line through its middle meets of it.
fn middle(piece: &Piece) -> Point {
    let centre = bounds(&piece.shape.outer).center();
    let across = kurbo::Line::new(centre, centre + Vec2::new(0.0, 1.0));
    let longest = piece
        .shape
        .stretches_on(across)
        .into_iter()
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    longest.map_or(centre, |(from, to)| {
        centre + Vec2::new(0.0, f64::midpoint(from, to))
    })
}

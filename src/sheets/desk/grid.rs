//! A blank grid: squared paper with the vehicle's centreline, to draw the layout by hand before it is cut, and for notes.

use kurbo::{Line, Point, Rect, Vec2};

use super::{EDGE_MM, LOWER_EDGE_MM};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths},
    page::{Block, wrap},
    paper::Paper,
    practice::{Model, Ruling},
    sheets::shared::{PageNumber, arrow},
    units::{MM_PER_INCH, inch_text, mm_text},
};

/// Side of a square, mm, metric and in inches.
const SQUARE_MM: f64 = 5.0;
const SQUARE_INCH_MM: f64 = 0.25 * MM_PER_INCH;

/// Scales 1:n of a layout drawn by hand, and how many squares there are from one dark line to the next: 1 m on the floor; in inches
/// 1 in on paper. 1:20, 1:50 and 1:100 are ISO 5455's; 1:25, 1:40 and the inch scales are common practice, no source.
const SCALES: [(u32, usize); 5] = [(20, 10), (25, 8), (40, 5), (50, 4), (100, 2)];
const INCH_SCALES: [(u32, usize); 3] = [(24, 4), (48, 4), (96, 4)];

/// Height of the words above the squares, and below them, mm.
const HEAD_MM: f64 = 30.0;
const FOOT_MM: f64 = 6.0;

/// Grey of the squares' lines: it survives a copy and still lets a pencil line be seen.
const PALE: Tone = Tone(0.75);

/// Squares of a page, counted from the floor's origin: the point half-way between the front wheel centres.
struct Squares {
    /// Side of one, mm.
    side: f64,
    /// n of 1:n.
    scale: u32,
    /// From one dark line to the next.
    dark: usize,
    /// On either side of the centreline.
    across: usize,
    /// Ahead of the origin and behind it.
    ahead: usize,
    behind: usize,
}

impl Squares {
    /// The largest scale at which the whole layout lies on them; the smallest one where it never does.
    fn of(model: &Model, area: Rect) -> Self {
        let inches = model.ruling == Ruling::Inches;
        let side = if inches { SQUARE_INCH_MM } else { SQUARE_MM };
        let scales: &[_] = if inches { &INCH_SCALES } else { &SCALES };
        let across = (area.width() / 2.0 / side) as usize;
        let rows = (area.height() / side) as usize;
        let extent = extent(model);
        let mut last = None;
        for &(scale, dark) in scales {
            let small = f64::from(model.denominator) / f64::from(scale) / side;
            let [ahead, behind] =
                [extent.x1, -extent.x0].map(|mm| (mm * small).ceil().max(0.0) as usize);
            let wide = extent.y1.max(-extent.y0) * small;
            let fits = ahead + behind <= rows && wide <= across as f64;
            let spare = rows.saturating_sub(ahead + behind);
            let ahead = (ahead + spare / 2).min(rows);
            last = Some(Self {
                side,
                scale,
                dark,
                across,
                ahead,
                behind: rows - ahead,
            });
            if fits {
                break;
            }
        }
        last.expect("there are scales")
    }

    fn on_floor(&self, squares: usize) -> f64 {
        squares as f64 * self.side * f64::from(self.scale)
    }
}

/// Marks and vehicle, mm on the desk.
fn extent(model: &Model) -> Rect {
    let marks = model.plan.marks.iter().map(|mark| mark.at);
    marks.fold(model.plan.vehicle.body(), |all, at| all.union_pt(at))
}

/// The page.
pub(super) fn grid(model: &Model, paper: &Paper, page: PageNumber) -> Drawing {
    let body = Rect::new(
        EDGE_MM,
        LOWER_EDGE_MM,
        paper.width - EDGE_MM,
        paper.height - EDGE_MM,
    );
    let area = Rect::new(body.x0, body.y0 + FOOT_MM, body.x1, body.y1 - HEAD_MM);
    let squares = Squares::of(model, area);
    let title = format!("Blank grid: exercise {}, 1:{}", model.number, squares.scale);
    let mut drawing = Drawing::new(title.clone(), paper.width, paper.height);
    let mut y = body.y1 - heights::TITLE;
    drawing.text(Text::new((body.x0, y), heights::TITLE, title).bold());
    y -= 3.0;
    for words in texts(model, &squares, page) {
        let lines = wrap(&words, body.width(), heights::TEXT, Weight::Regular);
        for line in lines {
            y -= 1.9 * heights::TEXT;
            drawing.text(Text::new((body.x0, y), heights::TEXT, line));
        }
    }
    let top = Point::new(area.center().x, area.y1);
    let origin = top - Vec2::new(0.0, squares.ahead as f64 * squares.side);
    paper_lines(&mut drawing, &squares, origin);
    axes(&mut drawing, &squares, origin);
    drawing
}

/// What the grid is for, how large its squares are, and where its lines lie.
fn texts(model: &Model, squares: &Squares, page: PageNumber) -> [String; 2] {
    let inches = model.ruling == Ruling::Inches;
    let length = |mm: f64| {
        if inches {
            format!("{} in", inch_text(mm))
        } else {
            format!("{} mm", mm_text(mm))
        }
    };
    let (side, n) = (if inches { "1/4 in" } else { "5 mm" }, model.denominator);
    [
        format!(
            "Before you cut: draw the layout here by hand. The sheets say where each mark is on the desk; multiply by {n} for the floor. \
             Or write your checks here."
        ),
        format!(
            "Squares of {side}: one is {} on the floor, from one dark line to the next {}. Print at 100 %. Page {} of {}.",
            length(squares.on_floor(1)),
            length(squares.on_floor(squares.dark)),
            page.page,
            page.of
        ),
    ]
}

fn paper_lines(drawing: &mut Drawing, squares: &Squares, origin: Point) {
    let Squares {
        side,
        across,
        ahead,
        behind,
        ..
    } = *squares;
    let [left, right, up, down] = [across, across, ahead, behind].map(|count| count as f64 * side);
    // The dark ones last, so that no pale line runs over them.
    for dark in [false, true] {
        let stroke = if dark {
            Stroke::solid(widths::THIN).toned(Tone::QUIET)
        } else {
            Stroke::solid(widths::FINE).toned(PALE)
        };
        let wanted = |number: &usize| number.is_multiple_of(squares.dark) == dark;
        let mut draw = |from: (f64, f64), to: (f64, f64)| {
            drawing.line(
                Layer::Panels,
                origin + Vec2::from(from),
                origin + Vec2::from(to),
                stroke,
            );
        };
        for x in (0..=across)
            .filter(wanted)
            .map(|number| number as f64 * side)
        {
            for x in [-x, x] {
                draw((x, -down), (x, up));
            }
        }
        let rows = [(ahead, side), (behind, -side)];
        for (count, step) in rows {
            for y in (0..=count)
                .filter(wanted)
                .map(|number| number as f64 * step)
            {
                draw((-left, y), (right, y));
            }
        }
    }
}

/// Centreline, front axle and the arrow to the front.
fn axes(drawing: &mut Drawing, squares: &Squares, origin: Point) {
    let up = squares.ahead as f64 * squares.side;
    let down = squares.behind as f64 * squares.side;
    let aside = 4.0 * squares.side;
    let chain = Stroke::chain(widths::MEDIUM);
    let centreline = Line::new(origin + Vec2::new(0.0, up), origin - Vec2::new(0.0, down));
    drawing.line(Layer::Vehicle, centreline.p0, centreline.p1, chain);
    let axle = Vec2::new(aside, 0.0);
    drawing.line(Layer::Vehicle, origin - axle, origin + axle, chain);
    let mut word = |text: &str, at: Point| {
        let block = Block::bold(text, heights::TEXT);
        let ground = Rect::from_origin_size(at, block.size).inflate(0.6, 0.6);
        drawing.rect(Layer::Labels, ground, Some(Tone::WHITE), None);
        block.draw(drawing, Layer::Labels, at, false);
    };
    word(
        "0: half-way between the front wheels",
        origin + Vec2::new(aside + 1.5, -1.2),
    );
    word("centreline", origin + Vec2::new(1.5, 2.0 - down));
    word("FRONT", origin + Vec2::new(5.0, up - 7.0));
    arrow(
        drawing,
        origin + Vec2::new(2.2, up - 6.0),
        Vec2::new(0.0, 1.0),
        10.0,
    );
}

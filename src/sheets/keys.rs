//! A page of keys: small stencils for single marks, to be cut out and placed by tape.
//!
//! Unlike a sheet of the mat, a key has a fixed layout. Its window shows the floor about its mark;
//! the label at the window's right is cut in two by the arm that runs across the whole key: which way
//! and which mark above it, numbers for the tapes below.
//!
//! The label stands beside the window, never in it: lines and lettering cannot meet. The arm across
//! the vehicle runs through the label as well, 86 mm to turn the key by; check square and bar stand
//! at the page's lower left.

use kurbo::{Line, Point, Rect, Vec2};

use crate::{
    cover::{KeyRaster, PlacedSheet, SheetPlan},
    drawing::{Drawing, Layer, Stroke, Tone, Weight, heights, text_width, widths},
    page::{Block, clip::strokes, shorten, wrap, wrap_to},
    plan::{FloorPlan, Mark, MarkShape},
    sheets::shared::{
        CheckSquare, Context, FloorArt, PageNumber, ScaleBar, arrow, called, notes, to_map,
        to_sheet,
    },
    survey::LayingFloor,
    units::{ROUND_OFF_MM, inch_text, mm_text},
    words::{floor_place, printed::keys},
};

/// Distance in mm that a label's lettering keeps from the label's edges and from the arm through it.
const PADDING_MM: f64 = 1.5;

/// Distance in mm between the name of a mark and what stands above and below it.
const NAME_GAP_MM: f64 = 1.0;

/// Length in mm of the arrow to the front.
const ARROW_MM: f64 = 10.0;

/// Length in mm of the bold end of an arm at a key's edge, which is brought to a string.
const ARM_END_MM: f64 = 6.0;

/// Half the widest line of the scale figures, mm.
const HALF_LINE_MM: f64 = widths::MEDIUM / 2.0;

/// Distance in mm between the check square and the bar, and between the square and lettering.
const FIGURE_GAP_MM: f64 = 1.2;

/// Distance in mm between the sides of the large check square and the notes in it: its graduation and names.
const SQUARE_PADDING_MM: f64 = 8.0;

/// Most lines that a mark's meaning takes.
const MEANING_LINES: usize = 3;

/// Draws page `index`, from 0, of the pages with keys; `art` is prepared once for all pages.
///
/// The page has exactly the size of the paper, and nothing lies outside the printable part of it.
#[must_use]
pub fn key_page(
    context: &Context,
    art: &FloorArt,
    sheets: &SheetPlan,
    index: usize,
    page: PageNumber,
) -> Drawing {
    let paper = &sheets.format.paper;
    let raster = KeyRaster::of(&sheets.format);
    let keys = || sheets.sheets.iter().filter(|sheet| sheet.page == index);
    let names: Vec<&str> = keys().map(|sheet| sheet.label.as_str()).collect();
    let number = (index + 1).to_string();
    let title = called("Keys", &number, &names);
    let mut drawing = Drawing::new(title, paper.width, paper.height);
    drawing.number = number;
    for (sheet, &card) in keys().zip(&raster.cards) {
        drawing.targets.push(to_sheet(&sheet.label));
        key(&mut drawing, context, art, (sheets, sheet), card);
    }
    proof(&mut drawing, context, &raster, (page, art.knife.is_some()));
    drawing.mapped(sheets.format.to_page())
}

/// One key on its card.
fn key(
    drawing: &mut Drawing,
    context: &Context,
    art: &FloorArt,
    (sheets, sheet): (&SheetPlan, &PlacedSheet),
    card: Rect,
) {
    let shown = art.on_key(sheet);
    shown.draw(drawing);
    if let Some(knife) = &shown.knife {
        knife.draw(drawing);
    }
    let middle = sheet.page_window().center();
    arms(drawing, middle, card);
    drawing.rect(
        Layer::Registration,
        card,
        None,
        Some(Stroke::dashed(widths::THIN)),
    );
    let label = KeyRaster::label(card);
    drawing.link(label, to_map(&sheet.label));
    let border = Stroke::solid(widths::FINE).toned(Tone::QUIET);
    drawing.line(Layer::Labels, label.origin(), (label.x0, label.y1), border);
    let distance = |at: Point| at.distance_squared(middle);
    let place = sheets
        .sheets
        .iter()
        .position(|other| other.label == sheet.label);
    let lying = lying(context.plan, sheets, place.unwrap_or(0));
    let own = shown
        .marks
        .iter()
        .min_by(|a, b| distance(a.at).total_cmp(&distance(b.at)));
    if let Some(mark) = own.map(|own| &context.plan.marks[own.index]) {
        let (above, below) = (
            Rect {
                y0: middle.y,
                ..label
            },
            Rect {
                y1: middle.y,
                ..label
            },
        );
        identity(drawing, mark, above.inset(-PADDING_MM));
        numbers(drawing, context, mark, &lying, below.inset(-PADDING_MM));
    }
}

/// Marks whose keys are laid before the one in a place of the order.
fn lying(plan: &FloorPlan, sheets: &SheetPlan, place: usize) -> Vec<usize> {
    let before = sheets.sheets[..place].iter();
    before
        .filter_map(|sheet| plan.marks.iter().position(|mark| mark.id == sheet.label))
        .collect()
}

/// From the ends of the cross to the key's edges, along the vehicle and across it, bold at the edge.
fn arms(drawing: &mut Drawing, middle: Point, card: Rect) {
    let ends = [
        (middle.x, card.y1),
        (middle.x, card.y0),
        (card.x0, middle.y),
        (card.x1, middle.y),
    ]
    .map(Point::from);
    let towards = |from: Point, to: Point| (to - from).normalize();
    let thin = ends.map(|end| Line::new(middle + towards(middle, end) * MarkShape::FULL.arm, end));
    drawing.path(
        Layer::Registration,
        strokes(&thin),
        None,
        Some(Stroke::solid(widths::THIN)),
    );
    let bold = ends.map(|end| Line::new(end + towards(end, middle) * ARM_END_MM, end));
    drawing.path(
        Layer::Registration,
        strokes(&bold),
        None,
        Some(Stroke::solid(widths::WIDE)),
    );
}

/// Which way the key lies, which mark it is for, and what that is, from the top of `room` down.
fn identity(drawing: &mut Drawing, mark: &Mark, room: Rect) {
    let word = Block::bold("FRONT", heights::TEXT);
    arrow(
        drawing,
        Point::new(room.x0 + ARROW_MM * 0.2, room.y1 - ARROW_MM / 2.0),
        Vec2::new(0.0, 1.0),
        ARROW_MM,
    );
    let beside = Point::new(
        room.x0 + ARROW_MM * 0.5,
        room.y1 - (ARROW_MM + word.size.height) / 2.0,
    );
    word.draw(drawing, Layer::Labels, beside, false);

    let sizes = [
        heights::LARGE,
        heights::TITLE,
        heights::HEADING,
        heights::TEXT,
        heights::SMALL,
    ];
    let fits = |height: &f64| text_width(&mark.id, *height, Weight::Bold) <= room.width();
    let height = sizes.into_iter().find(fits).unwrap_or(heights::SMALL);
    let name = Block::bold(
        shorten(&mark.id, room.width(), height, Weight::Bold),
        height,
    );
    let top = room.y1 - ARROW_MM - NAME_GAP_MM - name.size.height;
    name.draw(drawing, Layer::Marks, Point::new(room.x0, top), false);

    let below = Rect {
        y1: top - NAME_GAP_MM,
        ..room
    };
    let all = |height| wrap(&mark.meaning, room.width(), height, Weight::Regular);
    let options = [
        plain(&all(heights::TEXT), heights::TEXT),
        plain(&all(heights::SMALL), heights::SMALL),
    ];
    let cut = wrap_to(
        &mark.meaning,
        room.width(),
        heights::SMALL,
        Weight::Regular,
        MEANING_LINES,
    );
    first_fitting(
        drawing,
        options.into_iter().chain([plain(&cut, heights::SMALL)]),
        below,
    );
}

/// Where the mark lies: coordinates, then its distances from marks that lie and that a tape can lie along; in the upper part of
/// `room`. Their names are shortened only when there is no other way.
fn numbers(drawing: &mut Drawing, context: &Context, mark: &Mark, lying: &[usize], room: Rect) {
    let plan = context.plan;
    let from: Vec<(&str, f64)> = LayingFloor::of(plan)
        .taped_from(plan, mark.at, lying)
        .into_iter()
        .map(|other| {
            (
                plan.marks[other].id.as_str(),
                plan.marks[other].at.distance(mark.at),
            )
        })
        .collect();
    let [mm, inches] = [("mm", mm_text as fn(f64) -> String), ("in", inch_text)]
        .map(|(unit, write)| floor_place(mark.at, |mm| format!("{} {unit}", write(mm))));
    let place: Vec<_> = mm.into_iter().zip(inches).collect();
    // What is taped first; a long name leaves its line to the shorter number in mm, and is cut short last.
    let options = [
        (heights::TEXT, context.inches, false),
        (heights::SMALL, context.inches, false),
        (heights::SMALL, false, false),
        (heights::SMALL, false, true),
    ];
    let blocks = options.map(|(height, inches_first, short)| {
        let mut lines: Vec<(String, f64, Weight)> = Vec::new();
        let mut two = |mm: String, inches: String, inches_alone: String| {
            let (first, below) = if inches_first {
                (inches, mm)
            } else {
                (mm, inches_alone)
            };
            lines.push((first, height, Weight::Regular));
            if context.inches {
                lines.push((below, heights::SMALL, Weight::Regular));
            }
        };
        for (mm, inches) in &place {
            two(mm.clone(), inches.clone(), inches.clone());
        }
        for &(base, distance) in &from {
            let number = format!("from  {} mm", mm_text(distance));
            let rest = text_width(&number, height, Weight::Regular);
            let fitted = shorten(base, room.width() - rest, height, Weight::Regular);
            let from = format!("from {}", if short { &fitted } else { base });
            two(
                format!("{from} {} mm", mm_text(distance)),
                format!("{from} {} in", inch_text(distance)),
                format!("{} in", inch_text(distance)),
            );
        }
        Block::new(&lines)
    });
    first_fitting(drawing, blocks.into_iter(), room);
}

/// Draws the first block that fits at the top of a room.
fn first_fitting(drawing: &mut Drawing, mut blocks: impl Iterator<Item = Block>, room: Rect) {
    let fits = |block: &Block| {
        block.size.width <= room.width() + ROUND_OFF_MM
            && block.size.height <= room.height() + ROUND_OFF_MM
    };
    if let Some(block) = blocks.find(fits) {
        block.draw(
            drawing,
            Layer::Labels,
            Point::new(room.x0, room.y1 - block.size.height),
            false,
        );
    }
}

fn plain(lines: &[String], height: f64) -> Block {
    let lines: Vec<_> = lines
        .iter()
        .map(|line| (line.clone(), height, Weight::Regular))
        .collect();
    Block::new(&lines)
}

/// Check square, bar of four inches, and the notes: in the large square, or beside the small one.
fn proof(
    drawing: &mut Drawing,
    context: &Context,
    raster: &KeyRaster,
    (page, by_hand): (PageNumber, bool),
) {
    let corner = raster.printable.origin() + Vec2::new(HALF_LINE_MM, HALF_LINE_MM);
    let square = CheckSquare::new(raster.square);
    let bar = ScaleBar::four_inches();
    let large = raster.square >= 100.0;
    let size = bar.footprints(0)[usize::from(!large)].size;
    bar.draw(drawing, corner, !large);
    let beside = if large {
        Vec2::new(0.0, size.height)
    } else {
        Vec2::new(size.width, 0.0)
    };
    let at = corner
        + beside
        + if large {
            Vec2::new(0.0, FIGURE_GAP_MM)
        } else {
            Vec2::new(FIGURE_GAP_MM, 0.0)
        };
    square.draw(drawing, at, 0);
    let side = Rect::from_origin_size(at, square.size());
    let room = if large {
        side.inset(-SQUARE_PADDING_MM)
    } else {
        Rect::new(
            side.x1 + FIGURE_GAP_MM,
            raster.printable.y0,
            raster.printable.x1,
            side.y1,
        )
    };
    let all = [heights::TEXT, heights::SMALL]
        .map(|height| key_notes(context, (page, by_hand), height, room.width(), true));
    let least = key_notes(
        context,
        (page, by_hand),
        heights::SMALL,
        room.width(),
        false,
    );
    let fitting = all
        .into_iter()
        .find(|blocks| depth(blocks) <= room.height())
        .unwrap_or(least);
    let mut top = room.y1;
    for block in fitting {
        block.draw(
            drawing,
            Layer::Labels,
            Point::new(room.x0, top - block.size.height),
            false,
        );
        top -= block.size.height + FIGURE_GAP_MM;
    }
}

fn depth(blocks: &[Block]) -> f64 {
    blocks
        .iter()
        .map(|block| block.size.height + FIGURE_GAP_MM)
        .sum()
}

/// What every sheet says, and where wanted how to work with keys.
fn key_notes(
    context: &Context,
    (page, by_hand): (PageNumber, bool),
    height: f64,
    width: f64,
    long: bool,
) -> Vec<Block> {
    let mut blocks = vec![notes(context, page, by_hand, height, width)];
    if long {
        let sentences = keys::in_short(context.plan);
        blocks.extend(
            sentences.map(|text| plain(&wrap(&text, width, height, Weight::Regular), height)),
        );
    }
    blocks
}

#[cfg(test)]
mod tests;

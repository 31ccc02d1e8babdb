//! The scale test of a printer: bars, diagonals and margin rulers on one page, room to write down
//! what they measure, and the command that stores it.

use kurbo::{Line, Point, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths},
    page::{Align, Cell, Column, Flow, Room, Row, Table, clip::strokes, shorten},
    paper::{DIAGONALS_MM, Paper, Printer},
    sheets::shared::ScaleBar,
    units::{MM_PER_INCH, mm_exact},
    words::Section,
};

/// Least paper, mm: rectangle, long bar and rulers side by side; rectangle, heading, bar and rulers
/// one above the other.
const LEAST_PAPER_MM: (f64, f64) = (209.0, 276.0);

/// The bars, mm. The long one lies only on paper that is wide enough.
const BARS_MM: [f64; 2] = [200.0, 250.0];

/// Distance in mm that a bar across keeps from the paper's edges, less than most printers' margins: a
/// bar of 200 mm on paper of 210 mm leaves no more. A bar whose ends are cut off can still be read.
const BAR_CLEARANCE_MM: f64 = 4.5;

/// Marks of a margin ruler, mm from the paper's edge.
const RULER_MM: usize = 16;

/// Distance of a margin ruler's posts, mm: room for a number of two digits.
const POST_PITCH_MM: f64 = 3.4;

/// Half width in mm of the stroke at a post's outer end, the mark itself.
const POST_HALF_MM: f64 = 1.2;

/// Where the posts end and their numbers begin, mm from the paper's edge.
const POST_END_MM: f64 = 17.0;
const NUMBER_MM: f64 = 17.7;

/// Left of the rectangle, on the narrowest paper: ruler, and the lettering of the bar at its side.
const RECTANGLE_LEFT_MM: f64 = 26.5;

/// Foot of the lowest bar across, above the bottom ruler, mm.
const BARS_FOOT_MM: f64 = 26.0;

/// From one bar across's foot to the next one's, and to the rectangle's foot, mm.
const BAR_PITCH_MM: f64 = 10.0;
const RECTANGLE_GAP_MM: f64 = 4.0;

/// Gap in mm between the rectangle and the long upright bar.
const LONG_BAR_GAP_MM: f64 = 3.5;

/// Height in mm of the middle of the left and right ruler: below the bars' lettering.
const SIDE_RULER_MM: f64 = 85.0;

/// Left end in mm of the top and bottom ruler.
const FLAT_RULER_MM: f64 = 30.0;

/// Part of the rectangle, each way, that the text takes; the diagonals end at its corners.
const TEXT_SHARE: f64 = 0.86;

/// Width in mm of the clear edge inside the text's part.
const TEXT_PADDING_MM: f64 = 1.0;

/// Height in mm of a row to write in.
const ROW_MM: f64 = 5.8;

/// Free height in mm above and below the table.
const TABLE_GAP_MM: f64 = 3.0;

/// Composes the scale test. With a profile, and the words after `printer set` that store what is
/// left of its error, bars and diagonals are printed through its correction; the margin rulers count
/// from the page's edges and never are. With `inches`, what bars and diagonals should measure stands in inches too.
///
/// # Errors
/// A sentence when the paper is too small for the bars.
pub fn printer_test(
    paper: &Paper,
    profile: Option<(&Printer, &str)>,
    inches: bool,
) -> Result<Drawing, String> {
    let (width, height) = LEAST_PAPER_MM;
    if paper.width < width || paper.height < height {
        return Err(format!(
            "{} is too small for bars of 200 and 250 mm; expected at least {width} × {height} mm: take A4, Letter or larger",
            paper.name
        ));
    }
    let mut page = Drawing::new("printer scale test", paper.width, paper.height);
    let rectangle = rectangle(paper);
    bars(&mut page, paper, rectangle);
    diagonals(&mut page, rectangle);
    heading(&mut page, paper, profile, rectangle);
    words(
        &mut page,
        paper,
        profile,
        inches,
        text_part(rectangle).inset(-TEXT_PADDING_MM),
    );
    if let Some((printer, _)) = profile {
        page = page.mapped(
            printer
                .correction
                .to_page(Point::new(paper.width / 2.0, paper.height / 2.0)),
        );
    }
    rulers(&mut page, paper);
    Ok(page)
}

/// The bars across that the paper has room for, mm.
fn bars_across(paper: &Paper) -> impl Iterator<Item = f64> {
    let room = paper.width - 2.0 * BAR_CLEARANCE_MM;
    BARS_MM.into_iter().filter(move |length| *length <= room)
}

/// The rectangle of the diagonals; its left side is the upright bar of 200 mm.
fn rectangle(paper: &Paper) -> Rect {
    let x = RECTANGLE_LEFT_MM + (paper.width - LEAST_PAPER_MM.0) / 2.0;
    let y = BARS_FOOT_MM + BAR_PITCH_MM * bars_across(paper).count() as f64 + RECTANGLE_GAP_MM;
    Rect::from_origin_size((x, y), DIAGONALS_MM)
}

fn text_part(rectangle: Rect) -> Rect {
    Rect::from_center_size(rectangle.center(), rectangle.size() * TEXT_SHARE)
}

fn bar(length: f64) -> ScaleBar {
    ScaleBar::new(length, 10.0, &format!("{length} mm"))
}

fn bars(page: &mut Drawing, paper: &Paper, rectangle: Rect) {
    for (index, length) in bars_across(paper).enumerate() {
        let bar = bar(length);
        let x = (paper.width - bar.footprints(0)[0].size.width) / 2.0;
        bar.draw(
            page,
            Point::new(x, BARS_FOOT_MM + BAR_PITCH_MM * index as f64),
            false,
        );
    }
    let [side, long] = BARS_MM.map(bar);
    // The bar's strokes run along the right of its extent, half an end stroke and half a line inside.
    side.draw(page, rectangle.origin() - side.start(true), true);
    let size = long.footprints(0)[1].size;
    long.draw(
        page,
        Point::new(
            rectangle.x1 + LONG_BAR_GAP_MM,
            (paper.height - size.height) / 2.0,
        ),
        true,
    );
}

/// The other three sides of the rectangle, its corners' letters, and its diagonals as far as the text.
fn diagonals(page: &mut Drawing, rectangle: Rect) {
    let Rect { x0, y0, x1, y1 } = rectangle;
    let thin = Stroke::solid(widths::THIN);
    page.polyline(
        Layer::Labels,
        &[(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from),
        thin,
    );
    let inner = text_part(rectangle);
    for (outer, inner) in corners(rectangle).into_iter().zip(corners(inner)) {
        page.line(Layer::Labels, outer, inner, thin);
    }
    let [a, b, c, d] = corners(rectangle);
    let low = Vec2::new(0.0, -heights::HEADING);
    for (letter, at) in [
        ("A", a + Vec2::new(-4.5, 0.0)),
        ("B", b + Vec2::new(3.0, 0.0)),
        ("C", c + Vec2::new(3.0, 0.0) + low),
        ("D", d + Vec2::new(-4.5, 0.0) + low),
    ] {
        page.text(Text::new(at, heights::HEADING, letter).centred().bold());
    }
}

/// Counter-clockwise from the lower left.
fn corners(rect: Rect) -> [Point; 4] {
    [
        (rect.x0, rect.y0),
        (rect.x1, rect.y0),
        (rect.x1, rect.y1),
        (rect.x0, rect.y1),
    ]
    .map(Point::from)
}

fn heading(page: &mut Drawing, paper: &Paper, profile: Option<(&Printer, &str)>, rectangle: Rect) {
    let Rect { x0, x1, y1, .. } = rectangle;
    page.text(Text::new((x0, y1 + 8.5), heights::TITLE, "Printer scale test").bold());
    page.text(
        Text::new(
            (x1, y1 + 8.5),
            heights::TEXT,
            format!("{} · print at 100 %", paper.name),
        )
        .right(),
    );
    let printer = profile.map_or_else(
        || "printed without a correction".to_owned(),
        |(printer, _)| format!("printed through the profile {}", printer.label()),
    );
    let printer = shorten(&printer, x1 - x0, heights::TEXT, Weight::Regular);
    page.text(Text::new((x0, y1 + 3.0), heights::TEXT, printer));
}

/// Steps, room to write, and the command, from the top of `part` down.
fn words(
    page: &mut Drawing,
    paper: &Paper,
    profile: Option<(&Printer, &str)>,
    inches: bool,
    part: Rect,
) {
    let mut y = part.y1;
    let flow = |page: &mut Drawing, y: f64, sections: &[Section]| {
        let mut flow = Flow::new(sections, part.width());
        // A hair more than the lines need, so that rounding does not drop the last one.
        let depth = flow.depth();
        flow.fill(
            page,
            Rect {
                y0: y - depth - 0.1,
                y1: y,
                ..part
            },
        );
        y - depth
    };
    y = flow(page, y, &[measuring(paper, inches)]) - TABLE_GAP_MM;
    let form = form(paper, inches)
        .lay_out(part.width())
        .expect("the form's words are narrower than the text's part");
    form.place(page, part.x0, y);
    y -= form.height + TABLE_GAP_MM;
    flow(page, y, &[judging(profile), storing(profile)]);
}

fn section(heading: &str, paragraphs: &[&str], numbered: bool) -> Section {
    let paragraphs = paragraphs.iter().map(|&text| text.to_owned()).collect();
    Section {
        heading: heading.to_owned(),
        paragraphs,
        numbered,
    }
}

fn measuring(paper: &Paper, inches: bool) -> Section {
    let print = format!(
        "Print on {} paper, upright, at 100 % or “actual size”. No “fit”, no “shrink”.",
        paper.name
    );
    let measure = if inches {
        "Measure with a steel rule from end stroke to end stroke, to 0.01 in (0.2 mm) or better. Write it down with its unit, as in “7.87 in”; a number alone is mm. Where a bar’s ends are cut off, measure 180 mm of both bars (7.087 in, tick to tick) and put --of 180."
    } else {
        "Measure with a steel rule from end stroke to end stroke, to 0.2 mm or better, and write it down. Where a bar’s ends are cut off, measure 180 mm of both bars and put --of 180."
    };
    let steps = [
        print.as_str(),
        measure,
        "Margins: the strokes of the rulers at the four edges lie as many mm from the edge as their numbers say. Write down the smallest number whose stroke you can see.",
    ];
    section("Print and measure", &steps, true)
}

fn form(paper: &Paper, inches: bool) -> Table {
    let column = |heading: &str, align, room| Column::new(heading, align, room);
    // A number of mm, or nothing for what is written down as it is read.
    let row = |what: &str, wanted: Option<f64>, flag: &str, starts_group| Row {
        cells: vec![
            Cell::Text(what.to_owned()),
            Cell::Text(wanted.map_or_else(String::new, |mm| should_be(mm, inches))),
            Cell::Write,
            Cell::Text(flag.to_owned()),
        ],
        starts_group,
    };
    let mut rows = vec![
        row("bar across", Some(200.0), "--x", true),
        row("upright bar A–D", Some(200.0), "--y", false),
    ];
    if bars_across(paper).count() > 1 {
        rows.push(row(
            "long bar across",
            Some(250.0),
            "1.25 × the bar of 200",
            false,
        ));
    }
    rows.push(row(
        "long upright bar",
        Some(250.0),
        "1.25 × the bar of 200",
        false,
    ));
    let diagonal = Some(DIAGONALS_MM.0.hypot(DIAGONALS_MM.1));
    rows.push(row("diagonal A–C", diagonal, "--diagonal-up", true));
    rows.push(row("diagonal D–B", diagonal, "--diagonal-down", false));
    for (index, edge) in ["left", "right", "top", "bottom"].into_iter().enumerate() {
        rows.push(row(
            &format!("{edge} ruler"),
            None,
            &format!("--margin-{edge}"),
            index == 0,
        ));
    }
    let (wanted, measured) = if inches {
        ("should be,\nmm (in)", "measured,\nwith its unit")
    } else {
        ("should\nbe, mm", "measured,\nmm")
    };
    Table {
        columns: vec![
            column("what", Align::Left, Room::Content),
            column(wanted, Align::Right, Room::Content),
            column(measured, Align::Left, Room::Rest(22.0)),
            column("goes to", Align::Left, Room::Content),
        ],
        rows,
        lettering: heights::TEXT,
        headings: heights::SMALL,
        row_height: ROW_MM,
    }
}

/// A length in mm, with inches to a thousandth behind it: a steel rule shows hundredths.
fn should_be(mm: f64, inches: bool) -> String {
    let text = mm_exact(mm, 1);
    if inches {
        format!("{text} ({:.3})", mm / MM_PER_INCH)
    } else {
        text
    }
}

fn judging(profile: Option<(&Printer, &str)>) -> Section {
    let mut sentences = Vec::new();
    if profile.is_some() {
        sentences.push(
            "Bars and diagonals should now be right within 0.3 mm. Then there is nothing to store.",
        );
    }
    sentences.push(
        "More than 3 % off, 6 mm of 200: the print dialog scaled the page. Print again at 100 %.",
    );
    sentences.push("Diagonals that differ by more than 0.3 mm show skew. A–C longer: upright lines lean to the right. D–B longer: to the left. If they agree, leave the two diagonals out.");
    section("Judge", &sentences, false)
}

fn storing(profile: Option<(&Printer, &str)>) -> Section {
    let target = profile.map_or("NAME", |(_, target)| target);
    let command = format!(
        "baystencil printer set {target} --x … --y … --of 200 --diagonal-up … --diagonal-down … --margin-left … --margin-right … --margin-top … --margin-bottom …"
    );
    let then = if profile.is_some() {
        "--on-top adds what is left to the correction that this page was printed through."
    } else {
        "NAME is what jobs call the printer: printer = \"NAME\". Print this test again with --printer NAME to see that it is right."
    };
    section("Store", &[&command, then], false)
}

/// The rulers at the four edges, in page mm.
fn rulers(page: &mut Drawing, paper: &Paper) {
    let (width, height) = (paper.width, paper.height);
    let length = POST_PITCH_MM * RULER_MM as f64;
    let side = SIDE_RULER_MM - length / 2.0;
    let left = FLAT_RULER_MM;
    ruler(
        page,
        Point::new(0.0, side),
        Vec2::new(1.0, 0.0),
        Vec2::new(0.0, 1.0),
    );
    ruler(
        page,
        Point::new(width, side),
        Vec2::new(-1.0, 0.0),
        Vec2::new(0.0, 1.0),
    );
    ruler(
        page,
        Point::new(left, height),
        Vec2::new(0.0, -1.0),
        Vec2::new(1.0, 0.0),
    );
    ruler(
        page,
        Point::new(left, 0.0),
        Vec2::new(0.0, 1.0),
        Vec2::new(1.0, 0.0),
    );
}

/// Posts from every whole mm inwards, side by side from `start` on the edge along it; each has its
/// mark at its outer end and its number at its inner end, where every printer prints.
fn ruler(page: &mut Drawing, start: Point, inward: Vec2, along: Vec2) {
    let (mut marks, mut posts) = (Vec::new(), Vec::new());
    for mm in 0..=RULER_MM {
        let foot = start + along * (POST_PITCH_MM * mm as f64);
        let at = foot + inward * mm as f64;
        marks.push(Line::new(
            at - along * POST_HALF_MM,
            at + along * POST_HALF_MM,
        ));
        posts.push(Line::new(at, foot + inward * POST_END_MM));
        let edge = foot + inward * NUMBER_MM;
        let number = Text::new(edge, heights::SMALL, mm.to_string());
        // Upright on all four edges.
        let half = Vec2::new(0.0, heights::SMALL / 2.0);
        page.text(match (inward.x, inward.y) {
            (x, _) if x > 0.0 => Text {
                at: edge - half,
                ..number
            },
            (x, _) if x < 0.0 => Text {
                at: edge - half,
                ..number
            }
            .right(),
            (_, y) if y > 0.0 => number.centred(),
            _ => Text {
                at: edge - half * 2.0,
                ..number
            }
            .centred(),
        });
    }
    page.path(
        Layer::Labels,
        strokes(&posts),
        None,
        Some(Stroke::solid(widths::FINE).toned(Tone::QUIET)),
    );
    page.path(
        Layer::Labels,
        strokes(&marks),
        None,
        Some(Stroke::solid(widths::THIN)),
    );
}

#[cfg(test)]
mod tests;

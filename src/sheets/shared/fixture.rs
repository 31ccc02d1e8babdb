//! Layouts and sheet plans made by hand, for the tests of this room.

use kurbo::{Point, Rect, Vec2};

use super::Context;
use crate::{
    cover::{ChosenCell, Content, Heading, Join, Mode, SheetFormat, SheetPlan, lay},
    effort::Takes,
    job::Record,
    paper::{Correction, Margins, Paper},
    plan::{
        Check, CheckKind, FloorNeed, FloorPlan, Line, Mark, Panel, PanelShape, TemplateEcho,
        ValueEcho, VehicleOnFloor, Wheel,
    },
    survey::{Precision, SettingOutSteps},
};

/// Upright A5 (ISO 216).
pub const A5: (&str, f64, f64) = ("A5", 148.0, 210.0);
/// Upright A4 (ISO 216).
pub const A4: (&str, f64, f64) = ("A4", 210.0, 297.0);
/// Upright Letter (ANSI/ASME Y14.1: 8.5 in × 11 in).
pub const LETTER: (&str, f64, f64) = ("Letter", 215.9, 279.4);

/// A sheet format with default margins and 10 mm overlap.
pub fn format((name, width, height): (&str, f64, f64)) -> SheetFormat {
    let paper = Paper {
        name: name.to_owned(),
        width,
        height,
    };
    SheetFormat {
        paper,
        margins: Margins::default(),
        overlap: 10.0,
        correction: Correction::default(),
    }
}

/// What a layout takes when it is set out by hand.
pub fn takes(plan: &FloorPlan) -> Takes {
    let precision = Precision::default();
    Takes::by_hand(
        plan,
        &precision,
        &SettingOutSteps::of(plan, &precision, false),
    )
}

/// A layout of named marks, strips (from, to, width) and no panels, about an invented van.
pub fn plan(marks: &[(&str, f64, f64)], lines: &[(usize, usize, f64)]) -> FloorPlan {
    let wheel = |x: f64, y: f64| Wheel {
        centre: Point::new(x, y),
        width: 205.0,
        diameter: 660.0,
    };
    FloorPlan {
        vehicle: VehicleOnFloor {
            name: "delivery van (demo)".to_owned(),
            source: "invented".to_owned(),
            sources: Vec::new(),
            demonstration: true,
            front_x: 900.0,
            rear_x: -4100.0,
            half_width: 925.0,
            half_width_over_mirrors: 1080.0,
            wheels: [
                wheel(0.0, 800.0),
                wheel(0.0, -800.0),
                wheel(-3000.0, 800.0),
                wheel(-3000.0, -800.0),
            ],
            badge_offset: 0.0,
            dimensions: vec![
                ("wheelbase".to_owned(), 3000.0),
                ("front_track".to_owned(), 1600.0),
            ],
            tyre_code: None,
        },
        template: TemplateEcho {
            name: "surround-view grid (demo)".to_owned(),
            purpose: "Tape grid for four surround-view cameras.".to_owned(),
            demonstration: true,
            origin: crate::template::Datum::FrontAxle,
            values: vec![ValueEcho {
                name: "side_gap".to_owned(),
                meaning: "tyre to rail".to_owned(),
                value: 400.0,
                unit: "mm",
                demonstration: true,
            }],
        },
        marks: marks.iter().map(|&(id, x, y)| mark(id, x, y)).collect(),
        lines: lines
            .iter()
            .map(|&(from, to, width)| Line::new(from, to, width))
            .collect(),
        panels: Vec::new(),
        tape_base: [0, marks.len() - 1],
        checks: vec![Check {
            id: "D1".to_owned(),
            kind: CheckKind::Diagonal,
            from: 0,
            to: marks.len() - 1,
            distance: 5000.0,
            tolerance: 4.0,
            through_wheel: false,
        }],
        lays: Vec::new(),
        proofs: Vec::new(),
        floor: FloorNeed {
            needed: Rect::new(-5000.0, -2000.0, 2500.0, 2000.0),
            bay: None,
            limits: None,
        },
        preparation: vec!["Level floor, tyres at pressure".to_owned()],
        closing: vec!["Check the picture in reverse gear".to_owned()],
        mat: None,
    }
}

fn mark(id: &str, x: f64, y: f64) -> Mark {
    Mark {
        id: id.to_owned(),
        at: Point::new(x, y),
        tolerance: 5.0,
        meaning: "test mark".to_owned(),
        station: id
            .chars()
            .next()
            .and_then(|c| c.to_digit(10))
            .map(|digit| digit as usize),
        two_tape: [1000.0, 2000.0],
    }
}

/// A whole grid about the van: two rails and four cross lines, strips 60 mm wide.
pub fn grid_plan() -> FloorPlan {
    let stations = [2000.0, 0.0, -3000.0, -4900.0];
    let mut marks = Vec::new();
    for (index, x) in stations.iter().enumerate() {
        marks.push((format!("{}L", index + 1), *x, 1350.0));
        marks.push((format!("{}R", index + 1), *x, -1350.0));
    }
    marks.push(("1C".to_owned(), 2000.0, 0.0));
    marks.push(("4C".to_owned(), -4900.0, 0.0));
    let marks: Vec<(&str, f64, f64)> = marks
        .iter()
        .map(|(id, x, y)| (id.as_str(), *x, *y))
        .collect();
    let mut lines = vec![(0, 6, 60.0), (1, 7, 60.0)];
    lines.extend([(0, 1, 60.0), (2, 3, 60.0), (4, 5, 60.0), (6, 7, 60.0)]);
    let mut plan = plan(&marks, &lines);
    plan.tape_base = [8, 9];
    plan
}

/// Two strips of `width` mm crossing at a mark at `at`.
pub fn crossing(at: (f64, f64), width: f64) -> FloorPlan {
    let (x, y) = at;
    let marks = [
        ("2L", x, y),
        ("1L", x + 900.0, y),
        ("3L", x - 900.0, y),
        ("2C", x, y - 900.0),
        ("E", x, y + 900.0),
    ];
    plan(&marks, &[(2, 1, width), (3, 4, width)])
}

/// A chequer of 1 m with 100 mm cells, its middle on a mark at `at`, over two crossing strips.
pub fn panelled(at: (f64, f64), cell: f64) -> FloorPlan {
    let mut plan = crossing(at, 60.0);
    let cells = (1000.0 / cell).round() as usize;
    let shape = PanelShape::of("chequer", &[cells, cells], &[cell]);
    plan.panels.push(Panel {
        mark: 0,
        shape,
        turn: 0.0,
        shift: (0.0, 0.0),
    });
    plan
}

/// Sheets in a regular grid, `up` rows by `right` columns of pages, the lowest left page showing
/// `origin` at its printable lower left corner. `keep` says which (row from the page's top, column
/// from the page's left) exist.
pub fn sheets(
    format: &SheetFormat,
    heading: Heading,
    origin: (f64, f64),
    (rows, columns): (usize, usize),
    keep: impl Fn(usize, usize) -> bool,
) -> SheetPlan {
    let pitch = format.printable().inset(-format.cut_depth()).size();
    let page_to_floor = |v: Vec2| match heading {
        Heading::FrontUp => Vec2::new(v.y, -v.x),
        Heading::FrontRight => v,
    };
    let mut cells: Vec<(usize, usize)> = (0..rows)
        .flat_map(|r| (0..columns).map(move |c| (r, c)))
        .collect();
    cells.retain(|&(row, column)| keep(row, column));
    // Laid from the page's lower right.
    cells.sort_by_key(|&cell| std::cmp::Reverse(cell));
    let chosen = cells.iter().map(|&(row, column)| {
        let corner = Vec2::new(
            column as f64 * pitch.width,
            (rows - 1 - row) as f64 * pitch.height,
        );
        let low = Point::from(origin)
            + page_to_floor(corner + Vec2::new(format.cut_depth(), format.cut_depth()));
        let high = low + page_to_floor(Vec2::new(pitch.width, pitch.height));
        ChosenCell {
            cell: Rect::from_points(low, high),
            heading,
        }
    });
    lay(
        chosen.collect(),
        format,
        Mode::Grid,
        &Content::default(),
        Join::All,
    )
}

/// A context over a plan, with a printer of no special name.
pub fn context<'a>(plan: &'a FloorPlan, record: &'a Record, inches: bool) -> Context<'a> {
    Context {
        plan,
        record,
        inches,
        printer: "office laser",
    }
}

/// Named layouts with sheets over them, from easy to crowded, on several papers.
pub fn cases() -> Vec<(String, FloorPlan, SheetPlan)> {
    let mut cases = Vec::new();
    for paper in [A5, A4, LETTER] {
        let format = format(paper);
        let (w, h) = (format.printable().width(), format.printable().height());
        let corrected = SheetFormat {
            correction: Correction::measured(198.0, 203.0, 200.0, 0.2),
            ..format.clone()
        };
        let mut case = |name: &str, plan: FloorPlan, heading: Heading, count: (usize, usize)| {
            // Sheets so that the origin of the floor lies in the middle of the first page from the lower left.
            let origin = if heading == Heading::FrontUp {
                (-h / 2.0, w / 2.0)
            } else {
                (-w / 2.0, -h / 2.0)
            };
            let format = if name == "corrected" {
                &corrected
            } else {
                &format
            };
            let sheets = sheets(format, heading, origin, count, |_, _| true);
            cases.push((format!("{} {name}", paper.0), plan, sheets));
        };
        let right = Heading::FrontRight;
        let up = Heading::FrontUp;
        case(
            "crossing in the middle",
            crossing((0.0, 0.0), 60.0),
            up,
            (3, 3),
        );
        case(
            "crossing turned",
            crossing((0.0, 0.0), 100.0),
            right,
            (3, 3),
        );
        case("corrected", crossing((20.0, 30.0), 50.0), up, (2, 2));
        case(
            "band along the edge",
            crossing((h / 2.0 - 12.0, -w / 2.0 + 12.0), 50.0),
            up,
            (2, 2),
        );
        case(
            "mark at the seam",
            crossing((10.0, -w / 2.0 + 5.0), 60.0),
            up,
            (2, 2),
        );
        case(
            "panel everywhere",
            panelled((100.0, -100.0), 100.0),
            up,
            (2, 2),
        );
        case("fine panel", panelled((0.0, 0.0), 50.0), right, (2, 2));
        case("alone", crossing((0.0, 0.0), 60.0), right, (1, 1));
    }
    cases
}

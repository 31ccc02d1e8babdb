//! Strips over hand-made layouts whose answers can be counted on paper.

use super::*;
use crate::{
    cover::Edge,
    paper::{Correction, LONGEST_PAGE_MM, Margins, Roll},
};

/// A roll that prints 900 of its 910 mm: lanes of 890 mm; a page is 40 mm longer than its cell.
fn format() -> SheetFormat {
    let roll = Roll {
        name: "test roll".into(),
        width: 910.0,
    };
    SheetFormat {
        paper: roll.page(LONGEST_PAGE_MM),
        margins: Roll::MARGINS,
        overlap: 10.0,
        correction: Correction::default(),
    }
}

fn strip(from: (f64, f64), to: (f64, f64)) -> Vec<Point> {
    corners(Rect::from_points(Point::from(from), Point::from(to))).to_vec()
}

fn laid(regions: Vec<Vec<Point>>, mode: Mode) -> SheetPlan {
    cover_roll(
        &Content {
            regions,
            ..Content::default()
        },
        &format(),
        50.0,
        mode,
    )
    .unwrap()
}

fn lengths(plan: &SheetPlan) -> Vec<f64> {
    plan.sheets.iter().map(|sheet| sheet.paper.height).collect()
}

/// Every point of every region lies in some cell (checked on a lattice of 7 mm and at the corners), and no page is
/// wider than the roll or longer than a PDF page.
fn assert_sound(plan: &SheetPlan, regions: &[Vec<Point>]) {
    let depth = plan.format.cut_depth() - 1e-6;
    let cells: Vec<Rect> = plan
        .sheets
        .iter()
        .map(|sheet| sheet.floor_window().inset(-depth))
        .collect();
    for region in regions {
        let around = bounds(region);
        for i in 0..=(around.width() / 7.0) as usize {
            for j in 0..=(around.height() / 7.0) as usize {
                let at = Point::new(around.x0 + 7.0 * i as f64, around.y0 + 7.0 * j as f64);
                let inside = region
                    .iter()
                    .zip(region.iter().cycle().skip(1))
                    .all(|(p, q)| (*q - *p).cross(at - *p) >= 0.0);
                let shown = cells
                    .iter()
                    .any(|c| c.x0 <= at.x && at.x <= c.x1 && c.y0 <= at.y && at.y <= c.y1);
                assert!(!inside || shown, "{at:?} is in no cell");
            }
        }
    }
    for sheet in &plan.sheets {
        assert!(
            sheet.paper.height <= LONGEST_PAGE_MM + 1e-9
                && sheet.paper.width == plan.format.paper.width
        );
    }
    let roll = plan.roll.unwrap();
    assert!(
        (roll.length - lengths(plan).iter().sum::<f64>()).abs() < 1e-9 && roll.least <= roll.length
    );
    assert!(plan.pages >= plan.lower_bound);
}

#[test]
fn a_field_as_wide_as_a_lane_is_one_strip_along_its_length() {
    for (to, heading) in [
        ((3000.0, 800.0), Heading::FrontUp),
        ((800.0, 3000.0), Heading::FrontRight),
    ] {
        let regions = vec![strip((0.0, 0.0), to)];
        let plan = laid(regions.clone(), Mode::Lines);
        // 3000 mm, 10 mm clear at both ends, 10 mm overlap, 30 mm blank ends; across it would be four of 840 mm and more.
        assert_eq!(
            (plan.sheets[0].heading, lengths(&plan)),
            (heading, vec![3060.0])
        );
        assert_sound(&plan, &regions);
    }
}

#[test]
fn a_lone_tape_strip_takes_less_paper_in_short_pieces_across_the_roll() {
    let regions = vec![strip((0.0, 0.0), (1700.0, 50.0))];
    let plan = laid(regions.clone(), Mode::Lines);
    // Two lanes of 890 mm with the least cell of 130 mm each, against 1760 mm along.
    assert_eq!(
        (plan.sheets[0].heading, lengths(&plan)),
        (Heading::FrontRight, vec![170.0, 170.0])
    );
    assert_sound(&plan, &regions);
}

#[test]
fn a_blank_stretch_is_left_out_where_that_saves_more_than_it_costs() {
    let field = |x: f64| strip((x, 0.0), (x + 1500.0, 880.0));
    // Blank ends and overlap take 40 mm of a gap, the clear ends 20 mm: 360 mm are not worth a cut, 370 mm are.
    for (gap, pieces) in [(360.0, 1), (370.0, 2)] {
        let regions = vec![field(0.0), field(1500.0 + gap)];
        let plan = laid(regions.clone(), Mode::Lines);
        assert_eq!(
            (plan.sheets[0].heading, plan.sheets.len()),
            (Heading::FrontUp, pieces),
            "{gap}"
        );
        assert_sound(&plan, &regions);
        assert_eq!(
            laid(regions, Mode::Full).sheets.len(),
            1,
            "the full mat leaves nothing out"
        );
    }
}

#[test]
fn a_run_longer_than_a_page_is_divided_and_joined_by_two_registration_marks() {
    let regions = vec![strip((0.0, 0.0), (12_000.0, 880.0))];
    let content = Content {
        regions: regions.clone(),
        marks: vec![Point::new(4000.0, 400.0)],
        ..Content::default()
    };
    let plan = cover_roll(&content, &format(), 50.0, Mode::Lines).unwrap();
    assert_eq!(
        (plan.sheets.len(), plan.joints.len(), plan.lower_bound),
        (3, 2, 3)
    );
    assert_sound(&plan, &regions);
    for joint in &plan.joints {
        assert_eq!(
            joint.edge,
            Edge::Bottom,
            "the sheet in front lies on top, cut at its lower edge"
        );
        assert!(
            (joint.seam.p0.x - 4000.0).abs() >= MARK_CLEARANCE_MM,
            "the seam {:?} cuts the mark",
            joint.seam
        );
    }
}

#[test]
fn lanes_side_by_side_are_joined_and_cut_at_the_right() {
    let regions = vec![strip((0.0, 0.0), (4900.0, 1700.0))];
    let plan = laid(regions.clone(), Mode::Lines);
    assert_eq!((plan.sheets.len(), plan.joints.len()), (2, 1));
    assert_eq!(plan.joints[0].edge, Edge::Right);
    assert_eq!(plan.sheets[plan.joints[0].over].label, "2");
    assert_sound(&plan, &regions);
}

#[test]
fn slanting_lines_and_far_islands_are_covered_too() {
    let slant = [
        (0.0, 0.0),
        (30.0, -30.0),
        (3030.0, 2970.0),
        (3000.0, 3000.0),
    ]
    .map(Point::from)
    .to_vec();
    let regions = vec![
        slant,
        strip((9000.0, -4000.0), (9400.0, -3600.0)),
        strip((-3000.0, 800.0), (500.0, 850.0)),
    ];
    for mode in [Mode::Lines, Mode::Grid, Mode::Full] {
        assert_sound(&laid(regions.clone(), mode), &regions);
    }
}

#[test]
fn a_roll_too_narrow_for_its_margins_or_a_tape_strip_is_refused() {
    let content = Content {
        regions: vec![strip((0.0, 0.0), (1000.0, 150.0))],
        ..Content::default()
    };
    let roll = |width: f64, margins: Margins| {
        let paper = Paper {
            name: "test".into(),
            width,
            height: LONGEST_PAGE_MM,
        };
        cover_roll(
            &content,
            &SheetFormat {
                paper,
                margins,
                ..format()
            },
            150.0,
            Mode::Lines,
        )
        .unwrap_err()
    };
    let wide = Margins {
        left: 60.0,
        right: 60.0,
        ..Roll::MARGINS
    };
    assert_eq!(
        roll(110.0, wide),
        CoverError::RollMargins {
            width: 110.0,
            margins: 120.0
        }
    );
    assert!(matches!(
        roll(169.0, Roll::MARGINS),
        CoverError::RollNarrow { line: 150.0, .. }
    ));
    assert!(matches!(
        cover_roll(&Content::default(), &format(), 0.0, Mode::Lines),
        Err(CoverError::Nothing)
    ));
}

#[test]
fn a_corrected_roll_shows_the_same_floor_on_pages_as_much_shorter_as_they_come_out_longer() {
    let regions = vec![
        strip((0.0, 0.0), (3000.0, 800.0)),
        strip((0.0, 2000.0), (140.0, 2800.0)),
    ];
    let content = Content {
        regions: regions.clone(),
        ..Content::default()
    };
    let windows = |plan: &SheetPlan| {
        plan.sheets
            .iter()
            .map(|sheet| sheet.floor_window())
            .collect::<Vec<_>>()
    };
    let plain = laid(regions.clone(), Mode::Lines);
    for y in [195.0, 203.0, 206.0] {
        let corrected = SheetFormat {
            correction: Correction::measured(200.0, y, 200.0, 0.0),
            ..format()
        };
        let plan = cover_roll(&content, &corrected, 50.0, Mode::Lines).unwrap();
        assert_sound(&plan, &regions);
        assert_eq!(windows(&plan).len(), windows(&plain).len());
        for (one, other) in windows(&plan).iter().zip(windows(&plain)) {
            assert!(
                (one.size() - other.size()).to_vec2().hypot() < 1e-6,
                "{y}: {one:?} {other:?}"
            );
        }
        for (one, other) in plan.sheets.iter().zip(&plain.sheets) {
            let shown = [one, other].map(|sheet| sheet.paper.height - 30.0);
            assert!(
                (shown[0] * y / 200.0 - shown[1]).abs() < 1e-6,
                "{y}: {shown:?}"
            );
        }
    }
}

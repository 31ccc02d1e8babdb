//! What holds of sheets over any content.

use kurbo::{Line, Point, Rect, Vec2};
use proptest::prelude::*;

use super::{Content, Mode, SheetFormat, SheetPlan, content::Strip, cover, island::bare};
use crate::{
    paper::{Correction, Margins, Paper},
    plan::corners,
    property_tests::seeded,
    units::ROUND_OFF_MM,
};

/// Half of the square about a mark that has to be shown, mm.
const MARK_HALF_MM: f64 = 5.0;

/// What of a region may be left bare: slivers of rounding, mm².
const SLIVER_MM2: f64 = 1e-3;

fn content(strips: &[(Line, f64)]) -> Content {
    let band = |(axis, width): &(Line, f64)| {
        let along = (axis.p1 - axis.p0).normalize();
        let left = Vec2::new(-along.y, along.x) * (width / 2.0);
        vec![
            axis.p0 + left,
            axis.p0 - left,
            axis.p1 - left,
            axis.p1 + left,
        ]
    };
    let marks: Vec<Point> = strips
        .iter()
        .flat_map(|(axis, _)| [axis.p0, axis.p1])
        .collect();
    let square = |at: &Point| {
        let side = 2.0 * MARK_HALF_MM;
        corners(Rect::from_center_size(*at, (side, side))).to_vec()
    };
    Content {
        regions: strips
            .iter()
            .map(band)
            .chain(marks.iter().map(square))
            .collect(),
        strips: strips
            .iter()
            .map(|&(axis, width)| Strip { axis, width })
            .collect(),
        marks,
        ..Content::default()
    }
}

/// Strips along and across, on places of a floor that they share so that some meet, and now and then one that slants.
fn strips() -> impl Strategy<Value = Vec<(Line, f64)>> {
    let place = || (0..5_usize, 0..4_usize);
    let strip = (
        place(),
        place(),
        0..5_u8,
        prop::sample::select(vec![10.0, 25.0, 50.0, 60.0]),
    );
    let steps = (
        prop::collection::vec(60.0..700.0_f64, 5),
        prop::collection::vec(60.0..700.0_f64, 4),
    );
    (prop::collection::vec(strip, 1..5), steps).prop_filter_map("no strip", |(strips, (xs, ys))| {
        let sum = |steps: &[f64], count: usize| steps[..=count].iter().sum::<f64>();
        let at = |(x, y): (usize, usize)| Point::new(sum(&xs, x), sum(&ys, y));
        let ends = strips.into_iter().map(|(from, to, way, width)| {
            let to = match way {
                0 | 1 => (to.0, from.1),
                2 | 3 => (from.0, to.1),
                _ => to,
            };
            (Line::new(at(from), at(to)), width)
        });
        let strips: Vec<(Line, f64)> = ends.filter(|(axis, _)| axis.p0 != axis.p1).collect();
        (!strips.is_empty()).then_some(strips)
    })
}

fn formats() -> impl Strategy<Value = SheetFormat> {
    let paper = prop::sample::select(vec!["A4", "Letter", "A3"]);
    let margins = prop::array::uniform4(5.0..20.0_f64);
    (paper, margins, 8.0..25.0_f64).prop_map(|(paper, [left, right, top, bottom], overlap)| {
        SheetFormat {
            paper: Paper::parse(paper).unwrap(),
            margins: Margins {
                left,
                right,
                top,
                bottom,
            },
            overlap,
            correction: Correction::default(),
        }
    })
}

fn modes() -> impl Strategy<Value = Mode> {
    prop::sample::select(vec![Mode::Lines, Mode::Grid, Mode::Full])
}

fn area(polygon: &[Point]) -> f64 {
    let twice: f64 = (0..polygon.len())
        .map(|index| {
            polygon[index]
                .to_vec2()
                .cross(polygon[(index + 1) % polygon.len()].to_vec2())
        })
        .sum();
    twice.abs() / 2.0
}

fn kept(plan: &SheetPlan) -> impl Iterator<Item = Rect> {
    (0..plan.sheets.len()).map(|index| plan.kept_floor(index))
}

/// True for a rectangle within another, but for rounding.
fn within(outer: Rect, inner: Rect) -> bool {
    let outer = outer.inflate(ROUND_OFF_MM, ROUND_OFF_MM);
    outer.union(inner) == outer
}

proptest! {
    #![proptest_config(seeded(24))]

    #[test]
    fn everything_is_on_paper_once_the_sheets_are_cut(strips in strips(), format in formats(), mode in modes()) {
        let content = content(&strips);
        let plan = cover(&content, &format, mode).unwrap();
        let bare: f64 = bare(&content.regions, kept(&plan)).iter().map(|part| area(part)).sum();
        prop_assert!(bare < SLIVER_MM2, "{bare} mm² are on no sheet");
    }

    #[test]
    fn sheets_are_no_fewer_than_the_bound_and_free_ones_no_more_than_a_grid(strips in strips(), format in formats()) {
        let content = content(&strips);
        let [free, grid, full] = [Mode::Lines, Mode::Grid, Mode::Full].map(|mode| cover(&content, &format, mode).unwrap());
        prop_assert!((1..=free.pages).contains(&free.lower_bound), "{} of {}", free.lower_bound, free.pages);
        prop_assert!(free.pages <= grid.pages && grid.pages <= full.pages);
        prop_assert!(grid.lower_bound <= grid.pages && full.lower_bound <= full.pages);
    }

    #[test]
    fn every_window_is_printable_true_to_scale_and_numbered_in_the_order_of_laying(
        strips in strips(), format in formats(), mode in modes(),
    ) {
        let plan = cover(&content(&strips), &format, mode).unwrap();
        for (index, sheet) in plan.sheets.iter().enumerate() {
            prop_assert!(within(format.printable(), sheet.page_window()), "{sheet:?}");
            let [a, b, c, d, ..] = sheet.floor_to_page.as_coeffs();
            prop_assert!((a * d - b * c - 1.0).abs() < ROUND_OFF_MM && (a * c + b * d).abs() < ROUND_OFF_MM);
            prop_assert_eq!(&sheet.label, &(index + 1).to_string());
        }
        prop_assert_eq!(plan.pages, plan.sheets.len());
    }

    #[test]
    fn joined_sheets_share_their_seam_and_its_marks_and_the_later_one_lies_on_top(
        strips in strips(), format in formats(), mode in modes(),
    ) {
        let plan = cover(&content(&strips), &format, mode).unwrap();
        for joint in &plan.joints {
            prop_assert!(joint.under < joint.over, "{joint:?}");
            let [over, under] = [joint.over, joint.under].map(|index| &plan.sheets[index]);
            prop_assert!(over.is_cut(joint.edge));
            let seam = Rect::from_points(joint.seam.p0, joint.seam.p1);
            prop_assert!(within(over.floor_window(), seam) && within(under.floor_window(), seam), "{joint:?}");
            for mark in joint.registration {
                let at = plan.registration[mark].at;
                prop_assert!(within(seam, Rect::from_points(at, at)), "{at:?} off {joint:?}");
                prop_assert!(over.registration.contains(&mark) && under.registration.contains(&mark));
            }
        }
        let mut names: Vec<&str> = plan.registration.iter().map(|mark| mark.id.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        prop_assert_eq!(names.len(), plan.registration.len());
    }

    #[test]
    fn strips_square_to_the_vehicle_take_as_many_sheets_wherever_they_lie(
        strips in strips(), format in formats(), by in (-4000..4000_i32, -4000..4000_i32),
    ) {
        // Others are laid to a raster of the floor, which serves some places better.
        let strips: Vec<(Line, f64)> =
            strips.into_iter().filter(|(axis, _)| axis.p0.x == axis.p1.x || axis.p0.y == axis.p1.y).collect();
        prop_assume!(!strips.is_empty());
        let by = Vec2::new(f64::from(by.0), f64::from(by.1));
        let moved: Vec<(Line, f64)> = strips.iter().map(|(axis, width)| (Line::new(axis.p0 + by, axis.p1 + by), *width)).collect();
        let counts = [&strips, &moved].map(|strips| {
            let plan = cover(&content(strips), &format, Mode::Lines).unwrap();
            (plan.pages, plan.lower_bound)
        });
        prop_assert_eq!(counts[0], counts[1]);
    }
}

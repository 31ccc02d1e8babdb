//! The vehicle from its left side and from above, with every dimension numbered as the rows are. A picture of no vehicle in
//! particular: what matters are the points that are plumbed. The badge stands further off its centreline than a badge would, or
//! nobody would see it.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape, Size};

use super::dimension::Dimension;
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    sheets::shared::arrow,
    words::printed::measuring::{FRONT, LENGTH, ROWS, SIDES, VIEWS},
};

/// Size of the picture, mm.
pub const PICTURE_MM: Size = Size::new(178.0, 58.0);

// The vehicle drawn, mm: x from its foremost point to the rear, y to the left, z up; invented.
const LONG: f64 = 4300.0;
const FRONT_AXLE: f64 = 860.0;
const REAR_AXLE: f64 = 3420.0;
const WHEEL: f64 = 325.0;
const ARCH: f64 = 385.0;
const SILL: f64 = 300.0;
const HALF_WIDTH: f64 = 900.0;
const HALF_MIRRORS: f64 = 1030.0;
const MIRROR: f64 = 1330.0;
const HALF_TRACK: f64 = 760.0;
const HALF_TYRE: f64 = 115.0;
const BADGE: f64 = 230.0;

/// Page mm per vehicle mm of the two views.
const SIDE_SCALE: f64 = 1.0 / 65.0;
const ABOVE_SCALE: f64 = 1.0 / 60.0;
/// Where the foremost point of the vehicle meets the floor, and where the centreline begins at it, page mm.
const SIDE_ORIGIN: Point = Point::new(2.5, 20.0);
const ABOVE_ORIGIN: Point = Point::new(90.0, 26.5);
/// Accuracy with which circles become curves, mm.
const CURVE_MM: f64 = 0.01;

/// From the vehicle's x and z to the page.
fn from_the_side() -> Affine {
    Affine::translate(SIDE_ORIGIN.to_vec2()) * Affine::scale(SIDE_SCALE)
}

/// From the vehicle's x and y to the page: the front at the left, so that the vehicle's left is at the foot.
fn from_above() -> Affine {
    Affine::translate(ABOVE_ORIGIN.to_vec2()) * Affine::scale_non_uniform(ABOVE_SCALE, -ABOVE_SCALE)
}

/// The two views with all dimensions, as one drawing of [`PICTURE_MM`]. `highlight` is a key of a vehicle file whose dimension is
/// drawn heavy; "wheelbase" stands for both sides.
#[must_use]
pub fn measuring_views(highlight: Option<&str>) -> Drawing {
    let mut page = Drawing::new(
        "where a vehicle is measured",
        PICTURE_MM.width,
        PICTURE_MM.height,
    );
    side(&mut page);
    above(&mut page);
    lettering(&mut page);
    let heavy = |dimension: &&Dimension| {
        let of = |key: &str| {
            let mut rows = ROWS.iter();
            rows.any(|row| row.number == dimension.number && row.keys.contains(&key))
        };
        highlight.is_some_and(of)
    };
    let all = dimensions();
    // The heavy one last: it lies on top.
    let (marked, plain): (Vec<&Dimension>, Vec<&Dimension>) = all.iter().partition(heavy);
    plain.iter().for_each(|one| one.draw(&mut page, false));
    marked.iter().for_each(|one| one.draw(&mut page, true));
    page
}

/// Every dimension in page mm.
fn dimensions() -> Vec<Dimension> {
    [lengths(), sides(), widths_across()].concat()
}

/// Along the vehicle, below its side.
fn lengths() -> Vec<Dimension> {
    let to_page = from_the_side();
    let below = |number, from: (f64, f64), to: (f64, f64), y: f64| {
        let feet = [from, to].map(|(x, z)| to_page * Point::new(x, z));
        Dimension {
            number,
            feet,
            ends: feet.map(|foot| Point::new(foot.x, y)),
            at: 0.5,
        }
    };
    let (front, rear) = ((0.0, 480.0), (LONG, 480.0));
    let wheels = [FRONT_AXLE, REAR_AXLE].map(|x| (x, WHEEL));
    let (near, far) = (SIDE_ORIGIN.y - 7.5, SIDE_ORIGIN.y - 15.5);
    vec![
        below("3", front, wheels[0], near),
        below("1", wheels[0], wheels[1], near),
        below("4", wheels[1], rear, near),
        below(LENGTH, front, rear, far),
    ]
}

/// The wheelbases, each on its side of the vehicle.
fn sides() -> Vec<Dimension> {
    let to_page = from_above();
    let on = |number, y: f64, out: f64| {
        let feet = [FRONT_AXLE, REAR_AXLE].map(|x| to_page * Point::new(x, y));
        let line = to_page * Point::new(0.0, y.signum() * HALF_MIRRORS);
        Dimension {
            number,
            feet,
            ends: feet.map(|foot| Point::new(foot.x, line.y + out)),
            at: 0.5,
        }
    };
    vec![on("1", HALF_TRACK, -5.5), on("2", -HALF_TRACK, 5.5)]
}

/// Across the vehicle.
fn widths_across() -> Vec<Dimension> {
    let to_page = from_above();
    // From a point to another at a place along the page: inside the vehicle, before it or behind it.
    let across = |number, [from, to]: [(f64, f64); 2], x: f64, at| {
        let feet = [from, to].map(|(x, y)| to_page * Point::new(x, y));
        Dimension {
            number,
            feet,
            ends: feet.map(|foot| Point::new(x, foot.y)),
            at,
        }
    };
    let pair = |x: f64, y: f64| [(x, y), (x, -y)];
    let page_x = |x: f64| (to_page * Point::new(x, 0.0)).x;
    let (ahead, behind) = (page_x(0.0), page_x(LONG));
    let tyre = [-HALF_TRACK + HALF_TYRE, -HALF_TRACK - HALF_TYRE].map(|y| (REAR_AXLE + WHEEL, y));
    vec![
        across("5", pair(FRONT_AXLE, HALF_TRACK), page_x(FRONT_AXLE), 0.28),
        across("6", pair(REAR_AXLE, HALF_TRACK), page_x(REAR_AXLE), 0.28),
        across("7", tyre, behind + 4.5, 0.5),
        across("8", pair(3600.0, HALF_WIDTH), behind + 12.5, 0.5),
        across("9", pair(MIRROR, HALF_MIRRORS), ahead - 14.0, 0.25),
        across("10", [(0.0, 0.0), (-40.0, BADGE)], ahead - 5.0, 0.5),
    ]
}

fn outline(page: &mut Drawing, path: BezPath, to_page: Affine, fill: Option<Tone>, width: f64) {
    let stroke = Stroke::solid(width);
    page.path(Layer::Vehicle, to_page * path, fill, Some(stroke));
}

fn ring(x: f64, radius: f64) -> BezPath {
    Circle::new((x, WHEEL), radius).to_path(1.0)
}

/// The vehicle on its floor, seen from its left.
fn side(page: &mut Drawing) {
    let to_page = from_the_side();
    outline(page, silhouette(), to_page, None, widths::WIDE);
    for glass in [
        [
            (1440.0, 950.0),
            (1830.0, 1330.0),
            (2440.0, 1385.0),
            (2440.0, 950.0),
        ],
        [
            (2530.0, 950.0),
            (2530.0, 1385.0),
            (3290.0, 1350.0),
            (3620.0, 960.0),
        ],
    ] {
        let glass = polygon(&glass);
        outline(page, glass, to_page, None, widths::THIN);
    }
    let mirror = Rect::new(1330.0, 930.0, 1480.0, 1040.0).to_path(1.0);
    outline(page, mirror, to_page, Some(Tone::WHITE), widths::THIN);
    for axle in [FRONT_AXLE, REAR_AXLE] {
        outline(
            page,
            ring(axle, WHEEL),
            to_page,
            Some(Tone::BAND),
            widths::MEDIUM,
        );
        outline(
            page,
            ring(axle, 190.0),
            to_page,
            Some(Tone::WHITE),
            widths::THIN,
        );
    }
    let floor = [-150.0, LONG + 150.0].map(|x| to_page * Point::new(x, 0.0));
    page.line(
        Layer::Vehicle,
        floor[0],
        floor[1],
        Stroke::solid(widths::FRAME),
    );
}

/// The body from the side, wheel arches cut in.
fn silhouette() -> BezPath {
    let mut path = BezPath::new();
    let arch = |path: &mut BezPath, axle: f64| {
        path.line_to((axle + ARCH, SILL));
        // Half an ellipse in two cubics, with the usual handle of a quarter circle.
        let (top, handle) = (WHEEL + ARCH, 0.5523);
        let (rise, side) = (top - SILL, handle * ARCH);
        let high = SILL + handle * rise;
        path.curve_to((axle + ARCH, high), (axle + side, top), (axle, top));
        path.curve_to((axle - side, top), (axle - ARCH, high), (axle - ARCH, SILL));
    };
    path.move_to((60.0, SILL));
    path.curve_to((0.0, 330.0), (0.0, 400.0), (0.0, 480.0));
    path.curve_to((0.0, 700.0), (40.0, 760.0), (160.0, 790.0));
    path.curve_to((600.0, 870.0), (900.0, 910.0), (1240.0, 940.0));
    path.line_to((1760.0, 1390.0));
    path.curve_to((2100.0, 1480.0), (2900.0, 1490.0), (3340.0, 1420.0));
    path.curve_to((3600.0, 1330.0), (3800.0, 1130.0), (3980.0, 970.0));
    path.curve_to((4180.0, 940.0), (4280.0, 900.0), (4285.0, 700.0));
    path.curve_to((LONG, 600.0), (LONG, 560.0), (LONG, 480.0));
    path.curve_to((LONG, 400.0), (4290.0, 330.0), (4240.0, SILL));
    arch(&mut path, REAR_AXLE);
    arch(&mut path, FRONT_AXLE);
    path.close_path();
    path
}

fn polygon(points: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (index, &point) in points.iter().enumerate() {
        if index == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    path.close_path();
    path
}

/// The vehicle from above: body, glass, mirrors, tyres as they stand on the floor, centreline and badge.
fn above(page: &mut Drawing) {
    let to_page = from_above();
    outline(page, body(), to_page, None, widths::WIDE);
    for glass in [
        [
            (1280.0, -690.0),
            (1280.0, 690.0),
            (1740.0, 590.0),
            (1740.0, -590.0),
        ],
        [
            (3540.0, -590.0),
            (3540.0, 590.0),
            (3960.0, 670.0),
            (3960.0, -670.0),
        ],
    ] {
        outline(page, polygon(&glass), to_page, None, widths::THIN);
    }
    for way in [1.0, -1.0] {
        let mirror = polygon(&[
            (MIRROR - 70.0, way * HALF_WIDTH),
            (MIRROR - 40.0, way * HALF_MIRRORS),
            (MIRROR + 40.0, way * HALF_MIRRORS),
            (MIRROR + 90.0, way * HALF_WIDTH),
        ]);
        outline(page, mirror, to_page, None, widths::MEDIUM);
        for axle in [FRONT_AXLE, REAR_AXLE] {
            let size = Size::new(2.0 * WHEEL, 2.0 * HALF_TYRE);
            let tyre = Rect::from_center_size((axle, way * HALF_TRACK), size);
            outline(
                page,
                tyre.to_path(1.0),
                to_page,
                Some(Tone::BAND),
                widths::MEDIUM,
            );
        }
    }
    let centre = [-1000.0, LONG + 300.0].map(|x| to_page * Point::new(x, 0.0));
    page.line(
        Layer::Vehicle,
        centre[0],
        centre[1],
        Stroke::chain(widths::THIN),
    );
    let badge = to_page * Point::new(-10.0, BADGE);
    let mark = Circle::new(badge, 0.9).to_path(CURVE_MM);
    page.path(Layer::Vehicle, mark, Some(Tone::BLACK), None);
}

/// The body from above, its corners rounded.
fn body() -> BezPath {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.curve_to((0.0, 400.0), (30.0, 600.0), (160.0, 740.0));
    path.curve_to((300.0, 860.0), (500.0, HALF_WIDTH), (900.0, HALF_WIDTH));
    path.line_to((3600.0, HALF_WIDTH));
    path.curve_to((4000.0, HALF_WIDTH), (4180.0, 860.0), (4240.0, 760.0));
    path.curve_to((4290.0, 600.0), (LONG, 400.0), (LONG, 0.0));
    let mirrored = Affine::scale_non_uniform(1.0, -1.0) * path.clone();
    path.extend(mirrored.reverse_subpaths().iter().skip(1));
    path.close_path();
    path
}

/// Names of the views, of the sides, and which way the front is.
fn lettering(page: &mut Drawing) {
    let above = from_above();
    let head = PICTURE_MM.height - heights::TEXT - 0.2;
    for (x, name) in [SIDE_ORIGIN.x, ABOVE_ORIGIN.x - 16.8]
        .into_iter()
        .zip(VIEWS)
    {
        page.text(Text::new((x, head), heights::TEXT, name).bold());
    }
    for (name, y) in SIDES.into_iter().zip([0.62, -0.62]) {
        let at = above * Point::new(f64::midpoint(FRONT_AXLE, REAR_AXLE) + 300.0, y * HALF_WIDTH);
        let low = (at.x, at.y - heights::TEXT / 2.0);
        page.text(Text::new(low, heights::TEXT, name).centred().bold());
    }
    for (x, y) in [
        (SIDE_ORIGIN.x, PICTURE_MM.height - 9.5),
        (ABOVE_ORIGIN.x - 16.8, PICTURE_MM.height - 9.5),
    ] {
        let middle = Point::new(x + 4.0, y + heights::TEXT / 2.0);
        arrow(page, middle, (-1.0, 0.0).into(), 8.0);
        page.text(Text::new((x + 9.5, y), heights::TEXT, FRONT));
    }
}

//! The layout at a drawing's scale with the vehicle's front up: what pages with a plan have in common.

use kurbo::{Point, Rect, RoundedRect, Shape};

use crate::{
    drawing::{Drawing, Layer, Stroke, Tone, widths},
    page::Scale,
    plan::{FloorPlan, VehicleOnFloor},
};

/// Rounding of the body's corners as a fraction of its half width; for the drawing alone.
const BODY_ROUNDING: f64 = 0.35;
/// Place of the mirrors behind the foremost point as a fraction of the length, and their size
/// along, mm; for the drawing alone.
const MIRROR_PLACE: f64 = 0.27;
const MIRROR_DEPTH: f64 = 180.0;
/// Curve accuracy on paper, mm: far below what a printer resolves.
const ACCURACY: f64 = 0.01;

/// Where the parts of a vehicle were drawn, paper mm.
#[derive(Clone, Debug)]
pub struct VehicleArt {
    /// The body without mirrors.
    pub body: Rect,
    /// The mirrors, where they stand out.
    pub mirrors: Vec<Rect>,
    /// The tyres.
    pub tyres: [Rect; 4],
}

/// Draws the fields of all panels, the dark ones in a tone; gives the outline of each field.
pub fn draw_panels(
    canvas: &mut Drawing,
    plan: &FloorPlan,
    scale: Scale,
    dark: Tone,
) -> Vec<Vec<Point>> {
    let fields = plan
        .panels
        .iter()
        .flat_map(|panel| plan.panel_fields(panel));
    let mut outlines = Vec::new();
    for field in fields {
        let corners: Vec<Point> = field.outline.iter().map(|&p| scale.front_up(p)).collect();
        canvas.polygon(
            Layer::Panels,
            &corners,
            field.dark.then_some(dark),
            Some(Stroke::solid(widths::FINE)),
        );
        outlines.push(corners);
    }
    outlines
}

/// Draws the tape strips as one shape; gives the corners of each. All edges come first, at double
/// width, then all fills over their inner half, so that no edge shows where two strips meet.
pub fn draw_bands(canvas: &mut Drawing, plan: &FloorPlan, scale: Scale) -> Vec<[Point; 4]> {
    let bands: Vec<[Point; 4]> = plan
        .lines
        .iter()
        .map(|line| plan.band(line).map(|p| scale.front_up(p)))
        .collect();
    for corners in &bands {
        canvas.polygon(
            Layer::Lines,
            corners,
            None,
            Some(Stroke::solid(2.0 * widths::FINE)),
        );
    }
    for corners in &bands {
        canvas.polygon(Layer::Lines, corners, Some(Tone::BAND), None);
    }
    bands
}

/// Draws body, mirrors and tyres.
pub fn draw_vehicle(canvas: &mut Drawing, vehicle: &VehicleOnFloor, scale: Scale) -> VehicleArt {
    let rect = |a: Point, b: Point| Rect::from_points(scale.front_up(a), scale.front_up(b));
    let body = {
        let body = vehicle.body();
        rect(Point::new(body.x0, body.y0), Point::new(body.x1, body.y1))
    };
    let rounding = scale.on_paper(vehicle.half_width * BODY_ROUNDING);
    let outline = RoundedRect::from_rect(body, rounding).to_path(ACCURACY);
    canvas.path(
        Layer::Vehicle,
        outline,
        None,
        Some(Stroke::solid(widths::MEDIUM)),
    );
    let mirror_x = vehicle.front_x - MIRROR_PLACE * (vehicle.front_x - vehicle.rear_x);
    let sides: &[f64] = if vehicle.half_width_over_mirrors > vehicle.half_width {
        &[1.0, -1.0]
    } else {
        &[]
    };
    let mirror = |side: &f64| {
        rect(
            Point::new(mirror_x, side * vehicle.half_width),
            Point::new(
                mirror_x - MIRROR_DEPTH,
                side * vehicle.half_width_over_mirrors,
            ),
        )
    };
    let mirrors: Vec<Rect> = sides.iter().map(mirror).collect();
    for &mirror in &mirrors {
        canvas.rect(
            Layer::Vehicle,
            mirror,
            None,
            Some(Stroke::solid(widths::FINE)),
        );
    }
    let tyres = vehicle.wheels.map(|wheel| {
        let footprint = wheel.footprint();
        rect(
            Point::new(footprint.x0, footprint.y0),
            Point::new(footprint.x1, footprint.y1),
        )
    });
    for tyre in tyres {
        canvas.rect(
            Layer::Vehicle,
            tyre,
            Some(Tone::PANEL),
            Some(Stroke::solid(widths::THIN)),
        );
    }
    VehicleArt {
        body,
        mirrors,
        tyres,
    }
}

//! The whole floor in one drawing at full scale.

mod single_page;

pub use self::single_page::single_page;

use kurbo::{Affine, Line, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    page::clip::edges,
    plan::{MarkShape, MatVehicle, VehicleOnFloor, Wheel, corners},
    sheets::shared::{Context, FloorArt, SharedOut, share_out, vehicle_stroke},
};

/// Clear edge in mm around everything drawn: room for the names of the outermost marks.
const EDGE_MM: f64 = 60.0;

/// Draws the floor at 1:1, the vehicle's front to the right.
#[must_use]
pub fn floor(context: &Context, art: &FloorArt) -> Drawing {
    floor_above(context, art, 0.0)
}

/// The same with a blank foot of this depth, mm, below it.
pub(super) fn floor_above(context: &Context, art: &FloorArt, foot: f64) -> Drawing {
    let plan = context.plan;
    let others = plan
        .mat
        .iter()
        .flat_map(|mat| &mat.vehicles)
        .map(|of| of.vehicle.body());
    let bodies = others.fold(plan.vehicle.body(), |all, body| all.union(body));
    let extent = plan.extent_with(bodies).inflate(EDGE_MM, EDGE_MM);
    let to_page = Affine::translate(-Vec2::new(extent.x0, extent.y0 - foot));
    let mut drawing = Drawing::new(
        format!("{}: {}", plan.vehicle.name, plan.template.name),
        extent.width(),
        extent.height() + foot,
    );
    art.within(corners(extent), to_page).draw(&mut drawing);
    draw_vehicle(&mut drawing, context, to_page);
    // Marks of a mat may lie 22 mm apart; names of 5 mm are at most 18 mm long and cannot touch.
    let height = if plan.mat.is_some() {
        heights::TITLE
    } else {
        heights::LABEL
    };
    for mark in &plan.marks {
        let at = to_page * mark.at + Vec2::new(MarkShape::FULL.arm, MarkShape::FULL.arm) / 2.0;
        drawing.text(Text::new(at, height, mark.id.clone()).bold());
    }
    drawing
}

/// The vehicle with the centreline; of a mat every vehicle, in its own pattern.
fn draw_vehicle(drawing: &mut Drawing, context: &Context, to_page: Affine) {
    let quiet = |stroke: Stroke| stroke.toned(Tone::QUIET);
    match &context.plan.mat {
        None => {
            for rect in parts(&context.plan.vehicle) {
                let rect = to_page.transform_rect_bbox(rect);
                drawing.rect(
                    Layer::Vehicle,
                    rect,
                    None,
                    Some(quiet(Stroke::solid(widths::FINE))),
                );
            }
        }
        Some(mat) => {
            let outlines = |of: &MatVehicle| -> Vec<Line> {
                let parts = parts(&of.vehicle).flat_map(|part| edges(&[corners(part).to_vec()]));
                parts.map(|edge| to_page * edge).collect()
            };
            let SharedOut { shared, own } =
                share_out(&mat.vehicles.iter().map(outlines).collect::<Vec<_>>());
            let own = own
                .iter()
                .enumerate()
                .map(|(v, lines)| (lines, vehicle_stroke(v, widths::FINE)));
            for (lines, stroke) in own.chain([(&shared, Stroke::chain(widths::FINE))]) {
                for line in lines {
                    drawing.line(Layer::Vehicle, line.p0, line.p1, quiet(stroke));
                }
            }
        }
    }
    let [front, rear] = context
        .plan
        .tape_base
        .map(|index| to_page * context.plan.marks[index].at);
    drawing.line(
        Layer::Vehicle,
        rear,
        front,
        Stroke::chain(widths::FINE).toned(Tone::QUIET),
    );
}

/// Body and wheels.
fn parts(vehicle: &VehicleOnFloor) -> impl Iterator<Item = Rect> {
    std::iter::once(vehicle.body()).chain(vehicle.wheels.iter().map(Wheel::footprint))
}

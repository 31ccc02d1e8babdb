//! The whole floor in one drawing at full scale.

use kurbo::{Affine, Vec2};

use super::{Context, FloorArt, floor_art::MARK_ARM_MM};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    plan::corners,
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
    let extent = plan.extent_with(plan.vehicle.body()).inflate(EDGE_MM, EDGE_MM);
    let to_page = Affine::translate(-Vec2::new(extent.x0, extent.y0 - foot));
    let mut drawing =
        Drawing::new(format!("{}: {}", plan.vehicle.name, plan.template.name), extent.width(), extent.height() + foot);
    art.within(corners(extent), to_page).draw(&mut drawing);
    draw_vehicle(&mut drawing, context, to_page);
    for mark in &plan.marks {
        let at = to_page * mark.at + Vec2::new(MARK_ARM_MM, MARK_ARM_MM) / 2.0;
        drawing.text(Text::new(at, heights::LABEL, mark.id.clone()).bold());
    }
    drawing
}

fn draw_vehicle(drawing: &mut Drawing, context: &Context, to_page: Affine) {
    let vehicle = &context.plan.vehicle;
    let quiet = Stroke::solid(widths::FINE).toned(Tone::QUIET);
    let footprints = vehicle.wheels.iter().map(|wheel| wheel.footprint());
    for rect in std::iter::once(vehicle.body()).chain(footprints) {
        drawing.rect(Layer::Vehicle, to_page.transform_rect_bbox(rect), None, Some(quiet));
    }
    let [front, rear] = context.plan.tape_base.map(|index| to_page * context.plan.marks[index].at);
    drawing.line(Layer::Vehicle, rear, front, Stroke::chain(widths::FINE).toned(Tone::QUIET));
}

//! A layout made small, for a model of it.

use kurbo::{Point, Rect};

use super::{model::FloorPlan, vehicle::VehicleOnFloor};

impl FloorPlan {
    /// The same layout at 1:`denominator`: every length divided by it, tolerances, limits and strip widths included.
    ///
    /// Angles, names, counts of cells and checklist lines stay as they are, and so does the floor's slope, which is a
    /// length by a length. No bay is held against a model, and a mat of several vehicles is scaled with its vehicles.
    #[must_use]
    pub fn scaled(mut self, denominator: f64) -> Self {
        let by = 1.0 / denominator;
        scale_vehicle(&mut self.vehicle, by);
        for value in self
            .template
            .values
            .iter_mut()
            .filter(|value| value.unit == "mm")
        {
            value.value *= by;
        }
        for mark in &mut self.marks {
            mark.at = scale_point(mark.at, by);
            mark.tolerance *= by;
            mark.two_tape = mark.two_tape.map(|distance| distance * by);
        }
        for line in &mut self.lines {
            line.width *= by;
            line.past = line.past.map(|past| past * by);
        }
        for panel in &mut self.panels {
            panel.shape = panel.shape.clone().scaled(by);
            panel.shift = (panel.shift.0 * by, panel.shift.1 * by);
        }
        for check in &mut self.checks {
            check.distance *= by;
            check.tolerance *= by;
        }
        // What is taped of a model, and what that proves, does not follow from the floor.
        self.lays.clear();
        self.proofs.clear();
        let needed = self.floor.needed;
        self.floor.needed = Rect::new(
            needed.x0 * by,
            needed.y0 * by,
            needed.x1 * by,
            needed.y1 * by,
        );
        self.floor.bay = None;
        if let Some(limits) = &mut self.floor.limits {
            limits.flatness = limits.flatness.map(|flatness| flatness * by);
        }
        for vehicle in self.mat.iter_mut().flat_map(|mat| &mut mat.vehicles) {
            scale_vehicle(&mut vehicle.vehicle, by);
        }
        self
    }
}

fn scale_point(point: Point, by: f64) -> Point {
    (point.to_vec2() * by).to_point()
}

fn scale_vehicle(vehicle: &mut VehicleOnFloor, by: f64) {
    for length in [
        &mut vehicle.front_x,
        &mut vehicle.rear_x,
        &mut vehicle.half_width,
        &mut vehicle.half_width_over_mirrors,
        &mut vehicle.badge_offset,
    ] {
        *length *= by;
    }
    for wheel in &mut vehicle.wheels {
        wheel.centre = scale_point(wheel.centre, by);
        wheel.width *= by;
        wheel.diameter *= by;
    }
    for (_, length) in &mut vehicle.dimensions {
        *length *= by;
    }
}

#[cfg(test)]
mod tests {
    use crate::{
        job::{TEMPLATES, VEHICLES},
        plan::FloorPlan,
        template::TemplateSpec,
        vehicle::VehicleSpec,
    };

    #[test]
    fn a_model_keeps_every_proportion_of_every_layout() {
        for template in TEMPLATES {
            let template = TemplateSpec::read(&template.source()).unwrap();
            let vehicle = VehicleSpec::read(&VEHICLES[0].source()).unwrap();
            let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
            let model = plan.clone().scaled(10.0);
            let tenth = |model: f64, floor: f64| {
                assert!((model * 10.0 - floor).abs() < 1e-6, "{model} of {floor}")
            };
            for (small, large) in model.checks.iter().zip(&plan.checks) {
                tenth(
                    model.marks[small.from]
                        .at
                        .distance(model.marks[small.to].at),
                    large.distance,
                );
                tenth(small.distance, large.distance);
                tenth(small.tolerance, large.tolerance);
            }
            for (small, large) in model.panels.iter().zip(&plan.panels) {
                // Corners tell of size, shift and turn alike.
                let corners = model.panel_parts(small).into_iter().flatten();
                for (corner, floor) in corners.zip(plan.panel_parts(large).into_iter().flatten()) {
                    tenth(corner.x, floor.x);
                    tenth(corner.y, floor.y);
                }
            }
            for (small, large) in model.lines.iter().zip(&plan.lines) {
                for (corner, floor) in model.band(small).into_iter().zip(plan.band(large)) {
                    tenth(corner.x, floor.x);
                    tenth(corner.y, floor.y);
                }
            }
            tenth(model.vehicle.body().width(), plan.vehicle.body().width());
            tenth(
                model.vehicle.wheels[3].footprint().x0,
                plan.vehicle.wheels[3].footprint().x0,
            );
            tenth(model.floor.needed.height(), plan.floor.needed.height());
        }
    }
}

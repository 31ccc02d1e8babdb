//! Check plans of layouts, against what is drawn at random and against all smaller sets.

use super::*;
use crate::{plan::FloorPlan, source::Source, survey::Precision, template::TemplateSpec, vehicle::VehicleSpec};

const VEHICLES: [&str; 2] =
    [include_str!("../../../vehicle-specs/city-car.toml"), include_str!("../../../vehicle-specs/delivery-van.toml")];
const TEMPLATES: [&str; 4] = [
    include_str!("../../../templates/perimeter-lines.toml"),
    include_str!("../../../templates/rear-corner-arcs.toml"),
    include_str!("../../../templates/side-and-end-panels.toml"),
    include_str!("../../../templates/target-line.toml"),
];

fn plan(vehicle: &str, template: &str) -> FloorPlan {
    let vehicle = VehicleSpec::read(&Source::new("vehicle", vehicle)).unwrap();
    FloorPlan::resolve(&vehicle, &TemplateSpec::read(&Source::new("template", template)).unwrap(), &[], None).unwrap()
}

#[test]
fn look() {
    for vehicle in VEHICLES {
        for template in TEMPLATES {
            let plan = plan(vehicle, template);
            let planner = CheckPlanner { plan: &plan, precision: &Precision::default(), longest: None };
            let start = std::time::Instant::now();
            let (quick, full) = (planner.quick(), planner.full());
            println!(
                "{} marks {} quick {} (-{}) full {} of {} at least {:?} in {:?}",
                plan.template.name,
                plan.marks.len(),
                quick.pulls.len(),
                quick.not_reachable(),
                full.pulls.len(),
                full.candidates,
                full.lower_bound,
                start.elapsed()
            );
            for (mark, (q, f)) in plan.marks.iter().zip(quick.marks.iter().zip(&full.marks)) {
                println!(
                    "  {} {} {:.1} {} {:.1} {}",
                    mark.id,
                    q.tolerance,
                    q.worst,
                    q.direction_word(),
                    f.worst,
                    f.direction_word()
                );
            }
            println!(
                "  unmet {:?} advice {:?}\n pose {:?} {:?}",
                full.unmet,
                full.advice,
                full.pose,
                Squareness::of(&quick.applied(plan.clone()))
            );
        }
    }
}

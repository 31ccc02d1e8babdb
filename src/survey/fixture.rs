//! Layouts of what is built in, for tests.

use kurbo::Point;

use super::{
    CheckChoice, Geometry, LayPlanner, Method, Network, NetworkPoint, Observation, Precision,
};
use crate::{plan::FloorPlan, source::Source, template::TemplateSpec, vehicle::VehicleSpec};

pub const VAN: &str = include_str!("../../vehicle-specs/delivery-van.toml");
pub const CAR: &str = include_str!("../../vehicle-specs/city-car.toml");
pub const PERIMETER: &str = include_str!("../../templates/perimeter-lines.toml");
pub const ARCS: &str = include_str!("../../templates/rear-corner-arcs.toml");
pub const PANELS: &str = include_str!("../../templates/side-and-end-panels.toml");
pub const TARGET: &str = include_str!("../../templates/target-line.toml");

/// The longer side of what an A4 sheet shows, mm.
pub const SHEET_MM: f64 = 280.0;

/// A vehicle on a template with its own values.
pub fn plan(vehicle: &str, template: &str) -> FloorPlan {
    let vehicle = VehicleSpec::read(&Source::new("vehicle", vehicle)).unwrap();
    let template = TemplateSpec::read(&Source::new("template", template)).unwrap();
    FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
}

/// A layout, laid by taped sheets, with the lays to check it by.
pub fn with_lays(plan: &FloorPlan, choice: CheckChoice, longest: Option<f64>) -> FloorPlan {
    LayPlanner {
        plan,
        precision: &Precision::default(),
        laid: (Method::TapedSheets, SHEET_MM),
        longest,
        step: 0.5,
    }
    .apply(choice)
}

/// All pairs of so many points.
pub fn pairs(count: usize) -> Vec<[usize; 2]> {
    (0..count)
        .flat_map(|to| (0..to).map(move |from| [from, to]))
        .collect()
}

/// Points to be adjusted, by their places in mm, with exact distances between some.
pub fn network(places: &[(f64, f64)], distances: &[[usize; 2]]) -> Network {
    let places: Vec<Point> = places.iter().map(|&place| place.into()).collect();
    let points = places.iter().enumerate();
    let distance = |&[from, to]: &[usize; 2]| {
        let value = places[from].distance(places[to]);
        Observation::new(Geometry::Distance { from, to }, value, 1.0)
    };
    Network {
        points: points
            .map(|(index, at)| NetworkPoint::free(index.to_string(), *at))
            .collect(),
        observations: distances.iter().map(distance).collect(),
    }
}

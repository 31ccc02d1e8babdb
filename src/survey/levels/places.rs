//! Where heights are read.

use kurbo::Point;

use super::super::wheel_marks;
use crate::plan::{FloorPlan, VehicleOnFloor};

/// A point of the floor whose height says something.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelPlace {
    /// Name: of the mark, or of the wheel, with the vehicle's letter on a mat (`B:WFL`).
    pub name: String,
    /// What it is, for people.
    pub meaning: String,
    /// Place on the floor, mm.
    pub at: Point,
}

/// Words for the wheels, in the order of [`wheel_marks`].
const WHEELS: [&str; 4] = [
    "front left wheel",
    "front right wheel",
    "rear left wheel",
    "rear right wheel",
];

/// Every mark of a plan, then the four wheels of each of its vehicles.
#[must_use]
pub fn level_places(plan: &FloorPlan) -> Vec<LevelPlace> {
    let marks = plan.marks.iter();
    let marks = marks.map(|mark| LevelPlace {
        name: mark.id.clone(),
        meaning: mark.meaning.clone(),
        at: mark.at,
    });
    let vehicles: Vec<(String, &VehicleOnFloor)> = match &plan.mat {
        None => vec![(String::new(), &plan.vehicle)],
        Some(mat) => mat
            .vehicles
            .iter()
            .map(|of| (format!("{}:", of.letter), &of.vehicle))
            .collect(),
    };
    let wheels = vehicles.iter().flat_map(|(prefix, vehicle)| {
        wheel_marks(vehicle)
            .into_iter()
            .zip(WHEELS)
            .map(move |((name, at), meaning)| LevelPlace {
                name: format!("{prefix}{name}"),
                meaning: meaning.to_owned(),
                at,
            })
    });
    marks.chain(wheels).collect()
}

//! Where heights are read.

use kurbo::Point;

use super::super::wheel_marks;
use crate::plan::{FloorPlan, VehicleOnFloor};

/// A point of the floor whose height says something.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelPlace {
    /// Name: of the mark, or of the wheel, with the vehicle's letter on a mat (`B:WFL`).
    pub name: String,
    /// What it is.
    pub meaning: PlaceMeaning,
    /// Place on the floor, mm.
    pub at: Point,
}

/// What a place is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlaceMeaning {
    /// A mark, with the template's words for it.
    Mark(String),
    /// A wheel, by its number in the order of [`wheel_marks`].
    Wheel(usize),
}

/// Every mark of a plan, then the four wheels of each of its vehicles.
#[must_use]
pub fn level_places(plan: &FloorPlan) -> Vec<LevelPlace> {
    let marks = plan.marks.iter();
    let marks = marks.map(|mark| LevelPlace {
        name: mark.id.clone(),
        meaning: PlaceMeaning::Mark(mark.meaning.clone()),
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
            .enumerate()
            .map(move |(wheel, (name, at))| LevelPlace {
                name: format!("{prefix}{name}"),
                meaning: PlaceMeaning::Wheel(wheel),
                at,
            })
    });
    marks.chain(wheels).collect()
}

//! What stands above the steps of a way.

use crate::{
    plan::FloorPlan,
    survey::{LayingFloor, Way},
};

/// What a way is, and whether the vehicle stands there.
#[must_use]
pub fn what(plan: &FloorPlan, way: Way, floor: LayingFloor) -> String {
    let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    match (way, floor) {
        (Way::Perpendicular, LayingFloor::VehicleStands) => {
            "The vehicle stands in its place, wheels chocked. Work beside it, ahead of it and behind it: no tape runs below it \
             or through a wheel, and nobody reaches below."
                .to_owned()
        }
        (Way::Perpendicular, LayingFloor::Empty) => {
            "No vehicle stands here yet: it is driven on in the last step. Stations along a snapped line from one zero point, \
             offsets square to it."
                .to_owned()
        }
        (Way::TwoTape, _) => format!(
            "No vehicle stands here yet: it is driven on in the last step. Each mark lies where the distances from {front} and \
             {rear} meet, level and taut."
        ),
    }
}
